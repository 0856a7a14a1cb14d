"""How far was the field laid, or taken up, and when? The moments at which each twentieth of its square feet lay, or was up."""

from __future__ import annotations

import math
from operator import itemgetter

from simulation.construction.plan.steps import EDGE, END, KIND, LIFT, ROW, START, Step
from simulation.construction.site.site import Site

#: Parts of the field whose times are kept.
_PARTS = 20
#: Percent of the field's square feet, key strips not counted.
PERCENTS = tuple(100 * part // _PARTS for part in range(_PARTS + 1))


def measure_progress(site: Site) -> list[float]:
    """Return when each of `PERCENTS` of the field was laid, or taken up, hours since the start.

    A step lays all of its rows at its end. The first of the times is the start of the first row; those that the run did not
    come to before it was over are infinite.
    """
    plan, trace = site.plan, site.trace
    over = max((plan.horizon if step is None else step[END] for step in site.reached), default=plan.horizon)
    size = [edge.pieces for edge in plan.edges]
    if plan.take_up is not None:
        whole = sum(size[section.edge] * len(section.rows) for section in plan.take_up.sections)
        return _taken_up([step for step in trace if step[KIND] == LIFT], size, whole, site.env.now)
    field = sum(row * len(edge.full) for row, edge in zip(size, plan.edges, strict=True))
    before, laid = [0] * len(size), 0
    rows = [step for step in trace if step[KIND] == ROW]
    times = [rows[0][START] if rows else math.inf]
    if plan.state is not None and any(share for _, share in plan.state.lived):
        before = [edge.laid for edge in plan.state.edges]
        laid = sum(row * count for row, count in zip(size, before, strict=True))
        times = _lived(plan.state.lived, laid / field)
    due = math.ceil(field * len(times) / _PARTS)
    rows.sort(key=itemgetter(END))
    for _, end, _, _, _, _, edge, number in rows:
        laid += (number - before[edge]) * size[edge]
        before[edge] = number
        while laid >= due and end <= over:
            times.append(end)
            due = math.ceil(field * len(times) / _PARTS)
    times.extend([math.inf] * (len(PERCENTS) - len(times)))
    return times


def _taken_up(rows: list[Step], size: list[int], field: int, over: float) -> list[float]:
    """Return when each of `PERCENTS` of a field was up, by the steps in which its rows came off."""
    times, up = [rows[0][START] if rows else math.inf], 0
    for step in sorted(rows, key=itemgetter(END)):
        up += size[step[EDGE]]
        while len(times) < len(PERCENTS) and up >= field * len(times) / _PARTS and step[END] <= over:
            times.append(step[END])
    return times + [math.inf] * (len(PERCENTS) - len(times))


def _lived(lived: tuple[tuple[float, float], ...], share: float) -> list[float]:
    """Return when each of `PERCENTS` lay, up to a share of the field, as it was lived, evenly between known moments."""
    times = []
    for percent in PERCENTS:
        if percent / 100.0 > share + 1e-9:
            break
        later = next(point for point, (_, lay) in enumerate(lived) if lay > 0.0 and lay >= percent / 100.0 - 1e-9)
        (start, low), (end, high) = lived[max(later - 1, 0)], lived[later]
        part = (percent / 100.0 - low) / (high - low) if high > low else 1.0
        times.append(start + min(max(part, 0.0), 1.0) * (end - start))
    return times
