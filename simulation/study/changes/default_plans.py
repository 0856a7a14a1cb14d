"""Which plans does a commander weigh first? As written, the other start with as many people, a forklift fewer and more."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from simulation.scenario import Change, Scenario
from simulation.study.changes.variations import AS_WRITTEN

ONE_END, CENTRE_OUT = "one-end", "centre-out"
#: Start -> how a plan is called.
STARTS = {ONE_END: "from one end", CENTRE_OUT: "from the centre"}
#: Forklifts added and taken away. Planning value: what can be found or lent within a day.
FORKLIFTS = (-1, 1, 2)


def default_plans(scenario: Scenario) -> list[tuple[str, Scenario]]:
    """Return the plans that are compared where nobody asks for others, each with its name; the scenario as written is the first.

    One end against the centre is a question of equal headcount: one crew of all people from one end, two crews of half of them
    from the centre. Where crews come late or keep shifts of their own they are left as they are, and only the start is another.
    What is not sound, or is the scenario as written over again, is left out.
    """
    plans = [(AS_WRITTEN, scenario)]
    for name, changes in (*_starts(scenario), *_forklifts(scenario)):
        varied = sound(scenario, changes)
        if varied is not None and all(varied != other for _, other in plans):
            plans.append((name, varied))
    return plans


def sound(scenario: Scenario, changes: Sequence[Change]) -> Scenario | None:
    """Return a scenario with some changes; None where it is not sound, or cannot finish."""
    varied = sound_or_why(scenario, changes)
    return None if isinstance(varied, str) else varied


def sound_or_why(scenario: Scenario, changes: Sequence[Change]) -> Scenario | str:
    """Return a scenario with some changes; the first reason where it is not sound, or cannot finish."""
    from simulation.construction import compile_plan
    from simulation.scenario import ScenarioError, vary

    if not changes:
        return scenario
    try:
        varied = vary(scenario, changes)
        compile_plan(varied)
    except ScenarioError as error:
        first = error.mistakes[0]
        return f"{first.key}: {first.wrong}" if first.key else first.wrong
    return varied


def start_change(scenario: Scenario, start: str) -> Change:
    """Return the change that has the first area begun from one end, or from its centre."""
    from simulation.scenario import Change
    from simulation.scenario.types.mistakes import block_name

    return Change(f"area.{block_name(0, scenario.area[0].name)}.start", start)


def _starts(scenario: Scenario) -> Iterator[tuple[str, list[Change]]]:
    from simulation.scenario.reading.teams import crews_instead

    if scenario.takes_up:
        yield from _taken_up(scenario)
        return
    first, people = scenario.area[0], sum(crew.people for crew in scenario.crew)
    other = CENTRE_OUT if first.start == ONE_END else ONE_END
    yield f"the same crews, {first.name} {STARTS[other]}", [start_change(scenario, other)]
    if len({crew.since for crew in scenario.crew}) > 1 or any(crew.shift for crew in scenario.crew):
        return
    for count, start in ((1, ONE_END), (2, CENTRE_OUT)):
        if (len(scenario.crew) == 1, first.start) == (count == 1, start) or people < count:
            continue
        each = [people // count + (number < people % count) for number in range(count)]
        name = f"one crew of {people}" if count == 1 else f"two crews of {' and '.join(map(str, dict.fromkeys(each)))}"
        changes = [crews_instead(each)] + ([] if start == first.start else [start_change(scenario, start)])
        yield f"{name}, {first.name} {STARTS[start]}", changes


def _taken_up(scenario: Scenario) -> Iterator[tuple[str, list[Change]]]:
    """Yield the other direction, and one crew more or fewer of as many people as all have together."""
    from simulation.scenario import Change
    from simulation.scenario.reading.teams import crews_instead

    other = "along" if scenario.take_up.direction == "against" else "against"
    yield f"{other} the direction of assembly", [Change("take_up.direction", other)]
    if len({crew.since for crew in scenario.crew}) > 1 or any(crew.shift for crew in scenario.crew):
        return
    people, own = sum(crew.people for crew in scenario.crew), len(scenario.crew)
    for count in (own - 1, own + 1):
        if 0 < count <= people:
            each = [people // count + (number < people % count) for number in range(count)]
            crews = "one crew" if count == 1 else f"{count} crews"
            yield f"{crews} of {' and '.join(map(str, dict.fromkeys(each)))}", [crews_instead(each)]


def _forklifts(scenario: Scenario) -> Iterator[tuple[str, list[Change]]]:
    from simulation.scenario import Change

    words = {-1: "one forklift fewer", 1: "one forklift more", 2: "two forklifts more"}
    for added in FORKLIFTS:
        count = scenario.forklifts.count + added
        if count >= 1:
            yield f"{words[added]} ({count})", [Change("forklifts.count", str(count))]
