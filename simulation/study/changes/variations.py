"""Which plans are to be compared? The scenario as it is written, and what values of its keys and equal crews make of it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import product

from simulation.scenario import Change, Scenario, Team
from simulation.scenario.types.mistakes import refusal
from simulation.study.runner import RUNS

#: What the scenario is called among its variations.
AS_WRITTEN = "as written"
#: Plans of one comparison: more would fill pages that nobody reads. Planning value.
MOST_PLANS = 200
#: Last steps of an address that say little without the one before.
_BARE = ("count", "from", "rate", "every", "first", "load", "pallets")


def variations(
    scenario: Scenario,
    changes: Sequence[Sequence[Change]] = (),
    teams: Sequence[Team] = (),
    one_at_a_time: bool = False,
    run_count: int = RUNS,
) -> list[tuple[str, Scenario]]:
    """Return a scenario as it is written, and its variations, each with its name.

    Parameters
    ----------
    scenario : Scenario
    changes : sequence of sequences of Change
        The values of one key each.
    teams : sequence of Team
        Each takes the place of the scenario's crews.
    one_at_a_time : bool
        Whether each value is put in alone, instead of with every value of the other keys.
    runs : int
        Runs meant for each: of too many plans, the mistake says how many runs they would be.

    Raises
    ------
    ScenarioError
        If nothing is varied, something twice, there are too many plans, or one of them is not sound.

    Notes
    -----
    A team is put in first, so that a key of a crew, such as ``crew.*.second_crew``, is one of the new crews'. A value that is
    the scenario's own makes no other plan.

    Examples
    --------
    >>> from simulation.scenario import load_scenario, read_variation
    >>> [name for name, _ in variations(load_scenario(), [read_variation("forklifts.count=2,3,4")])]
    ['as written', 'forklifts.count=2', 'forklifts.count=4']
    """
    from simulation.scenario import vary

    keys = [values[0].address for values in changes]
    factors = [[(str(team), team.instead(scenario)) for team in teams]] if teams else []
    factors += [[(f"{_short(change.address, keys)}{_change(change)}", change) for change in values] for values in changes]
    count = (sum if one_at_a_time else math.prod)(len(values) for values in factors)
    for wrong, right in _wrong(changes, teams, count, run_count):
        raise refusal("compare", wrong, right)
    cells = (
        [[value] for values in factors for value in values]
        if one_at_a_time
        else [list(combination) for combination in product(*factors)]
    )
    plans = [(AS_WRITTEN, scenario)]
    for cell in cells:
        varied = vary(scenario, [change for _, change in cell])
        if varied != scenario:
            plans.append((", ".join(name for name, _ in cell), varied))
    if len(plans) == 1:
        wrong, right = "every value is the scenario's own", "give at least one that is another"
        raise refusal("compare", wrong, right)
    return plans


def _short(key: str, keys: Sequence[str]) -> str:
    """Return the last steps of an address, as many as tell it from the other keys that are varied."""
    steps = key.split(".")
    least = 2 if steps[-1] in _BARE else 1
    while least < len(steps) and steps[-least].isdecimal():  # the number of a block, which has no name: of what it is
        least += 1
    ends = [".".join(steps[-count:]) for count in range(least, len(steps) + 1)]
    return next((end for end in ends if sum(f".{other}".endswith(f".{end}") for other in keys) == 1), key)


def _change(change: Change) -> str:
    """Return what a change does to a key; a relative one must not read as a value."""
    if change.added is not None:
        return f" {change.added:+d}"
    return f" times {change.factor:g}" if change.factor is not None else f"={change.text}"


def _wrong(changes: Sequence[Sequence[Change]], teams: Sequence[Team], count: int, run_count: int) -> Iterator[tuple[str, str]]:
    """Yield what is wrong with a grid, and what would be right."""
    keys = [values[0].address for values in changes]
    if not changes and not teams:
        yield "nothing is varied", "name what to compare, such as --vary forklifts.count=2,3,4 or --crews 1x40,2x20"
    if "seed" in keys:
        yield "seed is the same for all plans, so that they meet the same luck", "give another one with --seed"
    for index, key in enumerate(keys):
        if key in keys[:index]:
            yield f"{key} is varied twice", "write its values with commas behind one --vary"
        for other in keys[:index]:
            if _same(key, other):
                yield f"{other} and {key} are one and the same", "vary one of them"
        if teams and _same(key, "crew.*.people"):
            yield f"{key} is the people of a crew, and --crews says how many those are", "leave one of them out"
    texts = [*([change.text for change in values] for values in changes), [str(team) for team in teams]]
    twice = [text for values in texts for index, text in enumerate(values) if text in values[:index]]
    if twice:
        yield f"{twice[0]} is given twice", "give each value once"
    naught = [change for values in changes for change in values if change.factor == 0.0]
    if naught:
        yield f"{naught[0]} leaves nothing", "multiply by more than 0"
    if count > MOST_PLANS:
        right = f"vary fewer keys or values, up to {MOST_PLANS} plans, or --one-at-a-time"
        yield f"{count:,} plans, {count * run_count:,} runs, are too many", right


def _same(text: str, other: str) -> bool:
    """Return whether two addresses can lead to the same key, where a star stands for every block."""
    steps = list(zip(text.split("."), other.split("."), strict=False))
    return text.count(".") == other.count(".") and all(a == b or "*" in (a, b) for a, b in steps)
