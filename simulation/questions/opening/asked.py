"""Which lengths and windows are asked for, and which milestone and area are they of?"""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.scenario import Change, vary
from simulation.scenario.types.mistakes import refusal, shown, step_name
from simulation.scenario.types.quantities.units import read_quantity
from simulation.study.job import refuse_take_up

if TYPE_CHECKING:
    from simulation.scenario import Scenario
    from simulation.scenario.tables.ground import Milestone

#: Lengths that are tried in one call, at most: each is tried from every start, with windows and without. Planning value.
MOST_LENGTHS = 8
#: How the other start of an area is called.
_OTHER = {"one-end": "centre-out", "centre-out": "one-end"}
_SPAN = re.compile(r"\d{1,2}:\d{2}(-\d{1,2}:\d{2})?")


@dataclass(frozen=True)
class Opening:
    """One way to open early.

    Attributes
    ----------
    start : str
        Where laying of the area begins.
    length : float
        Feet that must be usable.
    windows : tuple of str
        In which it is flown from; none where laying goes on.
    used : bool
        Whether it is used: in windows, over temporary ends, or both.
    scenario : Scenario
    """

    start: str
    length: float
    windows: tuple[str, ...]
    used: bool
    scenario: Scenario


def milestone_of(scenario: Scenario) -> Milestone:
    """Return the milestone whose length is varied: that from which on the field is flown from, else the first that asks for one.

    Raises
    ------
    ScenarioError
        If there is none.
    """
    refuse_take_up(scenario, "no length of it becomes usable")
    asking = [milestone for milestone in scenario.milestones if milestone.usable is not None]
    if not asking:
        right = 'add [[milestone]] with usable = { area = "runway", length = "2000 ft" }'
        raise refusal(scenario.source.file, "no milestone asks for a usable length", right, "milestone")
    return next((milestone for milestone in asking if milestone.name == scenario.flying.since), asking[0])


def read_lengths(text: str | None, scenario: Scenario) -> tuple[float, ...]:
    """Return lengths in feet, rising; a plain number is in the unit in which the scenario's lengths are told.

    Raises
    ------
    ScenarioError
        If one cannot be read, or is longer than the area.
    """
    usable = milestone_of(scenario).usable
    assert usable is not None
    if text is None:
        return (usable.length,)
    measures = scenario.measures.length
    area = next(area for area in scenario.area if area.name == usable.area)
    lengths: set[float] = set()
    unit = measures.quoted(1.0).strip('"').split()[-1]
    for part in (part.strip() for part in text.split(",")):
        try:
            length = read_quantity("length", f"{part} {unit}" if re.fullmatch(r"\d+(\.\d+)?", part) else part)
        except Exception as error:
            raise refusal(
                "lengths", f"{shown(part)} is not a length", "write --lengths 2000,2600 or --lengths 600m,800m"
            ) from error
        if not 0 < length <= area.length + 1e-6:
            right = f"write lengths up to {measures.quoted(area.length)}"
            raise refusal("lengths", f"{measures.text(length)} of {area.name} can never be usable", right)
        lengths.add(length)
    if len(lengths) > MOST_LENGTHS:
        raise refusal("lengths", f"{len(lengths)} lengths are more than can be told apart", f"write at most {MOST_LENGTHS}")
    return tuple(sorted(lengths))


def read_windows(text: str | None, scenario: Scenario) -> tuple[str, ...]:
    """Return windows and single movements as texts; without any asked for, those of the scenario.

    Raises
    ------
    ScenarioError
        If one cannot be read.
    """
    if text is None:
        windows = (f"{_clock(start)}-{_clock(end)}" for start, end in scenario.flying.windows)
        return (*windows, *(_clock(at) for at in scenario.flying.movements))
    parts = tuple(part.strip() for part in text.split(","))
    for part in parts:
        if not _SPAN.fullmatch(part):
            raise refusal("windows", f"{shown(part)} is neither a span of hours nor a time", "write --windows 06:00-10:00,16:30")
    return parts


def openings(scenario: Scenario, lengths: tuple[float, ...], windows: tuple[str, ...]) -> list[Opening]:
    """Return what is tried: every length from every start, not used, and used in windows, over temporary ends, or both.

    Raises
    ------
    ScenarioError
        If the windows cannot be read, or the scenario with them is not sound.
    """
    milestone = milestone_of(scenario)
    assert milestone.usable is not None
    area = next(area for area in scenario.area if area.name == milestone.usable.area)
    starts = [area.start] if area.guide_rail else [area.start, _OTHER[area.start]]
    name = step_name(milestone.name)
    ways = []
    for start in starts:
        for length in lengths:
            for used in (False, True) if windows or scenario.makes_ends else (False,):
                flown = windows if used else ()
                changes = [
                    Change(f"milestone.{name}.usable.length", f"{length!r} ft"),
                    Change("flying.from", json.dumps(milestone.name, ensure_ascii=False)),
                    Change("flying.area", json.dumps(area.name, ensure_ascii=False)),
                    Change("flying.windows", json.dumps([written for written in flown if "-" in written])),
                    Change("flying.movements", json.dumps([written for written in flown if "-" not in written])),
                ]
                if scenario.makes_ends:
                    ends = _names_with_ends(scenario) if used else []
                    if ends is not None:
                        changes.append(Change("temporary_end.milestones", json.dumps(ends, ensure_ascii=False)))
                if start != area.start:
                    changes.append(Change(f"area.{step_name(area.name)}.start", start))
                ways.append(Opening(start, length, flown, used, vary(scenario, changes)))
    return ways


def _names_with_ends(scenario: Scenario) -> list[str] | None:
    """Return the milestones for which temporary ends are asked that still ask for one where the field is flown from another."""
    assert scenario.temporary_end is not None
    asked, names = scenario.temporary_end.milestones, {each.name for each in scenario.milestones if each.usable is not None}
    return None if asked is None else [name for name in asked if name in names]


def _clock(hours: float) -> str:
    minutes = round(60 * (hours % 24.0)) if hours != 24.0 else 24 * 60
    return f"{minutes // 60:02d}:{minutes % 60:02d}"
