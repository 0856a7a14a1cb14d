"""How many people are enough? Where fewer begin to cost, in the text and as the title of the picture."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING

from simulation.present.pictures.figure import listed
from simulation.questions.plan.worded.change_words import by_how_much, half, say_change, worse

if TYPE_CHECKING:
    from simulation.questions.plan.result import PlanResult


def people_lines(result: PlanResult) -> list[str]:
    """Return the sentence on people; none where no other number of them was held against the best plan."""
    points, fewer = result.frontier, result.fewer
    if len(points) < 2:
        return []
    if not fewer:
        return [f"People: even {result.enough:,}, the fewest tried, cost no more than {half(result)}."]
    if result.knee is None:
        said = [
            f"with {listed([f'{row.plan.people:,}' for row in rows])} {change}"
            for change, rows in groupby(fewer, lambda row: say_change(result, row))
        ]
        return [f"People: these runs show no knee; {listed(said)}."]
    if result.knee == result.best.people:
        return [f"People: the knee is at {result.knee:,}, the best plan itself; {_say_fewer(result)}."]
    knee = next(row for row in result.of("people") if row.plan.people == result.knee)
    way = say_change(result, knee)
    return [f"People: the knee is at {result.knee:,} ({way}: {knee.plan.against(result.best)}); {_say_fewer(result)}."]


def frontier_title(result: PlanResult) -> str:
    """Return what the picture of people says, in a sentence."""
    points, fewer = result.frontier, result.fewer
    if len(points) < 2:
        return "No plan of another number of people was held against the best one."
    if not fewer:
        return f"Even {points[0][0]:,} people cost no more than {half(result)}."
    if result.knee is not None:
        itself = ", as in the best plan" if result.knee == result.best.people else ""
        return f"The knee is at {result.knee:,} people on site{itself}: {_say_fewer(result)}."
    if result.worse_from is None:
        return f"These runs show no knee: what fewer than {result.enough:,} people cost is not settled."
    open_ones = [f"{row.plan.people:,}" for row in fewer if row.plan.people > result.worse_from]
    unsettled = f"what {listed(open_ones)} people cost is not settled; " if open_ones else ""
    return f"These runs show no knee: {unsettled}{_say_fewer(result)}."


def _say_fewer(result: PlanResult) -> str:
    """Return of how many people on it is measurably worse, and how much the first of these cost."""
    first = next(row for row in result.fewer if row.plan.people == result.worse_from)
    count, value = f"{first.plan.people:,}", first.change.value
    assert value is not None
    fewer = " and fewer" if first is not result.fewer[-1] else ""
    return f"{count}{fewer} are measurably {worse(result)}, {f'{count} ' if fewer else ''}by {by_how_much(result, value)}"
