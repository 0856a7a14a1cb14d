"""Who lays at a laying edge, and until when? By the time alone, or by shifts that end, people away and rows finished late.

Both ways answer the same questions, so that whoever lays need not know which it is.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from typing import TYPE_CHECKING

from simulation.conditions import WorkClock, after_hours, between_flights, relieved
from simulation.construction.plan.plan import Plan
from simulation.construction.plan.steps import END, NO_CREW, ROW, Step
from simulation.construction.site.event_loop import Process
from simulation.construction.site.step_factory import Begin
from simulation.scenario.types.uncertainty.distributions import Constant

if TYPE_CHECKING:
    from simulation.construction.actors.crew import Crew
    from simulation.construction.site.edges.laying_edge import LayingEdge
    from simulation.construction.site.site import Site


#: Hours of work that are none: sums of many steps are not exact to the last bit.
_SLACK = 1e-9
#: Hours before a change from which on is looked whether it has come: more than any slack by which it may come sooner.
_CLEAR = 1e-5
ABSENCE = "laying.absence"


def matters(plan: Plan) -> bool:
    """Return whether it matters in a plan who of the crews is at work."""
    absence = next((level.level for level in plan.levels if level.key == ABSENCE), Constant(0.0))
    return (
        plan.laying.finish_rows > 0.0
        or any(crew.clock != "laying" or relieved(crew.clock) in plan.clocks for crew in plan.crews)
        or absence != Constant(0.0)
    )


class TurnsByTime:
    """Crews that keep the same hours take turns by the time alone, and are there until the last row."""

    def __init__(self, site: Site) -> None:
        self.site = site

    def look(self, edge: LayingEdge, now: float) -> None:
        """Let the party that has rested take its turn, if the other's is over."""
        if now >= edge.turn_ends:
            edge.parties.append(edge.parties.pop(0))
            edge.turn_ends = now + self.site.plan.laying.relief_turn
            edge.parties[0][0].set_pace(edge)
            if edge.short_handed:
                edge.parties[0][0].set_pace_of_any(edge)

    def work(self, kind: int, hours: float, edge: LayingEdge, number: int, because: Step) -> Process:
        """Do a piece of work at a laying edge; return its step."""
        begin = self.site.flying.begin_at(edge) if edge.area.flown else self.site.begin
        return (yield begin(kind, hours, because, edge.parties[0][0].number, edge.index, number))

    def people_there(self, crew: Crew, now: float) -> int:
        """Return the people of a crew: all of them."""
        return crew.plan.people


class TurnsByShift:
    """Crews keep different hours, finish rows past them, rest in each other's turns, or have people away."""

    def __init__(self, site: Site) -> None:
        self.site = site
        self._begins: dict[str, Begin] = {}
        self._paces: dict[int, tuple[int, list[tuple[int, int]]]] = {}
        self._stays: list[tuple[Begin, float, bool]] = [(site.begin, 1.0, False)] * len(site.edges)

    def on_turn(self, edge: LayingEdge, now: float) -> Crew:
        """Let the party go on at a laying edge that is to lay now, and return its first crew.

        A turn that is over ends; then, of parties with different hours, the one that can begin first is on.
        """
        parties = edge.parties
        if len(parties) > 1:
            if now >= edge.turn_ends:
                parties.append(parties.pop(0))
                edge.turn_ends = now + self.site.plan.laying.relief_turn
            opens = [(not party[0].shifts.there(now), self._clock(party[0]).stretch(now)[0]) for party in parties]
            first = opens.index(min(opens))
            if first:
                parties[:] = parties[first:] + parties[:first]
                edge.turn_ends = now + self.site.plan.laying.relief_turn
        crew: Crew = parties[0][0]
        pace = self._day(now), [(crew.number, crew.lent) for crew in parties[0]]
        if self._paces.get(edge.index) != pace:
            self._paces[edge.index] = pace
            crew.set_pace(edge)
        return crew

    def look(self, edge: LayingEdge, now: float) -> None:
        """Nothing: each piece of work looks for itself."""

    def anybody(self, edge: LayingEdge, now: float) -> bool:
        """Return whether a crew whose shift it is has come to a laying edge."""
        for party in edge.parties:
            for crew in party:
                if crew.shifts.there(now):
                    return True
        return False

    def somebody(self, edge: LayingEdge, because: Step) -> Process:
        """Wait until a crew whose shift it is has come to a laying edge; return the step that let it."""
        while not self.anybody(edge, because[END]):
            edge.left, edge.waits_for_crew = because, self.site.env.event()
            because = yield edge.waits_for_crew
        return because

    def work(self, kind: int, hours: float, edge: LayingEdge, number: int, because: Step, rows: range | None = None) -> Process:
        """Do a piece of work at a laying edge, whoever is on; return the last step.

        A crew whose hours end leaves it: finished, if what it has begun can be finished in the time that it stays, or to the
        party that is on before it comes back, whose own pace the rest then takes. Where its shift ends and nobody is there, it
        waits for the next crew that comes.

        Parameters
        ----------
        kind, hours, edge, number, because
            As for a step.
        rows : range, optional
            The rows that it lays, taken up just now by who is on turn; a crew that stays finishes the one that it has begun.
        """
        laid = rows.start if rows else number
        if rows:
            crew: Crew = edge.parties[0][0]
        else:
            because = yield from self.somebody(edge, because)
            crew = self.on_turn(edge, because[END])
        parts = self._parts(edge, rows, hours)
        while True:
            clock, begin = self._begin(crew, edge)
            now = because[END]
            opens, goes_home = clock.stretch(now)[0], crew.shifts.until(now)
            if goes_home < math.inf and opens >= goes_home - _SLACK:  # the weather leaves nothing of its shift
                because = _did(crew, edge, (yield self.site.pause(NO_CREW, goes_home, because, crew.number, crew.plan.clock)))
                because = yield from self.somebody(edge, because)
                crew = self.on_turn(edge, because[END])
                continue
            ends = min(self._end_of_hours(crew, opens), goes_home)
            done = clock.worked(now, ends)
            left = math.fsum(parts)
            if done >= left - _SLACK or ends == math.inf:
                if rows:
                    self._note_what_stays(edge, crew, opens, ends, clock, begin)
                return _did(crew, edge, (yield begin(kind, left, because, crew.number, edge.index, number)))
            if done > _SLACK:
                parts, finished = _without(parts, done)
                laid += finished if rows else 0
                because = _did(crew, edge, (yield begin(kind, done, because, crew.number, edge.index, laid)))
            late = self._late(crew, edge, parts[0], because[END], ends)
            if late is not None:
                rest = parts.pop(0)
                laid = laid + 1 if rows else number
                because = _did(crew, edge, (yield late(kind, rest, because, crew.number, edge.index, laid)))
                if not parts:
                    return because
            former, pace = crew, edge.hours
            because = yield from self.somebody(edge, because)
            crew = self.on_turn(edge, because[END])
            if crew is former and done <= _SLACK:  # nobody else: what is left waits for its next hours
                return _did(crew, edge, (yield begin(kind, math.fsum(parts), because, crew.number, edge.index, number)))
            if rows and crew is not former:
                others = range(rows.stop - len(parts), rows.stop)
                parts = [part * edge.hours[row] / pace[row] for part, row in zip(parts, others, strict=True)]

    def lay_on(self, edge: LayingEdge, hours: float, row: int, because: Step) -> Step | None:
        """Begin to lay rows that are done before anything may change here; None where it may: then `work` has to look.

        The step is that of `work` to the bit, by a tenth of the questions.
        """
        begin, rate, closes = self._stays[edge.index]
        if because[END] + hours / rate >= edge.same_until or (edge.area.flown and self.site.flying.closes(edge) != closes):
            return None
        if hours != edge.hours[edge.laid] and hours != math.fsum(edge.hours[edge.laid : row]):
            # A check, what was learned, or the last bit of a sum of several rows: as `work` has it.
            hours = math.fsum(self._parts(edge, range(edge.laid, row), hours))
        crew: Crew = edge.parties[0][0]
        step = begin(ROW, hours, because, crew.number, edge.index, row)
        crew.last, edge.last_crew = step, crew
        return step

    def _note_what_stays(self, edge: LayingEdge, crew: Crew, opens: float, ends: float, clock: WorkClock, begin: Begin) -> None:
        """Note until when a crew lays alone at a laying edge, at one pace and one rate of its clock."""
        even = clock.stretch(opens)[1]
        if len(edge.parties) > 1 or opens == math.inf or even - opens < _CLEAR:
            return
        rate = clock.worked(opens, even) / (even - opens)
        tomorrow = self.site.plan.supply.midnight + 24.0 * (self._day(opens) + 1)
        edge.same_until = min(even, ends, tomorrow) - _CLEAR
        self._stays[edge.index] = begin, rate, self.site.flying.closes(edge)

    def _day(self, now: float) -> int:
        return math.floor((now - self.site.plan.supply.midnight) / 24.0 + 1e-9)

    def people_there(self, crew: Crew, now: float) -> int:
        """Return the people of a crew who are there on the day of a moment."""
        share = self.site.levels[ABSENCE]
        if share <= 0.0:
            return crew.plan.people
        day = max(0, self._day(now) + 1)
        laying = self.site.plan.laying
        least = laying.overhead + laying.team_size + 1
        return max(least, crew.plan.people - away(crew.luck_of_day(day), crew.plan.people, share))

    def _parts(self, edge: LayingEdge, rows: range | None, hours: float) -> list[float]:
        """Return the hours of each row of a piece of work, a check with the last of them; one part where it is no rows."""
        if not rows:
            return [hours]
        plain = [edge.hours[row] for row in rows]
        learned = min(1.0, hours / math.fsum(plain))
        parts = [part * learned for part in plain]
        parts[-1] += hours - math.fsum(parts)
        return parts

    def _begin(self, crew: Crew, edge: LayingEdge) -> tuple[WorkClock, Begin]:
        """Return the clock that a crew goes by at a laying edge, and what begins its steps."""
        name = crew.plan.clock
        if relieved(name) in self.site.clocks and sum(party[0].plan.clock == name for party in edge.parties) > 1:
            name = relieved(name)
        name = between_flights(name) if self.site.flying.closes(edge) else name
        return self.site.clocks[name], self._begin_on(name)

    def _begin_on(self, name: str) -> Begin:
        begin = self._begins.get(name)
        if begin is None:
            begin = self._begins[name] = self.site.begin_on(name)
        return begin

    def _clock(self, crew: Crew) -> WorkClock:
        return self.site.clocks[crew.plan.clock]

    def _end_of_hours(self, crew: Crew, moment: float) -> float:
        """Return when the hours of a crew end that a moment falls into."""
        ends = crew.plan.ends
        number = bisect_right(ends, moment + _SLACK)
        return ends[number] if number < len(ends) else math.inf

    def _late(self, crew: Crew, edge: LayingEdge, rest: float, now: float, ends: float) -> Begin | None:
        """Return what begins the step in which a crew finishes what it has begun, if it can in the time that it stays."""
        stays = self.site.plan.laying.finish_rows
        name = after_hours(crew.plan.clock)
        name = between_flights(name) if self.site.flying.closes(edge) else name
        if not stays or self.site.clocks[name].finish(now, rest) > ends + stays:
            return None
        return self._begin_on(name)


def _did(crew: Crew, edge: LayingEdge, step: Step) -> Step:
    """Note whose step was the last of a crew and at a laying edge, and return it."""
    crew.last, edge.last_crew = step, crew
    return step


def _without(parts: list[float], done: float) -> tuple[list[float], int]:
    """Return what is left of the parts of a piece of work after so many hours, and how many of them are done."""
    finished = 0
    while finished < len(parts) - 1 and done >= parts[finished] - _SLACK:
        done -= parts[finished]
        finished += 1
    return [max(parts[finished] - done, 0.0), *parts[finished + 1 :]], finished


Turns = TurnsByTime | TurnsByShift


def turns_at(site: Site) -> Turns:
    """Return who lays when on a site: the plain way, unless it matters who of the crews is at work."""
    return TurnsByShift(site) if matters(site.plan) else TurnsByTime(site)


def away(luck: float, people: int, share: float) -> int:
    """Return how many of so many people are away, where each is with a chance of `share`: binomial, by a uniform number."""
    count, term = 0, (1.0 - share) ** people
    reached = term
    while luck >= reached and count < people:
        count += 1
        term *= (people - count + 1) / count * share / (1.0 - share)
        reached += term
    return count
