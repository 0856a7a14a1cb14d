"""How often were temporary ends made in a run, and how many flying windows began without one?"""

from __future__ import annotations

from simulation.construction.plan.plan import Plan
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
