"""What is said of layouts of key strips: which one costs least, how sure that is, and how the handbook's compares."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from simulation.questions.spacing.layouts import HANDBOOK
from simulation.questions.spacing.study import mean_days

if TYPE_CHECKING:
    from simulation.questions.spacing.study import SpacingResult, SpacingRow
    from simulation.stats.paired_difference import Difference


def spacing_headline(result: SpacingResult) -> str:
    """Return the recommendation in one sentence."""
    best, handbook = result.best, result.handbook
    length = result.scenario.measures.length
    if math.isinf(mean_days(best.without)):
        return "Not every run is done by the last day simulated, so no spacing can be recommended: raise horizon."
    if handbook in result.as_good:
        others = [row for row in result.rows if row is not handbook and not result.against(handbook, row).measurable]
        alone = "every other layout tried leaves more"
        if others:
            alone = f"there is no measurable difference to {_listed(result, others)}"
        return f"Keep the handbook's {length.text(HANDBOOK)} on {result.area}: {alone} in days without a field."
    change = result.against(handbook, best)
    saved = f"{_days(change, -1)} fewer days without a field than the handbook's {length.text(HANDBOOK)}"
    return f"Key strips {best.layout.words(length)} on {result.area} leave {saved}; the mat's own manual decides."


def spacing_lines(result: SpacingResult) -> list[str]:
    """Return the sentences around the recommendation."""
    length, damage = result.scenario.measures.length, result.damage
    lines = []
    if result.handbook not in result.as_good:
        others = [row for row in result.as_good if row is not result.best]
        if others:
            best = result.best.layout.name(length)
            lines.append(f"From {best} to {_listed(result, others)} there is no measurable difference.")
    dense, wide = result.uniform[0], result.uniform[-1]
    if wide is not dense:
        lay = _change("laying", "goes", "stays", *(f"{mean_days(row.lay):.2f}" for row in (dense, wide)))
        up = _change("taking up", "goes", "stays", *(f"{mean_days(row.take_up):.2f}" for row in (dense, wide)))
        closed = _change("repairs", "go", "stay", *(f"{row.closed.mean():,.1f}" for row in (dense, wide)))
        tried = f"From {dense.layout.words(length)} to {wide.layout.words(length)}"
        lines.append(f"{tried} {lay} days, {up} days, {closed} hours of the stay (means).")
    lines += _by_zone(result)
    if result.best in (dense, wide):
        which = "widest" if result.best is wide else "narrowest"
        lines.append(f"{length.text(result.best.layout.every)} is the {which} spacing tried.")
    lines.append("Weighed are days alone, not other reasons that a manual has for its spacing.")
    lines.append(f"The stay is {damage.stay / 24:,.0f} days, on average {damage.mats:g} mats are damaged at a time.")
    return lines


def _by_zone(result: SpacingResult) -> list[str]:
    """Return what a distance of its own gains where aircraft touch down, and how it is written where it is the best."""
    zoned, length = result.by_zone, result.scenario.measures.length
    if zoned is None or math.isinf(mean_days(zoned.without)):
        return []
    alone = min(result.uniform, key=lambda row: mean_days(row.without))
    change, than = result.against(alone, zoned), f"{alone.layout.words(length)} alone"
    if not change.measurable:
        lines = [f"By zone, the best is {zoned.layout.name(length)}: no measurable difference to {than}."]
    elif change.value is not None and change.value < 0:
        lines = [f"By zone, the best is {zoned.layout.name(length)}: {_days(change, -1)} fewer days without a field than {than}."]
    else:
        lines = [f"By zone, the best is {zoned.layout.name(length)}: {_days(change, 1)} more days without a field than {than}."]
    if result.best is zoned:
        area = next(area for area in result.scenario.area if area.name == result.area)
        zones = zoned.layout.zones(result.scenario, area, result.damage, length)
        every = length.quoted(zoned.layout.every)
        lines.append(f"In its [[area]] that is key_strips_every = {every} and key_strip_zones = {zones}.")
    return lines


def warning_lines(result: SpacingResult) -> list[str]:
    """Return what a reader must know first."""
    lines = []
    if result.stopped:
        lines.append(f"Stopped early: {result.runs} of {result.asked} runs of each layout are done.")
    if result.damage_written:
        return lines
    return [
        *lines,
        "[damage] is missing, so planning values say how often mats are damaged; write your own, the answer hangs on them.",
    ]


def change_cell(change: Difference, identical: bool = False) -> str:
    """Return a change in days with its interval."""
    if identical:
        return "–"
    if change.value is None or change.low is None or change.high is None:
        return "not known"
    return f"{change.value / 24:+.2f} ({change.low / 24:+.2f} to {change.high / 24:+.2f})"


def _change(work: str, goes: str, stays: str, dense: str, wide: str) -> str:
    return f"{work} {stays} at {dense}" if dense == wide else f"{work} {goes} from {dense} to {wide}"


def _days(change: Difference, sign: int) -> str:
    if change.value is None or change.low is None or change.high is None:
        return "an unknown number of"
    low, high = sorted((sign * change.low / 24, sign * change.high / 24))
    return f"{sign * change.value / 24:.2f} ({low:.2f} to {high:.2f})"


def _listed(result: SpacingResult, rows: list[SpacingRow]) -> str:
    length = result.scenario.measures.length
    texts = [row.layout.name(length) for row in rows]
    return texts[0] if len(texts) == 1 else f"{', '.join(texts[:-1])} and {texts[-1]}"
