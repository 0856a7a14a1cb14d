"""What in shifts, stops, heat, ground and roads does not go together?"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from simulation.scenario.tables.people import Crew
from simulation.scenario.tables.scenario import Scenario
from simulation.scenario.tables.shifts import Shift, Shifts
from simulation.scenario.types.mistakes import Mistake, block_name
from simulation.scenario.types.named_values import TEXTURES
from simulation.scenario.types.unreadable import apply_rule

_MM_PER_FOOT = 304.8


def conditions_mistakes(scenario: Scenario) -> Iterator[Mistake]:
    """Yield what does not go together in what a scenario says of hours of work and of what the sky does to them."""
    for rule in (_shifts, _crews_shifts, _merged, _sun, _ground):
        yield from apply_rule(rule, scenario)


def _shifts(scenario: Scenario) -> Iterator[Mistake]:
    for kind in Shifts.model_fields:
        if (shift := getattr(scenario.shifts, kind)) is not None:
            yield from apply_rule(_of_shift, f"shifts.{kind}", shift)


def _crews_shifts(scenario: Scenario) -> Iterator[Mistake]:
    for index, crew in enumerate(scenario.crew):
        if crew.shift is not None:
            yield from apply_rule(_of_shift, f"crew.{block_name(index, crew.name)}.shift", crew.shift)


def _of_shift(key: str, shift: Shift) -> Iterator[Mistake]:
    yield from apply_rule(_overlap, f"{key}.hours", shift)
    if shift.breaks:
        yield from apply_rule(_overlap, f"{key}.breaks", shift)
        yield from apply_rule(_breaks_within, f"{key}.breaks", shift)
    yield from apply_rule(_nothing_left, key, shift)


def _overlap(key: str, shift: Shift) -> Iterator[Mistake]:
    spans = sorted(getattr(shift, key.rpartition(".")[2]))
    next_day = spans[0][0] + 24, spans[0][1] + 24
    if any(before[1] > after[0] + 1e-9 for before, after in pairwise([*spans, next_day])):
        yield Mistake(key, "two spans of hours overlap", "write spans that follow each other")


def _breaks_within(key: str, shift: Shift) -> Iterator[Mistake]:
    spans = [(start + day, end + day) for start, end in shift.hours for day in (-24.0, 0.0, 24.0)]
    for start, end in shift.breaks:
        if not any(first - 1e-9 <= start and end <= last + 1e-9 for first, last in spans):
            wrong = f"{_clock(start)}-{_clock(end)} lies outside of the hours"
            yield Mistake(key, wrong, "write breaks within a span of hours; between two spans nobody works anyway")


def _clock(hours: float) -> str:
    minutes = round(60 * hours) % 1440
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def _nothing_left(key: str, shift: Shift) -> Iterator[Mistake]:
    hours = sum(end - start for start, end in shift.hours)
    lost = shift.taking_over + shift.handing_over + sum(end - start for start, end in shift.breaks)
    if lost >= hours:
        wrong = f"breaks and hand-overs of {lost:.3g} h leave nothing of {hours:.3g} h"
        yield Mistake(key, wrong, "write longer hours, or shorter breaks and hand-overs")


def _merged(scenario: Scenario) -> Iterator[Mistake]:
    def hours(crew: Crew) -> Shift:
        return crew.shift or scenario.shifts.of("laying")

    for index, crew in enumerate(scenario.crew):
        if crew.second_crew == "merge":
            others = [other for other in scenario.crew if other is not crew and set(other.areas) & set(crew.areas)]
            if any(hours(other) != hours(crew) for other in others):
                wrong = "crews that put their people together keep the same hours, and another on its areas keeps others"
                yield Mistake(f"crew.{block_name(index, crew.name)}.second_crew", wrong, 'write "relief", or the same shift')


def _sun(scenario: Scenario) -> Iterator[Mistake]:
    if scenario.site is not None:
        return
    if scenario.heat is not None:
        yield Mistake("heat", "goes by the height of the sun, and where that is nothing says", "write [site]")
    if scenario.soil is not None and scenario.soil.evaporation is None:
        wrong = "the ground dries by the sun, and where that is nothing says"
        yield Mistake("soil.evaporation", wrong, 'write [site], or what the sky takes a day, such as "5 mm"')


def _ground(scenario: Scenario) -> Iterator[Mistake]:
    if (soil := scenario.soil) is None:
        return
    readily, totally = (
        by_texture if depth is None else depth * _MM_PER_FOOT
        for depth, by_texture in zip((soil.readily, soil.totally), TEXTURES[soil.texture], strict=True)
    )
    if readily >= totally:
        wrong = f"{readily:.3g} mm are not less than the {totally:.3g} mm that evaporate at all"
        yield Mistake("soil.readily", wrong, "write readily below totally")
