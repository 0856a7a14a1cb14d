"""When is how much of the field usable, and what does flying from it cost the whole? Every way to open under the same luck."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from simulation.construction.trace.temporary_ends import LATE, MADE
from simulation.questions.forecast.tasks import WorkForecast, summarise_areas, summarise_tasks
from simulation.questions.opening.asked import Opening, milestone_of, openings, read_lengths, read_windows
from simulation.stats.paired_difference import Difference, difference_of_quantiles, measured
from simulation.stats.quantiles import QuantileEstimate, estimate
from simulation.study.run_context import RunContext
from simulation.study.runner import NothingFinished, announce, check_run_count

if TYPE_CHECKING:
    from simulation.replicate.manifest import Manifest
    from simulation.replicate.run_table import RunTable
    from simulation.scenario import Scenario
    from simulation.scenario.tables.ground import Milestone

#: Share of the runs at which changes are told.
SHARE = 0.8


@dataclass(frozen=True)
class OpeningRow:
    """One way to open early, over its runs; hours from the start.

    Attributes
    ----------
    opening : Opening
    first, whole : tuple of float
        First use, and all done, of each run.
    price : Difference or None
        Hours by which P80 of all done comes later for its use, run by run under the same luck; None where it is not used.
    identical : bool
        Whether every run is done at the very hour at which it is done unused.
    made, late : tuple of float
        Temporary ends made, and windows in which one was late, of each run; nothing where none is made.
    held : tuple of (str, float) or None
        The task that is most often done last of those without which nobody can use the stretch, and in what share of the runs at
        least such a task is done only after the length lies; None where it needs no task.
    """

    opening: Opening
    first: tuple[float, ...]
    whole: tuple[float, ...]
    price: Difference | None = None
    identical: bool = False
    made: tuple[float, ...] = ()
    late: tuple[float, ...] = ()
    held: tuple[str, float] | None = None

    def first_at(self, share: float) -> QuantileEstimate:
        """Return a quantile of first use."""
        return estimate(self.first, share)

    def whole_at(self, share: float) -> QuantileEstimate:
        """Return a quantile of all done."""
        return estimate(self.whole, share)


@dataclass(frozen=True)
class OpeningResult:
    """Ways to open early.

    Attributes
    ----------
    scenario : Scenario
    milestone, area, ready : str
        The milestone whose length is varied, its area, and what is ready when all is done.
    windows : tuple of str
    rows : tuple of OpeningRow
        By start, that of the scenario first, then by length, not used first.
    runs, seed : int
    areas, tasks : tuple of WorkForecast
        Of the shortest length from the scenario's own start, flown from where there are windows; none where there are no tasks.
    manifest : Manifest or None
        Of the study of the first row.
    stopped : str
        Why there are fewer ways, or fewer runs, than asked for.
    """

    scenario: Scenario
    milestone: str
    area: str
    ready: str
    windows: tuple[str, ...]
    rows: tuple[OpeningRow, ...]
    runs: int
    seed: int
    manifest: Manifest | None
    stopped: str = ""
    areas: tuple[WorkForecast, ...] = ()
    tasks: tuple[WorkForecast, ...] = ()

    @property
    def starts(self) -> tuple[str, ...]:
        """The starts that were tried, that of the scenario first."""
        return tuple(dict.fromkeys(row.opening.start for row in self.rows))

    @property
    def lengths(self) -> tuple[float, ...]:
        """The lengths that were tried, in feet."""
        return tuple(dict.fromkeys(row.opening.length for row in self.rows))

    @property
    def priced(self) -> bool:
        """Whether ways were tried in which the stretch is used: in windows, over temporary ends, or both."""
        return any(row.opening.used for row in self.rows)

    def opened(self, start: str, length: float) -> OpeningRow | None:
        """Return the way by which a length is told to be usable first: with its temporary ends, where these are made."""
        return self.row(start, length, self.scenario.makes_ends)

    def row(self, start: str, length: float, used: bool) -> OpeningRow | None:
        """Return one way, if it was tried."""
        for row in self.rows:
            if (row.opening.start, row.opening.length, row.opening.used) == (start, length, used):
                return row
        return None


def opening(
    scenario: Scenario, context: RunContext = RunContext(), lengths: str | None = None, windows: str | None = None
) -> OpeningResult:
    """Return when lengths of an area are first usable, and what flying from them costs the whole.

    Parameters
    ----------
    scenario : Scenario
        With a milestone that asks for a usable length.
    context : RunContext
        Its runs are those of every way to open.
    lengths : str, optional
        Such as ``"2000,2600"``; see `read_lengths`. Default: that of the milestone.
    windows : str, optional
        Such as ``"06:00-10:00,16:00-18:00"``. Default: those of the scenario.

    Raises
    ------
    ScenarioError
        If lengths or windows cannot be read, no milestone asks for a length, or the scenario cannot finish.
    NothingFinished, StoreError, ClusterError, ValueError
        As for `forecast`.
    """
    from simulation.replicate import Alternatives

    check_run_count(context.runs)
    spans = read_windows(windows, scenario)
    ways = openings(scenario, read_lengths(lengths, scenario), spans)
    milestone = milestone_of(scenario)
    assert milestone.usable is not None
    ready = next(milestone.name for milestone in scenario.milestones if milestone.ready)
    rows: list[OpeningRow] = []
    areas: tuple[WorkForecast, ...] = ()
    tasks: tuple[WorkForecast, ...] = ()
    manifest = None
    with context.workshop() as workshop:
        runs = Alternatives([way.scenario for way in ways], workshop, context.seed, context.progress)
        announce(runs, context.runs, context.tell)
        for number in runs.reach_in_turn([(number, context.runs) for number in range(len(ways))]):
            way, table = ways[number], runs.table(number, context.runs)
            if manifest is None:
                manifest = runs.runs[number].manifest()
            first, whole = (tuple(table[f"milestone.{name}"].tolist()) for name in (milestone.name, ready))
            if len(rows) == any(other.used for other in ways):  # the scenario's own way to open
                areas, tasks = summarise_areas(way.scenario, table), summarise_tasks(way.scenario, table)
            held = _find_held(way, milestone, table)
            if way.used:
                plain, ends = rows[-1].whole, [tuple(table[name].tolist()) for name in (MADE, LATE) if name in table.columns]
                price = measured(difference_of_quantiles(plain, whole, SHARE), len(whole))
                rows.append(replace(OpeningRow(way, first, whole, price, plain == whole, *ends), held=held))
            else:
                rows.append(OpeningRow(way, first, whole, held=held))
        stopped, seed = runs.stopped, runs.seed
    if not rows:
        raise NothingFinished(stopped or "stopped before the first way to open was done")
    return OpeningResult(
        scenario,
        milestone.name,
        milestone.usable.area,
        ready,
        spans,
        tuple(rows),
        context.runs,
        seed,
        manifest,
        stopped if len(rows) < len(ways) else "",
        areas,
        tasks,
    )


def _find_held(way: Opening, milestone: Milestone, table: RunTable) -> tuple[str, float] | None:
    """Return the task that is done last, and how often it is so after the length lies: by the next tenth of the area that is
    kept, so that it is no less often.
    """
    if milestone.usable is None or not milestone.all_tasks:
        return None
    area = next(area for area in way.scenario.area if area.name == milestone.usable.area)
    part = min(100, 10 * math.ceil(10.0 * way.length / area.length - 1e-9))
    lies = table[f"length.{area.name}.{part}"].tolist()
    ends = {name: table[f"task.{name}.ends"].tolist() for name in milestone.all_tasks}
    last = [max(ends, key=lambda name: ends[name][run]) for run in range(len(lies))]
    late = [name for run, name in enumerate(last) if math.isfinite(lies[run]) and ends[name][run] >= lies[run]]
    return max(dict.fromkeys(last), key=late.count), len(late) / len(lies)
