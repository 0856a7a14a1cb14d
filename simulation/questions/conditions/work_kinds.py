"""Which kinds of work of a scenario are told apart where hours are lost? Those with hours or limits of their own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from simulation.conditions import ClockPlan, crew_clock, relieved
from simulation.conditions.clock.calendar import DARK
from simulation.conditions.clock.shift_pattern import begins_of_shifts, day_ends, rest_of
from simulation.conditions.clock.work_clocks import SHIFTS
from simulation.scenario import Scenario
from simulation.scenario.tables.people import Shift
from simulation.study.people import count_sets

_WORDS = {"forklift": "forklifts", "haul": "trucks", "port": "loading at the port", "grading": "grading"}
#: The same where the field is taken up.
_WHEN_UP = {"port": "at the port", "grading": "digging ramps out"}


@dataclass(frozen=True)
class Work:
    """A kind of work that is told of.

    Attributes
    ----------
    name : str
        What it is called; several names where they have one clock.
    clock : str
        Of `clock_plans`.
    begins : tuple of float
        When its shifts begin, hours since the start; one that is on at the start begins there.
    rest_days : int
        Days on which no shift begins because they are days of rest, from the start to the last day simulated.
    rest_hours : float
        Hours that the shift would have had without them.
    sets : int
        Sets of people that keep a shift, one after the other; a crew is always one.
    day_ends : float
        Hours past midnight at which its days end: those of a shift that begins before midnight are hours of the day before.
    lit : bool
        Whether there is work in all hours of darkness of its shift, if at a slower pace.
    """

    name: str
    clock: str
    begins: tuple[float, ...]
    rest_days: int
    rest_hours: float
    sets: int
    day_ends: float = 0.0
    lit: bool = False


def list_works(scenario: Scenario, plans: Mapping[str, ClockPlan]) -> tuple[Work, ...]:
    """Return the kinds of work of a scenario, crews first; those that go by the same plan object are one."""
    names: dict[int, list[str]] = {}
    first: dict[int, tuple[str, Shift]] = {}

    def add(name: str, clock: str, shift: Shift) -> None:
        key = id(plans[clock])
        names.setdefault(key, []).append(name)
        first.setdefault(key, (clock, shift))

    clocks = [crew_clock(scenario, number) for number in range(len(scenario.crew))]
    if "laying" in clocks:
        add("taking up" if scenario.takes_up else "laying", "laying", scenario.shifts.of("laying"))
    for crew, clock in zip(scenario.crew, clocks, strict=True):
        if crew.shift is not None:
            add(f"crew {crew.name}", clock, crew.shift)
    for clock in dict.fromkeys(clocks):
        in_turns = sum(other == clock for other in clocks) > 1 or not any(crew.shift for crew in scenario.crew)
        if relieved(clock) in plans and in_turns and plans[relieved(clock)] != plans[clock]:
            shift = scenario.crew[clocks.index(clock)].shift or scenario.shifts.of("laying")
            add(f"{names[id(plans[clock])][0]} in turns", relieved(clock), shift)
    shipments = scenario.take_up.shipments if scenario.takes_up else scenario.supply.shipments
    wanted = {
        "forklift": True,
        "haul": bool(scenario.supply.trucks),
        "port": bool(scenario.supply.trucks or shipments),
        "grading": any(area.end_ramps for area in scenario.area) if scenario.takes_up else scenario.grading.needed,
    }
    for kind, asked in wanted.items():
        if asked:
            add((_WHEN_UP if scenario.takes_up else {}).get(kind, _WORDS[kind]), kind, scenario.shifts.of(SHIFTS[kind]))
    return tuple(
        Work(
            ", ".join(names[key]),
            clock,
            _begins(scenario, shift),
            *rest_of(shift, scenario.starts, scenario.horizon),
            count_sets(shift) if clock in _WORDS else 1,
            day_ends(shift),
            all(rate > 0.0 for _, _, rate, cause in plans[clock].calendar if cause == DARK),
        )
        for key, (clock, shift) in first.items()
    )


def _begins(scenario: Scenario, shift: Shift) -> tuple[float, ...]:
    begins = begins_of_shifts(shift, scenario.starts, scenario.horizon)
    return tuple(max(begin, 0.0) for begin in begins if -24.0 < begin < scenario.horizon)
