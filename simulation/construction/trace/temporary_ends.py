"""How often were temporary ends made in a run, and how many flying windows began without one?"""

from __future__ import annotations

import math
from collections.abc import Iterator

from simulation.construction.plan.plan import Plan
from simulation.construction.plan.steps import END, KIND, MAKE_END, NUMBER, TAKE_END_UP
from simulation.construction.running import Finished

#: What is kept of temporary ends.
MADE, LATE = "temporary ends.made", "temporary ends.windows late"


def end_columns(plan: Plan) -> tuple[str, ...]:
    """Return the names of what `measure_ends` returns; none where no temporary end is made."""
    return (MADE, LATE) if plan.ends else ()


def measure_ends(run: Finished) -> tuple[float, ...]:
    """Return how many temporary ends were made, and in how many windows an end stood late or not at all."""
    ends = run.site.ends
    return () if ends is None else (float(ends.made), float(len({low for _, low, _ in ends.late})))


def list_ends(run: Finished) -> Iterator[tuple[int, float, float]]:
    """Yield the laying edge of each temporary end, when it stood, and when it was taken up: infinite where it was not.

    One that a crew begins and another finishes, or takes up, is several steps.
    """
    over, stands, gone = run.site.env.now, dict[int, float](), dict[int, float]()
    for step in run.site.trace:
        edge = step[NUMBER]
        if step[KIND] == MAKE_END and step[END] <= over:
            if edge in gone:
                yield edge, stands.pop(edge), gone.pop(edge)
            stands[edge] = step[END]
        elif step[KIND] == TAKE_END_UP and step[END] <= over:
            gone[edge] = step[END]
    for edge, since in stands.items():
        yield edge, since, gone.get(edge, math.inf)
