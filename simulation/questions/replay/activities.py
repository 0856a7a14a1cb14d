"""What does each actor of a run do at an hour, and where is it?"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass, replace

from simulation.conditions import WorkClock
from simulation.construction import Finished
from simulation.construction.plan.steps import (
    ACTOR,
    BACKFILL,
    CLOSING,
    DRILL,
    EDGE,
    END,
    KIND,
    KINDS,
    NO_CREW,
    NUMBER,
    ROW,
    SHORT_SECTION,
    START,
    TASK,
    WORK,
    Step,
)
from simulation.construction.site.edges import waits
from simulation.construction.site.edges.waits import Wait, list_waits
from simulation.construction.trace.links import clock_of
from simulation.field import Point
from simulation.questions.replay.forklift_jobs import Consignment, Job, list_consignments, list_jobs
from simulation.questions.replay.on_the_ground import Ground, along, first_feet, length

#: What somebody waits for, or is done with; what somebody does goes by the name of the kind of step.
WAITS = "waits for "
GROUND, RAIL_AHEAD, STRIPS = (f"{WAITS}{what}" for what in (waits.GROUND, waits.RAIL_AHEAD, waits.STRIPS))
MATS = tuple(f"{WAITS}{what}" for what in (waits.FULL_MATS, waits.HALF_MATS, waits.BOTH_MATS))
EDGE_TO_OPEN, JOB, UNLOADED, TURN, DONE = (
    "waits for a laying edge",
    "waits for a job",
    "waits to be unloaded",
    "rests, the other crew lays",
    "done",
)
TOGETHER = "lays with another crew"
BEING_UNLOADED = "is being unloaded"

#: Kinds of actors that are seen on the ground or at its gate, and the clock that each goes by.
CLOCKS = {
    "crew": "laying",
    "rail gang": "laying",
    "forklift": "forklift",
    "grading": "grading",
    "following": "grading",
    "truck": "haul",
}

#: Kinds of work beside laying.
FOLLOWING = (BACKFILL, DRILL, TASK)

#: Hours: a clock is asked what it loses from a moment on for so long.
_INSTANT = 1e-6


@dataclass(frozen=True)
class Doing:
    """What one actor does at an hour.

    Attributes
    ----------
    kind : str
        A key of `CLOCKS`.
    name : str
    what : str
        The name of a kind of step, or one of the waits of this file.
    stopped : str
        What its clock loses this hour to; empty where it runs.
    edge : int
        −1 where it is at none.
    point : tuple of float or None
        Where it is; None off the site. A forklift's is taken as evenly on its way over the hours of its job.
    """

    kind: str
    name: str
    what: str
    stopped: str = ""
    edge: int = -1
    point: Point | None = None


def held_up_by(clock: WorkClock, hour: float) -> tuple[str, ...]:
    """Return what a clock loses time to just after an hour, what it loses most to first; nothing where it runs at full rate."""
    lost = clock.losses(hour, hour + _INSTANT)
    return tuple(sorted(lost, key=lambda cause: -lost[cause]))


def stopped_by(clock: WorkClock, hour: float) -> str:
    """Return what stops a clock just after an hour; empty where work goes on, though it may be slowed."""
    causes = held_up_by(clock, hour)
    return causes[0] if causes and clock.worked(hour, hour + _INSTANT) <= 1e-3 * _INSTANT else ""


class Doings:
    """Tells for any hour of a run what its actors do."""

    def __init__(self, run: Finished, ground: Ground) -> None:
        self.run, self.ground = run, ground
        self.steps: dict[int, list[Step]] = {number: [] for number in range(len(run.actors))}
        self.ends: dict[int, float] = {}
        self.laid: dict[int, list[Step]] = {edge: [] for edge in range(len(ground.edges))}
        for step in run.site.trace:
            if step[ACTOR] >= 0:
                self.steps[step[ACTOR]].append(step)
            if step[KIND] == ROW:
                laid = self.laid[step[EDGE]]
                if laid and laid[-1][NUMBER] == step[NUMBER]:  # begun by one crew, finished by another
                    laid.pop()
                laid.append(step)
                if step[NUMBER] == ground.edges[step[EDGE]].rows:
                    self.ends[step[EDGE]] = step[END]
        self.waits: dict[int, list[Wait]] = {edge: [] for edge in range(len(ground.edges))}
        for wait in list_waits(run.site, run.site.env.now):
            self.waits[wait.edge].append(wait)
        jobs = list_jobs(run)
        self.jobs: dict[int, list[Job]] = {}
        for job in jobs:
            self.jobs.setdefault(job.forklift, []).append(job)
        self.loads: dict[int, list[Consignment]] = {}
        for load in list_consignments(run):
            self.loads.setdefault(load.actor, []).append(load)

    def at(self, hour: float) -> tuple[Doing, ...]:
        """Return what crews, forklifts, grading gangs and trucks do at an hour."""
        how = {
            "crew": self._crew,
            "rail gang": self._rail_gang,
            "forklift": self._forklift,
            "grading": self._gang,
            "following": self._after_rows,
            "truck": self._truck,
        }
        return tuple(
            replace(how[actor.kind](number, hour), kind=actor.kind, name=actor.name, stopped=self._stopped(number, hour))
            for number, actor in enumerate(self.run.actors)
            if actor.kind in how
        )

    def _stopped(self, actor: int, hour: float) -> str:
        """Return what stops an actor: the clock of what it does, or of its kind where it waits."""
        clocks, step = self.run.site.clocks, self._now(actor, hour)[1]
        crew = next((crew for crew in self.run.crews if crew.number == actor), None)
        if step is not None and id(step) in clocks.own:
            return stopped_by(clocks.own[id(step)], hour)
        if crew is not None and (step is None or KINDS[step[KIND]].clock == CLOCKS["crew"]):
            return stopped_by(clocks[crew.plan.clock], hour)
        name = CLOCKS[self.run.actors[actor].kind] if step is None else KINDS[step[KIND]].clock
        return "" if name is None else stopped_by(clocks[name], hour)

    def closing(self, hour: float) -> tuple[str, ...]:
        """Return the milestones whose final sweep, inspection and marking is under way at an hour."""
        milestones = self.run.site.plan.milestones
        return tuple(milestones[step[NUMBER]].name for step in self._closing(hour))

    def closing_again(self, hour: float) -> float | None:
        """Return when final sweep, inspection and marking under way at an hour, but stopped, goes on; None where none is, or
        some of it is done.
        """
        clocks = self.run.site.clocks
        opens = [clock.stretch(hour)[0] for step in self._closing(hour) if (clock := clock_of(step, clocks)) is not None]
        again = min(opens, default=hour)
        return again if again > hour + _INSTANT else None

    def _closing(self, hour: float) -> list[Step]:
        return [
            step
            for number, actor in enumerate(self.run.actors)
            if actor.kind == "milestone"
            for step in self.steps[number]
            if step[KIND] == CLOSING and step[START] <= hour < step[END]
        ]

    def _now(self, actor: int, hour: float) -> tuple[Step | None, Step | None, Step | None]:
        """Return the step before an hour that has ended, the one under way, and the next; None where there is none."""
        steps = self.steps[actor]
        at = bisect_right(steps, hour, key=lambda step: step[START])
        follows = steps[at] if at < len(steps) else None
        if at and steps[at - 1][END] > hour:
            return None, steps[at - 1], follows
        return (steps[at - 1] if at else None), None, follows

    def _rows(self, edge: int, hour: float) -> int:
        """Return the rows of a laying edge that are laid at an hour."""
        steps = self.laid[edge]
        at = bisect_right(steps, hour, key=lambda step: step[END])
        return steps[at - 1][NUMBER] if at else 0

    def _crew(self, number: int, hour: float) -> Doing:
        before, step, follows = self._now(number, hour)
        crew = next(crew for crew in self.run.crews if crew.number == number)
        for _, edge, since, left in crew.merged:
            if since <= hour < min(left, self.ends.get(edge, float("inf"))):
                return self._at_edge("crew", TOGETHER, edge, hour)
        if step is not None:
            if step[KIND] == NO_CREW:  # it is the laying edge that waits
                return Doing("crew", "", EDGE_TO_OPEN, edge=-1 if follows is None else follows[EDGE])
            if step[EDGE] < 0:
                return Doing("crew", "", KINDS[step[KIND]].name)
            what = KINDS[step[KIND]].name
            return self._at_edge("crew", what, step[EDGE], hour)
        for came, edge, left in reversed(crew.stays):
            if came <= hour < min(left, self.ends.get(edge, float("inf"))):
                # What the work there waits for, whoever is on turn; where it goes on, another crew does it.
                wait = next((wait for wait in self.waits[edge] if wait.start <= hour < wait.end), None)
                return self._at_edge("crew", TURN if wait is None else f"{WAITS}{wait.what}", edge, hour)
        if follows is None:
            done = all(self.ends.get(edge, float("inf")) <= hour for area in crew.plan.areas for edge in self._edges(area))
            return Doing("crew", "", DONE if done else EDGE_TO_OPEN)
        return Doing("crew", "", EDGE_TO_OPEN, edge=-1 if before is None else before[EDGE])

    def _edges(self, area: int) -> tuple[int, ...]:
        return self.run.site.plan.areas[area].edges

    def _at_edge(self, kind: str, what: str, edge: int, hour: float) -> Doing:
        return Doing(kind, "", what, edge=edge, point=self.ground.edges[edge].point(self._rows(edge, hour)))

    def _gang(self, number: int, hour: float) -> Doing:
        _, step, follows = self._now(number, hour)
        if step is None:
            return Doing("grading", "", DONE if follows is None else JOB)
        if step[EDGE] < 0:
            return Doing("grading", "", KINDS[step[KIND]].name)
        what, edge = KINDS[step[KIND]].name, self.ground.edges[step[EDGE]]
        return Doing("grading", "", what, edge=step[EDGE], point=edge.point(min(step[NUMBER], edge.rows)))

    def _rail_gang(self, number: int, hour: float) -> Doing:
        before, step, follows = self._now(number, hour)
        at = step or before
        if at is None or at[EDGE] < 0:
            return Doing("rail gang", "", JOB if step is None else KINDS[step[KIND]].name)
        rail = next(rail for rail in self.ground.rails if rail.edge == at[EDGE])
        if at[KIND] == SHORT_SECTION:  # its number is a row's
            point = self.ground.edges[at[EDGE]].point(at[NUMBER])
        else:
            point = rail.ends[at[NUMBER] - 1 if step is not None else at[NUMBER]]
        what = KINDS[step[KIND]].name if step is not None else DONE if follows is None else JOB
        return Doing("rail gang", "", what, edge=at[EDGE], point=None if what == DONE else point)

    def _after_rows(self, number: int, hour: float) -> Doing:
        before, step, _ = self._now(number, hour)
        if step is None or step[KIND] not in FOLLOWING:
            return Doing("following", "", JOB if step is not None or before is None or before[KIND] not in FOLLOWING else DONE)
        first = next(n for n, actor in enumerate(self.run.actors) if actor.kind == "following")
        return Doing("following", "", KINDS[step[KIND]].name, edge=step[EDGE], point=self.ground.after_rows[number - first].point)

    def _truck(self, number: int, hour: float) -> Doing:
        _, step, follows = self._now(number, hour)
        if step is not None:
            return Doing("truck", "", KINDS[step[KIND]].name)
        load = next((load for load in self.loads.get(number, []) if load.arrives <= hour < load.unloaded), None)
        if load is None:
            return Doing("truck", "", DONE if follows is None else JOB)
        return Doing("truck", "", BEING_UNLOADED if load.unloading <= hour else UNLOADED, point=self.ground.yard)

    def _forklift(self, number: int, hour: float) -> Doing:
        _, step, _ = self._now(number, hour)
        jobs = self.jobs.get(number, [])
        at = bisect_right(jobs, hour, key=lambda job: job.start)
        job = jobs[at - 1] if at else None
        if job is None:
            return Doing("forklift", "", JOB if step is None else KINDS[step[KIND]].name, point=self.ground.yard)
        if job.end <= hour:
            return Doing("forklift", "", JOB if step is None else KINDS[step[KIND]].name, point=self._way(job)[-1])
        before = self._way(jobs[at - 2]) if at > 1 else (self.ground.yard,)
        # Where unloading is said to be done at the yard, it is drawn there, whatever the way back took.
        way = (*before[::-1], *self._way(job)[1:]) if job.edge >= 0 else (self.ground.yard,)
        point = along(way, self._share(job.step, hour)) if length(way) else way[-1]
        return Doing("forklift", "", KINDS[job.kind].name, edge=job.edge, point=point)

    def _way(self, job: Job) -> tuple[Point, ...]:
        """Return the way from the yard to where a job ends, or a breakdown ended it."""
        edge, away = job.broke_down or (job.edge, float("inf"))
        if edge < 0:
            return (self.ground.yard,)
        before = (
            earlier for earlier in reversed(self.jobs[job.forklift]) if earlier.start <= job.start
        )  # broken down on the way back
        row = next((job.row for job in before if job.edge == edge), 0)
        return first_feet(self.ground.way(edge, min(row, self.ground.edges[edge].rows - 1)), away)

    def _share(self, step: Step, hour: float) -> float:
        """Return the share of a step's hours of work that is done at an hour."""
        done: float = self.run.site.clocks["forklift"].worked(step[START], hour)
        return min(1.0, done / step[WORK]) if step[WORK] else 1.0
