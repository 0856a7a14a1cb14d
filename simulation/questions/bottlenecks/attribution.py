"""Attribute the hours of the chains of causes to who did the work or was waited for: who leads, how often, and when.

A cause is as fine as its name: forklifts have trips, unloading and repair, while all laying is one cause. Of single causes the
one with the broadest name would lead, so causes are put together by who they belong to, and these are compared.

Hours off shift and in the dark stand apart: they are most of the hours of nearly every run, they follow from all the others, and
nobody holds a run up in them. Rain and wet ground take hours on shift and are compared with the rest. Flight times and the port's
daily limit are nobody's work: more pallets or trucks change neither, so each stands for itself.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from simulation.conditions.clock.calendar import DARK, FATIGUE
from simulation.conditions.stops.weather_limits import COLD, HEAT, LIGHTNING, MUD, RAIN, WIND
from simulation.construction.plan.steps import CREWS, KINDS, SKY, TASKS
from simulation.construction.trace.chain import PAST, is_off_shift, is_task
from simulation.stats.chances import Chance, estimate_chance
from simulation.study.causes_of_time import with_chains

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from simulation.replicate.run_table import RunTable

    Hours = NDArray[np.float64]

#: What follows from all the rest: more work meets more nights.
CALENDAR = "off shift and dark"
#: What a clock loses hours to -> who is held to it.
_OF_LOSS = {
    **dict.fromkeys((LIGHTNING, RAIN, WIND, MUD, HEAT, COLD), SKY),
    FATIGUE: CREWS,
    DARK: CALENDAR,
}
#: Kind of work -> whose it is.
_OF_KIND = {kind.name: kind.owner for kind in KINDS}


@dataclass(frozen=True)
class Cause:
    """One cause on the chain of causes of readiness.

    Attributes
    ----------
    name : str
    hours : float
        Mean over the finished runs.
    leads : Chance or None
        In how many runs it has the most hours of all single causes; None for those of the calendar.
    """

    name: str
    hours: float
    leads: Chance | None


@dataclass(frozen=True)
class Holder:
    """Who, or what, holds runs up: some causes of the chain of causes, put together.

    Attributes
    ----------
    name : str
    causes : tuple of Cause
        The largest first.
    hours : float
        Mean over the finished runs.
    leads : Chance or None
        In how many runs it has the most hours of all; None for the calendar.
    thirds : dict of str to float
        The mean hours by third of a run's time to readiness, ``early``, ``middle``, ``late``.
    leads_by_third : dict of str to Chance, or None
        In how many runs it has the most hours of that third; None for the calendar.
    """

    name: str
    causes: tuple[Cause, ...]
    hours: float
    leads: Chance | None
    thirds: dict[str, float]
    leads_by_third: dict[str, Chance] | None


@dataclass(frozen=True)
class Leading:
    """The chains of causes of many runs.

    Attributes
    ----------
    runs : int
        Those that were ready by the last day simulated, or all where none was.
    holders : tuple of Holder
        The one that leads in most runs first; without the calendar.
    calendar : Holder or None
        Off shift and dark; None where there are no such hours.
    reached : bool
        Whether the chains lead to readiness; where no run was ready, they are those of all runs up to the last day simulated.
    """

    runs: int
    holders: tuple[Holder, ...]
    calendar: Holder | None
    reached: bool = True

    @property
    def hours(self) -> float:
        """The mean time of readiness, the sum of all."""
        return math.fsum(holder.hours for holder in (*self.holders, *((self.calendar,) if self.calendar else ())))

    @property
    def clear_leader(self) -> bool:
        """Whether the first leads in more runs than the second, beyond what chance in so many runs explains."""
        counts = [holder.leads.count for holder in self.holders[:2] if holder.leads]
        return len(counts) < 2 or not counts[1] or estimate_chance(counts[0], sum(counts)).low > 0.5

    def first(self, third: str) -> Holder:
        """Return the one that leads in most runs in a third; of several, the one with the most hours."""
        return max(self.holders, key=lambda holder: (_count(holder, third), holder.thirds[third]))


def _count(holder: Holder, third: str) -> int:
    return holder.leads_by_third[third].count if holder.leads_by_third else 0


def attribute_hours(runs: RunTable, ready: str) -> Leading:
    """Return what the chains of causes of milestone `ready` say; those up to the last day simulated where no run reached it."""
    from simulation.construction.trace.chain import THIRDS

    finished, reached = with_chains(runs, ready)
    if finished.empty:
        return Leading(0, (), None)
    first = f"cause.{THIRDS[0]}."
    names = [name.removeprefix(first) for name in finished.columns if name.startswith(first)]
    by_third = {third: {cause: finished[f"cause.{third}.{cause}"].astype(float) for cause in names} for third in THIRDS}
    whole = {cause: _sum(by_third[third][cause] for third in THIRDS) for cause in names}
    members: dict[str, list[str]] = {}
    for cause in names:
        if whole[cause].any():
            members.setdefault(_holder_of(cause), []).append(cause)
    in_race = [name for name in members if name != CALENDAR]
    race = {name: _sum(whole[cause] for cause in members[name]) for name in in_race}
    races = {third: {name: _sum(by_third[third][cause] for cause in members[name]) for name in in_race} for third in THIRDS}
    alone = _leads({cause: whole[cause] for name in in_race for cause in members[name]})
    leads, leads_by_third = _leads(race), {third: _leads(races[third]) for third in THIRDS}
    holders = []
    for name, causes in members.items():
        each = [Cause(cause, _mean(whole[cause]), alone.get(cause)) for cause in causes]
        holders.append(
            Holder(
                name,
                tuple(sorted(each, key=lambda cause: -cause.hours)),
                math.fsum(cause.hours for cause in each),
                leads.get(name),
                {third: math.fsum(_mean(by_third[third][cause]) for cause in causes) for third in THIRDS},
                None if name == CALENDAR else {third: leads_by_third[third][name] for third in THIRDS},
            )
        )
    ranked = sorted(holders, key=lambda holder: (-(holder.leads.count if holder.leads else 0), -holder.hours))
    return Leading(
        len(finished),
        tuple(holder for holder in ranked if holder.name != CALENDAR),
        next((holder for holder in holders if holder.name == CALENDAR), None),
        reached,
    )


def _holder_of(cause: str) -> str:
    """Return whose a cause is; one that is nobody's stands for itself."""
    if cause == PAST or is_off_shift(cause):
        return CALENDAR
    return TASKS if is_task(cause) else _OF_KIND.get(cause) or _OF_LOSS.get(cause) or cause


def _leads(hours: Mapping[str, Hours]) -> dict[str, Chance]:
    """Return in how many runs each has the most hours; of two with as many, the one with more in all."""
    names = sorted(hours, key=lambda name: -math.fsum(hours[name]))
    counts = dict.fromkeys(names, 0)
    each = list(zip(*(hours[name].tolist() for name in names), strict=True))
    for run in each:
        counts[names[max(range(len(names)), key=lambda index: run[index])]] += 1
    return {name: estimate_chance(count, len(each)) for name, count in counts.items()}


def _sum(parts: Iterable[Hours]) -> Hours:
    first, *others = parts
    total = first.copy()
    for hours in others:
        total += hours
    return total


def _mean(hours: Hours) -> float:
    return math.fsum(hours) / len(hours)
