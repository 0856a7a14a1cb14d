"""Which hours since the start, which crew and which laying edge does a line of a site log mean?"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise
from typing import TYPE_CHECKING

from pydantic_core import PydanticCustomError

from simulation.conditions.clock.shift_pattern import on_shift, shifts_kept
from simulation.construction.plan.plan import Plan
from simulation.scenario.site_log.log_lines import LogLine
from simulation.scenario.site_log.log_moments import span_of
from simulation.scenario.types.mistakes import Mistake, did_you_mean, shown
from simulation.scenario.types.quantities.units import read_quantity
from simulation.scenario.types.texts.csv_form import word_of
from simulation.scenario.types.texts.written_times import moment_of, parsed

if TYPE_CHECKING:
    from simulation.scenario import Scenario
    from simulation.scenario.tables.people import Shift

#: Hours by which moments may differ and be the same: logs tell seconds at best.
SECOND = 1.0 / 3600.0


def to_the_second(hour: float) -> float:
    """Return an hour as a log tells it."""
    return round(3600.0 * hour) / 3600.0


class Wrong(Exception):
    """A mistake in one line."""

    def __init__(self, mistake: Mistake) -> None:
        self.mistake = mistake
        super().__init__(str(mistake))


@dataclass(frozen=True)
class Entry:
    """A line of a log on the field: its hours since the start, its crew and its laying edge, −1 where it names none.

    `stock` is whether it says how things stand at a moment; `whole_day` that it names no hours and no crew.
    """

    line: LogLine
    start: float
    end: float
    crew: int
    edge: int
    stock: bool = False
    whole_day: bool = False

    @property
    def worked(self) -> bool:
        """Whether rows were laid, as far as the line says."""
        return bool(self.line.count("rows")) or bool(self.line.text("station"))


def read_moment(text: str, starts: datetime, horizon: float) -> float:
    """Return the hours since the start of a moment: a date (its end), a date and time, or a duration from the start.

    Raises
    ------
    ValueError
        If it is none, or lies before the start or beyond the last day simulated.
    """
    written = parsed(text)
    moment = None if written is None or not written.year_first else moment_of(written, "year first")
    if moment is not None and moment.tzinfo is None:
        if written is not None and ":" not in text:
            moment += timedelta(days=1)
        hours = (moment - starts) / timedelta(hours=1)
    else:
        try:
            hours = read_quantity("duration", text)
        except PydanticCustomError:
            raise ValueError(f"{shown(text)} is no moment; write 2031-04-05T18:00, 2031-04-05 (its end) or 3 day") from None
    if not 0.0 <= hours < horizon:
        raise ValueError(f"{shown(text)} lies before the start or beyond the last day simulated")
    return hours


def shifts_of_log(shift: Shift, starts: datetime, horizon: float) -> list[tuple[float, float]]:
    """Return each shift that a log may have a line for: one that goes on for longer than a day is cut at midnight."""
    midnight = 24.0 - (starts.hour + starts.minute / 60 + starts.second / 3600)
    shifts: list[tuple[float, float]] = []
    for start, end in shifts_kept(shift, starts, horizon):
        if end - start > 24.0:
            first = midnight + 24.0 * math.floor((start - midnight) / 24.0 + 1.0 + 1e-9)
            cuts = [first + 24.0 * day for day in range(math.ceil((end - first) / 24.0 - 1e-9))]
            shifts += pairwise([start, *cuts, end])
        else:
            shifts.append((start, end))
    return shifts


class LogShifts:
    """Reads the lines of a log by a scenario's calendar, crews and laying edges."""

    def __init__(self, scenario: Scenario, plan: Plan) -> None:
        self.scenario, self.plan = scenario, plan
        laying = scenario.shifts.of("laying")
        shifts = [crew.shift or laying for crew in scenario.crew]
        self._kept = [shifts_of_log(shift, scenario.starts, scenario.horizon) for shift in shifts]
        self._open = [on_shift(shift, scenario.starts, scenario.horizon) for shift in shifts]
        self._hours = [sorted(shift.hours) for shift in shifts]
        self._crews = {crew.name.lower(): number for number, crew in enumerate(scenario.crew)}
        self._areas = {area.name.lower(): number for number, area in enumerate(plan.areas)}

    def entry(self, line: LogLine) -> Entry:
        """Return a line on the field.

        Raises
        ------
        Wrong
            If it means no crew, no laying edge or no hours of the job.
        """
        crew, edge = self._crew(line), self._edge(line)
        start, end, whole_day = self._span(line, crew)
        start, end = to_the_second(start), to_the_second(end)
        starts = self.scenario.starts
        if end <= -SECOND or start >= self.scenario.horizon:
            wrong = "lies before the start" if end <= -SECOND else "lies beyond the last day simulated"
            raise Wrong(line.mistake("date", f"{line.date} {wrong}", f"the job starts on {starts:%Y-%m-%d at %H:%M}"))
        entry = Entry(line, max(start, 0.0), max(end, 0.0), crew, edge, start == end, whole_day)
        if entry.worked:
            self._check_worked(entry)
        return entry

    def _crew(self, line: LogLine) -> int:
        name = line.text("crew")
        if not name:
            return 0 if len(self.scenario.crew) == 1 and (line.count("rows") or line.text("station")) else -1
        if (number := self._crews.get(name.lower())) is None:
            names = [crew.name for crew in self.scenario.crew]
            raise Wrong(line.mistake("crew", f"there is no crew {shown(name)}", did_you_mean(name, names)))
        return number

    def _edge(self, line: LogLine) -> int:
        name, side = line.text("area"), line.text("side").lower()
        areas = self.plan.areas
        if not name:
            if side or line.count("rows") or line.text("station"):
                if len(areas) > 1:
                    names = ", ".join(area.name for area in areas)
                    raise Wrong(line.mistake("area", "does not say which area the rows lie in", f"write one of: {names}"))
                name = areas[0].name
            else:
                return -1
        if (number := self._areas.get(name.lower())) is None:
            raise Wrong(
                line.mistake("area", f"there is no area {shown(name)}", did_you_mean(name, [area.name for area in areas]))
            )
        area = areas[number]
        edges = {"high" if self.plan.edges[edge].upward else "low": edge for edge in area.edges}
        if not side:
            if len(edges) > 1:
                wrong = f"{area.name} is laid from its centre, and the line does not say on which side"
                raise Wrong(line.mistake("side", wrong, "write low or high"))
            return area.edges[0]
        meant = next((known for known in ("low", "high") if side in (known, f"{known} side", known[0])), "")
        if meant not in edges:
            right = f"write {' or '.join(edges)}" if len(edges) > 1 else f"leave it empty: {area.name} has one laying edge"
            raise Wrong(line.mistake("side", f"{shown(line.text('side'))} is no side of {area.name}", right))
        return edges[meant]

    def _span(self, line: LogLine, crew: int) -> tuple[float, float, bool]:
        """Return from when to when a line counts, and whether it names no hours and nobody who keeps any."""
        midnight = (datetime.combine(line.date, datetime.min.time()) - self.scenario.starts) / timedelta(hours=1)
        cell = line.text("shift")
        if not cell:
            if crew < 0:
                return midnight, midnight + 24.0, True
            spans = [span for span in self._kept[crew] if midnight - SECOND <= span[0] < midnight + 24.0 - SECOND]
            if not spans:
                name = self.scenario.crew[crew].name
                right = "write its hours under shift, or put the line under the day on which the shift begins"
                raise Wrong(line.mistake("shift", f"no shift of crew {name} begins on {line.date:%a} {line.date}", right))
            return spans[0][0], spans[-1][1], False
        if cell.isdecimal():
            hours = self._hours[max(crew, 0)]
            number = int(cell)
            if not 1 <= number <= len(hours):
                wrong = f"there is no shift {word_of(cell)}"
                raise Wrong(line.mistake("shift", wrong, f"write 1 to {len(hours)}, or its hours, such as 06:00-18:00"))
            start, end = hours[number - 1]
            return midnight + start, midnight + end, False
        span = span_of(cell)
        if span is None:
            wrong = f'"{word_of(cell)}" are no hours'
            raise Wrong(line.mistake("shift", wrong, "write them as 06:00-18:00, or a single time for a count of stock"))
        return midnight + span[0], midnight + span[1], False

    def _check_worked(self, entry: Entry) -> None:
        """Refuse rows in hours in which nobody works by the scenario."""
        line = entry.line
        if entry.stock:  # it counts what lies, whenever it was laid
            return
        crews = range(len(self._open)) if entry.crew < 0 else [entry.crew]
        if not any(
            start < entry.end - SECOND and end > entry.start + SECOND for crew in crews for start, end in self._open[crew]
        ):
            who = f"crew {self.scenario.crew[entry.crew].name}" if entry.crew >= 0 else "a crew"
            right = "write the hours in which the rows were laid, or give the crew that shift in the scenario"
            raise Wrong(line.mistake("shift", f"{who} has no shift in these hours", right))

    def rows_at(self, line: LogLine, edge: int) -> int:
        """Return how many rows of a laying edge lie when it has reached a line's station.

        Raises
        ------
        Wrong
            If it is no station of the area.
        """
        text, plan = line.text("station"), self.plan.edges[edge]
        area = self.scenario.area[plan.area]
        measures = self.scenario.measures.length
        try:
            feet = read_quantity("length", text) if not _is_number(text) else float(text.replace(",", ".")) / measures.factor
        except PydanticCustomError as error:
            raise Wrong(line.mistake("station", *str(error).split("; ", 1))) from None
        depth = area.length / self.plan.areas[plan.area].rows
        if not -SECOND <= feet <= area.length + SECOND:
            wrong = f"{shown(text)} lies beyond {area.name}"
            raise Wrong(line.mistake("station", wrong, f"its stations go from 0 to {measures.text(area.length)}"))
        low, high = plan.first * depth, plan.last * depth
        rows = (feet - low) / depth if plan.upward else (high - feet) / depth
        return min(max(math.floor(rows + 0.02), 0), plan.last - plan.first)


def _is_number(text: str) -> bool:
    try:
        return math.isfinite(float(text.replace(",", ".")))
    except ValueError:
        return False
