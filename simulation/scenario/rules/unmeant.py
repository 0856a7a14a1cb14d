"""What is legal key by key, and taken together cannot be what a planner means: gangs of nobody, one length written twice?"""

from __future__ import annotations

from collections.abc import Iterator

from simulation.scenario.tables.scenario import Scenario
from simulation.scenario.types.mistakes import Mistake
from simulation.scenario.types.unreadable import apply_rule


def unmeant(scenario: Scenario) -> Iterator[Mistake]:
    """Tell of work for which nobody is there, and of lengths that stand in a list twice."""
    yield from apply_rule(_graders, scenario)
    yield from apply_rule(_lengths_once, scenario)


def _graders(scenario: Scenario) -> Iterator[Mistake]:
    grading = scenario.grading
    if grading.people:
        return
    if grading.done < 1:
        wrong = f"nobody grades, and {100 * (1 - grading.done):.0f} % of the ground is still to be graded"
        yield Mistake("grading.people", wrong, "write at least 1, or done = 1")
    elif grading.may_be_undone:
        yield Mistake("grading.people", "nobody grades what rain undoes", "write at least 1, or undone = 0")


def _lengths_once(scenario: Scenario) -> Iterator[Mistake]:
    lengths = [round(length, 6) for length in scenario.key_strips.lengths]  # 3 ft and 36 in are one length
    for length in sorted({length for length in lengths if lengths.count(length) > 1}):
        wrong = f"{scenario.measures.length.text(length)} stands in the list twice"
        yield Mistake("key_strips.lengths", wrong, "write each length once")
