"""What stands beside the best plan? Plans of another kind, plans of fewer people, and more of each thing that may bind."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from simulation.questions.plan.limits import Limits
from simulation.questions.plan.space import ChosenPlan, Picks, Space
from simulation.study.people import count_people

if TYPE_CHECKING:
    from simulation.scenario import Change, Scenario

#: Plans of another kind that are shown. The number that a commander weighs.
KINDS = 3
#: Parts of the people in the best plan's crews that are tried beside it. Planning values.
PARTS = (0.5, 0.65, 0.8, 0.9, 1.15, 1.3)
#: What more of each thing is tried: a squad of people, so many forklifts, a part of the loads a day. Planning values.
MORE_PEOPLE, MORE_FORKLIFTS, MORE_LOADS = 10, (1, 2), 0.25


def find_kind(scenario: Scenario) -> tuple[object, ...]:
    """Return what makes a plan one of another kind: starts, crews and where they begin, forklifts; not how many are in a crew."""
    crews = [(crew.areas, crew.shift, crew.since, crew.second_crew) for crew in scenario.crew]
    return tuple(area.start for area in scenario.area), tuple(crews), scenario.forklifts.count, len(crews)


def pick_kinds(space: Space, tried: Sequence[Picks], best: ChosenPlan) -> list[ChosenPlan]:
    """Return the best plans of other kinds, each of which differs from the best one in a thing in which none before it does.

    Three plans that differ in the forklifts alone tell a commander less than one of them, one from another start and one with
    other crews.
    """
    kinds = {find_kind(best.scenario)}
    others: list[tuple[frozenset[int], ChosenPlan]] = []
    for picks in tried:
        plan = space.plan(picks)
        if plan is None or find_kind(plan.scenario) in kinds:
            continue
        kinds.add(find_kind(plan.scenario))
        pairs = enumerate(zip(find_kind(plan.scenario), find_kind(best.scenario), strict=True))
        others.append((frozenset(number for number, (mine, its) in pairs if mine != its), plan))
    shown: list[ChosenPlan] = []
    seen: set[int] = set()
    for differs, plan in others:
        if len(shown) < KINDS and not differs <= seen:
            seen |= differs
            shown.append(plan)
    return shown


def scale_crews(best: ChosenPlan, limits: Limits) -> Iterator[ChosenPlan]:
    """Yield the best plan with fewer and with more people in its crews, within the limits."""
    for part in PARTS:
        sizes = [max(1, round(part * crew.people)) for crew in best.scenario.crew]
        named = ", ".join(f"{crew.name} {size}" for crew, size in zip(best.scenario.crew, sizes, strict=True))
        plan = change_plan(best, f"crew{'s' if len(sizes) > 1 else ''} {named}", _size_changes(best.scenario, sizes))
        if plan is not None and not limits.broken_by(plan.scenario):
            yield plan


def list_more(best: ChosenPlan) -> Iterator[tuple[str, ChosenPlan]]:
    """Yield what may bind, and the best plan with more of it: forklifts, people, loads a day, grading, room at laying edges."""
    from simulation.scenario import Change

    scenario = best.scenario
    for more in MORE_FORKLIFTS:
        words = f"{'one' if more == 1 else 'two'} more forklift{'' if more == 1 else 's'}"
        yield from _more(best, "forklifts", words, (Change("forklifts.count", f"+{more}"),))
    each, over = divmod(MORE_PEOPLE, len(scenario.crew))
    sizes = [crew.people + each + (number < over) for number, crew in enumerate(scenario.crew)]
    yield from _more(best, "people", "ten more people in the crews", _size_changes(scenario, sizes))
    if scenario.supply.per_day_limit is not None:
        loads = max(1, round(MORE_LOADS * scenario.supply.per_day_limit))
        yield from _more(best, "loads a day", f"{loads:,} more loads a day", (Change("supply.per_day_limit", f"+{loads}"),))
    if scenario.supply.trucks:
        several = len(scenario.supply.trucks) > 1
        words = f"one more truck{' in each fleet' if several else ''}"
        yield from _more(best, "trucks", words, (Change("supply.trucks.*.count", "+1"),))
    if any(area.end_ramps for area in scenario.area) if scenario.takes_up else scenario.grading.needed:
        yield from _more(best, "grading", "one more grading gang", (Change("grading.gangs", "+1"),))
    where = "where each crew lifts" if scenario.takes_up else "at each laying edge"
    yield from _more(
        best,
        "room where crews lift" if scenario.takes_up else "room at the laying edges",
        f"room for one more row in work {where}",
        (Change("laying.rows_in_work", "+1"),),
    )


def _more(best: ChosenPlan, thing: str, words: str, changes: tuple[Change, ...]) -> Iterator[tuple[str, ChosenPlan]]:
    plan = change_plan(best, words, changes)
    if plan is not None:
        yield thing, plan


def change_plan(best: ChosenPlan, name: str, changes: tuple[Change, ...]) -> ChosenPlan | None:
    """Return the best plan with more changes in it; None where it cannot work."""
    from simulation.construction import compile_plan
    from simulation.scenario import ScenarioError, vary

    try:
        varied = vary(best.scenario, changes)
        compile_plan(varied)
    except ScenarioError:
        return None
    return ChosenPlan(name, (*best.changes, *changes), varied, count_people(varied).total)


def _size_changes(scenario: Scenario, sizes: Sequence[int]) -> tuple[Change, ...]:
    from simulation.scenario import Change
    from simulation.scenario.types.mistakes import block_name

    return tuple(
        Change(f"crew.{block_name(index, crew.name)}.people", str(size))
        for index, (crew, size) in enumerate(zip(scenario.crew, sizes, strict=True))
        if crew.people != size
    )


def keep_frontier(points: Sequence[tuple[ChosenPlan, float]], most: int) -> list[ChosenPlan]:
    """Return the plans that no plan of as few people betters, the fewest people first; at most so many, evenly chosen."""
    kept: list[ChosenPlan] = []
    least = float("inf")
    for plan, value in sorted(points, key=lambda point: (point[0].people, point[1])):
        if value < least:
            least = value
            kept = [other for other in kept if other.people < plan.people]
            kept.append(plan)
    if len(kept) <= most:
        return kept
    return [kept[round(number * (len(kept) - 1) / (most - 1))] for number in range(most)]
