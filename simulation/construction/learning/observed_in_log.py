"""What of a site log says how fast things go? Its lines, made into what a likelihood can be worked out for.

What a log cannot tell is not guessed. Where nobody wrote what was lost and mats or ground may have run short, the clock's hours
are only the most that the rows can have taken.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from simulation.construction.learning.observed import Observed, RowsDone, ShareSeen, Spent
from simulation.construction.plan.plan import Plan
from simulation.scenario.site_log.evidence import Evidence, RowsLaid
from simulation.scenario.types.uncertainty.distributions import Constant

#: What is not known of the hours in which trucks went round: how long they stood in the yard. Planning value.
_STOOD = 0.15
#: Share of a daily limit, or of all that comes, from which trucks may have waited for it. Planning value.
_NEAR = 0.8


def observed_in(plan: Plan, evidence: Evidence) -> tuple[Observed, ...]:
    """Return what a log says of the levels of a plan."""
    return (*_rows(plan, evidence), *_shares(plan, evidence), *_trucks(plan, evidence))


def _rows(plan: Plan, evidence: Evidence) -> Iterator[RowsDone]:
    writes_losses = bool(evidence.rained) or any(row.lost for row in evidence.rows)
    rows = sorted(evidence.rows, key=lambda row: (row.end, row.line))
    before: Counter[int] = Counter()
    laid_by_all = Counter((row.crew, row.start, row.end) for row in rows for _ in range(row.first, row.upto))
    mats_laid = 0
    for row in rows:
        count = row.upto - row.first
        crew = _crew_of(plan, row)
        mats_laid += sum(plan.edges[row.edge].full[row.first : row.upto]) + sum(plan.edges[row.edge].half[row.first : row.upto])
        whole = laid_by_all[row.crew, row.start, row.end]
        part = count / whole if row.crew is not None and whole else 1.0
        # A line without rows and hours says nothing: there may have been no work there.
        if count or (row.worked is not None and row.worked > 0.0):
            lost = sum(hours for _, hours in row.lost)
            yield RowsDone(
                edge=row.edge,
                first=row.first,
                upto=row.upto,
                crew=crew,
                people=row.people if row.people is not None else plan.crews[crew].people,
                start=row.start,
                end=row.end,
                hours=row.worked,
                lost=lost if writes_losses else None,
                waited=row.worked is None and not writes_losses and _may_have_waited(plan, evidence, row, mats_laid),
                rows_before=before[crew],
                part=part,
            )
        before[crew] += count


def _crew_of(plan: Plan, row: RowsLaid) -> int:
    """Return the crew that laid: where the log does not say, the first that works there."""
    if row.crew is not None:
        return row.crew
    area = plan.edges[row.edge].area
    return next((number for number, crew in enumerate(plan.crews) if area in crew.areas), 0)


def _may_have_waited(plan: Plan, evidence: Evidence, row: RowsLaid, mats_laid: int) -> bool:
    """Return whether the laying edge may have waited for ground, or for mats: there were no more than can be staged."""
    supply = plan.supply
    came = supply.on_hand + sum(delivery.pallets for delivery in evidence.came if delivery.end <= row.end)
    left = came - mats_laid / (supply.full + supply.half)
    return row.upto > plan.edges[row.edge].graded or left < plan.forklifts.places * len(plan.edges)


def _shares(plan: Plan, evidence: Evidence) -> Iterator[ShareSeen]:
    counted = [row for row in evidence.rows if row.rejected is not None and row.upto > row.first]
    if counted and plan.used is None:  # used mats are set aside for more than one reason, and a log does not tell which
        mats = sum(sum(plan.edges[row.edge].full[row.first : row.upto]) for row in counted)
        mats += sum(sum(plan.edges[row.edge].half[row.first : row.upto]) for row in counted)
        yield ShareSeen("laying.damaged_mats", sum(row.rejected or 0 for row in counted), mats)
    absence = next(level for level in plan.levels if level.key == "laying.absence")
    if isinstance(absence.level, Constant):  # who was there counts where it is written, and teaches nothing of other days
        return
    there = {(row.crew, row.start): row.people for row in evidence.rows if row.crew is not None and row.people is not None}
    for (crew, _), people in there.items():
        full = plan.crews[crew].people
        yield ShareSeen("laying.absence", max(full - people, 0), full)


def _trucks(plan: Plan, evidence: Evidence) -> Iterator[Spent]:
    """Yield the rounds of trucks, where there is one fleet; what was flown in is left out."""
    supply = plan.supply
    if len(supply.fleets) != 1 or not evidence.came:
        return
    fleet = supply.fleets[0]
    pallets = sum(delivery.pallets - delivery.flown for delivery in evidence.came)
    loads = round(pallets / fleet.pallets)
    until = max(delivery.end for delivery in evidence.came)
    calendar = plan.clocks["haul"].calendar
    hours = sum(max(min(high, until) - max(low, fleet.since), 0.0) * rate for low, high, rate, _ in calendar if rate > 0.0)
    if plan.clocks["forklift"].rain:  # a truck that comes in the rain waits to be unloaded
        hours -= _rained(evidence, until)
    if loads < fleet.count or hours <= 0.0:
        return
    days = Counter(int((delivery.end - supply.midnight) // 24.0) for delivery in evidence.came for _ in range(delivery.pallets))
    limited = supply.per_day_limit is not None and max(days.values()) >= _NEAR * supply.per_day_limit
    came = supply.on_hand + sum(delivery.pallets for delivery in evidence.came)
    middle = {level.key: level.level.quantile(0.0) for level in plan.levels}
    yield Spent(
        keys=tuple(f"{fleet.key}.{part}" for part in ("load", "haul", "return")),
        count=loads,
        hours=fleet.count * hours,
        at_most=limited or supply.loading_places is not None or came >= _NEAR * supply.total,
        side_by_side=fleet.count,
        besides=fleet.pallets * 2.0 * middle["forklifts.handle"] / middle["forklifts.efficiency"],
        unsure=_STOOD,
    )


def _rained(evidence: Evidence, until: float) -> float:
    """Return the hours that somebody lost to rain: of several who lost them in the same shift, those of the one who lost most."""
    lost: dict[float, float] = {}
    for rain in evidence.rained:
        if rain.end <= until:
            lost[rain.start] = max(lost.get(rain.start, 0.0), rain.hours)
    return sum(lost.values())
