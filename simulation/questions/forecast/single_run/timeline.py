"""How did one run go? Where each edge stood at any hour, what was graded ahead of it, and when sky and calendar stopped it.

A forecast keeps a row of numbers of each run, not its steps; but a run comes out again to the bit from its number, so the one
to be looked at is simply done once more.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from operator import itemgetter

from simulation.conditions import WorkClock
from simulation.conditions.clock.work_clocks import ANY_CREW
from simulation.conditions.stops.weather_limits import RAIN
from simulation.construction import Finished
from simulation.construction.plan.plan import EdgePlan, Plan
from simulation.construction.plan.steps import (
    ACTOR,
    EDGE,
    END,
    GRADING,
    KEY_STRIP,
    KIND,
    LIFT,
    NUMBER,
    ROW,
    START,
    STARTER,
    WORK,
    Step,
)
from simulation.construction.trace.links import clock_of
from simulation.questions.forecast.single_run.after_rows import AfterRows, list_after_rows
from simulation.questions.forecast.single_run.mats import MatsCourse, follow_mats
from simulation.questions.forecast.single_run.typical_run import typical_run
from simulation.questions.forecast.study import Forecast
from simulation.scenario import Scenario

#: Hours since the start, and a station in feet or a share of the field.
Points = tuple[tuple[float, float], ...]
Spans = tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class EdgeCourse:
    """One laying edge of a run; hours count from the start, stations in feet from the area's low end.

    Attributes
    ----------
    upward : bool
        Whether it lays towards the high end.
    laid : tuple of (float, float)
        Corners of the line along which its edge went. Rows are spread evenly over the hours at work of their step; the line runs
        level while the clock of the crew stands.
    graded : tuple of (float, float)
        When the ground was ready without a gap up to which station, from the start on: a staircase.
    strips : tuple of (float, float)
        When each key strip was set, and at which station.
    """

    upward: bool
    laid: Points
    graded: Points
    strips: Points


@dataclass(frozen=True)
class AreaCourse:
    """One area of a run.

    Attributes
    ----------
    name : str
    length, width : float
        Feet.
    crews : tuple of str
        Who laid rows of it, in the order in which they came.
    edges : tuple of EdgeCourse
    starter : tuple of (float, float)
        When its starter key strip was set and where, if it has one and came to it.
    closed : tuple of (float, float)
        When it was closed for flying.
    """

    name: str
    length: float
    width: float
    crews: tuple[str, ...]
    edges: tuple[EdgeCourse, ...]
    starter: Points
    closed: Spans


@dataclass(frozen=True)
class Course:
    """The course of one run, up to its last milestone or the last day simulated.

    Attributes
    ----------
    run_number : int
    over : float
        When the run ended, hours since the start.
    milestones : dict of str to float
        Infinite where not reached.
    laid : tuple of (float, float)
        When which share of the field's square feet lay: a staircase, a step's rows lie at its end.
    areas : tuple of AreaCourse
        In the order of the scenario.
    off : tuple of (float, float)
        When every crew was off shift, or stood in the dark.
    rain : tuple of (float, float)
        When it rained.
    rain_stops : bool
        Whether rain stopped any crew on shift.
    after_rows : tuple of AfterRows
        What ended after the last row.
    mats : tuple of MatsCourse
        Full mats and half mats.
    """

    run_number: int
    over: float
    milestones: dict[str, float]
    laid: Points
    areas: tuple[AreaCourse, ...]
    off: Spans
    rain: Spans
    rain_stops: bool
    after_rows: tuple[AfterRows, ...]
    mats: tuple[MatsCourse, ...]

    def share(self, hours: float) -> float:
        """Return the share of the field that lay at an hour."""
        return max((share for at, share in self.laid if at <= hours), default=0.0)


def follow_run(forecast: Forecast, run_number: int | None = None) -> Course:
    """Return the course of one run of a forecast, done once more.

    Parameters
    ----------
    forecast : Forecast
    run_number : int, optional
        Default: the run whose readiness is nearest to the median.
    """
    from simulation.construction import compile_plan, simulate

    number = typical_run(forecast, "median").run_number if run_number is None else run_number
    plan = replace(compile_plan(forecast.scenario), seed=forecast.seed, sampling=forecast.sampling)
    return read_course(forecast.scenario, simulate(plan, number), number)


def read_course(scenario: Scenario, run: Finished, run_number: int) -> Course:
    """Return the course of a run that has run."""
    site, plan = run.site, run.site.plan
    over = max((plan.horizon if step is None else step[END] for step in site.reached), default=plan.horizon)
    done = [step for step in site.trace if step[END] <= over]
    reached = {
        milestone.name: math.inf if step is None else step[END]
        for milestone, step in zip(plan.milestones, site.reached, strict=True)
    }
    calendar = plan.clocks.get(ANY_CREW, plan.clocks["laying"]).calendar
    laid = _laid(plan, done)
    still = [(start, end) for start, end, rate, _ in calendar if rate == 0.0]
    return Course(
        run_number=run_number,
        over=over,
        milestones=reached,
        laid=laid,
        areas=tuple(_area(scenario, run, done, index, over) for index in range(len(plan.areas))),
        off=_within(over, still),
        rain=_within(over, [(start, end) for start, end in site.sky.spells]),
        rain_stops=any(RAIN in site.clocks[clock].losses(0.0, over) for clock in {crew.clock for crew in plan.crews}),
        after_rows=list_after_rows(run, done, laid[-1][0]),
        mats=() if run.up is not None else follow_mats(run, done),
    )


def _laid(plan: Plan, done: list[Step]) -> Points:
    size = [edge.pieces for edge in plan.edges]
    field = sum(row * len(edge.full) for row, edge in zip(size, plan.edges, strict=True))
    before, laid = [0] * len(size), 0
    points = [(0.0, 0.0)]
    if plan.state is not None:  # what lay before is told as it was lived
        before = [edge.laid for edge in plan.state.edges]
        laid = sum(row * rows for row, rows in zip(size, before, strict=True))
        points += plan.state.lived
    if plan.take_up is not None:
        field = sum(size[section.edge] * len(section.rows) for section in plan.take_up.sections)
        for step in sorted((step for step in done if step[KIND] == LIFT), key=itemgetter(END)):
            laid += size[step[EDGE]]
            points.append((step[END], laid / field))
    for step in sorted((step for step in done if step[KIND] == ROW), key=itemgetter(END)):
        laid += (step[NUMBER] - before[step[EDGE]]) * size[step[EDGE]]
        before[step[EDGE]] = step[NUMBER]
        points.append((step[END], laid / field))
    return tuple(points)


def _area(scenario: Scenario, run: Finished, done: list[Step], index: int, over: float) -> AreaCourse:
    plan, area = run.site.plan, scenario.area[index]
    edges = plan.areas[index].edges
    mine = [step for step in done if step[EDGE] in edges]
    names = (run.actors[step[ACTOR]].name for step in mine if step[KIND] == ROW)
    depth = scenario.mat.row_depth
    starters = {step[EDGE]: step[END] for step in sorted(mine, key=itemgetter(END)) if step[KIND] == STARTER}
    return AreaCourse(
        name=area.name,
        length=area.length,
        width=area.width,
        crews=tuple(dict.fromkeys(names)),
        edges=tuple(_edge(run, [step for step in mine if step[EDGE] == edge], edge, depth) for edge in edges),
        starter=tuple((end, _station(plan.edges[edge], 0, depth)) for edge, end in starters.items()),
        closed=_closed(run, index, over),
    )


def _closed(run: Finished, area: int, over: float) -> Spans:
    """Return when an area was closed for flying: from the milestone on that opens it."""
    flying = run.site.plan.flying
    opened = None if flying is None else run.site.reached[flying.milestone]
    if flying is None or opened is None or flying.area != area:
        return ()
    return _within(over, [(max(start, opened[END]), end) for start, end in flying.spans if end > opened[END]])


def _edge(run: Finished, mine: list[Step], index: int, depth: float) -> EdgeCourse:
    plan, clocks = run.site.plan, run.site.clocks
    edge = plan.edges[index]
    row_of = {number: rows for rows, number in edge.strips.items()}
    laid: list[tuple[float, float]] = []
    before, began = (0, 0.0) if plan.state is None else (plan.state.edges[index].laid, plan.state.at)
    if before:
        laid.append((began, _station(edge, before, depth)))
    for step in mine:
        if step[KIND] == ROW:
            clock = clock_of(step, clocks)
            assert clock is not None  # rows have one
            laid.extend((at, _station(edge, rows, depth)) for at, rows in _corners(step, before, clock))
            before = step[NUMBER]
    first = {(piece.edge, piece.upto): piece.first for piece in plan.slices}
    graded, ready, front = [(0.0, _station(edge, edge.graded, depth))], dict[int, int](), edge.graded
    # A slice that is stopped for a flying window has several steps.
    slices = {step[NUMBER]: step for step in sorted(mine, key=itemgetter(END)) if step[KIND] == GRADING}
    for step in sorted(slices.values(), key=itemgetter(END)):
        ready[first[index, step[NUMBER]]] = step[NUMBER]
        if front in ready:
            while front in ready:
                front = ready.pop(front)
            graded.append((step[END], _station(edge, front, depth)))
    # A strip that one crew begins and another ends has a step of each: it is set when the last one ends.
    done = {step[NUMBER]: step[END] for step in sorted(mine, key=itemgetter(END)) if step[KIND] == KEY_STRIP}
    strips = [(end, _station(edge, row_of[number], depth)) for number, end in done.items()]
    return EdgeCourse(edge.upward, tuple(laid), tuple(graded), tuple(strips))


def _station(edge: EdgePlan, rows: float, depth: float) -> float:
    """Return the station of a laying edge's edge when so many rows are laid."""
    return (edge.first + rows if edge.upward else edge.last - rows) * depth


def _corners(step: Step, before: int, clock: WorkClock) -> Iterator[tuple[float, float]]:
    """Yield hours and rows laid wherever a step's work begins, stops for a while, goes on or ends."""
    at, done, rows = step[START], 0.0, step[NUMBER] - before
    yield at, before
    while step[WORK] > 0.0:
        low, high = clock.stretch(at)
        if low >= step[END]:
            break
        at = min(high, step[END])
        yield low, before + rows * min(1.0, done / step[WORK])
        done += clock.worked(low, at)
        yield at, before + rows * min(1.0, done / step[WORK])
    yield step[END], step[NUMBER]


def _within(over: float, spans: list[tuple[float, float]]) -> Spans:
    """Return spans up to the end of a run; those that touch are one."""
    joined: list[tuple[float, float]] = []
    for start, end in spans:
        if start >= over:
            break
        if joined and start <= joined[-1][1]:
            joined[-1] = (joined[-1][0], min(end, over))
        else:
            joined.append((start, min(end, over)))
    return tuple(joined)
