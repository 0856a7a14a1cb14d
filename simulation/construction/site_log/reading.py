"""How does the field stand by a site log? State, evidence, what was taken for granted, and every mistake with its line."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

from simulation.construction.plan.field_state import EdgeState, FieldState
from simulation.construction.plan.plan import Plan
from simulation.construction.site_log.entries import SECOND, Entry, LogShifts, Wrong, read_moment
from simulation.construction.site_log.rows import EdgeCount, count_rows
from simulation.construction.site_log.stock import StockCount, check_stock, count_stock
from simulation.construction.site_log.under_way import WorkUnderWay, read_under_way
from simulation.scenario.site_log.evidence import Evidence, ForkliftsUp, PalletsCame, RainedHours, RowsLaid
from simulation.scenario.site_log.log_lines import missing_columns, read_lines
from simulation.scenario.types.mistakes import LogError, Mistake
from simulation.scenario.types.texts.site_log_text import SiteLog
from simulation.scenario.types.uncertainty.distributions import Constant

if TYPE_CHECKING:
    from simulation.scenario import Scenario

#: What is taken for granted of pallets that hold different mats.
_PACKED_APART = "half mats packed apart: each laying edge is taken to have had the pallets that it lacked most"


@dataclass(frozen=True)
class LogReading:
    """What a site log comes to.

    Attributes
    ----------
    state : FieldState or None
        None where the log is empty and read at the start: then nothing has begun.
    evidence : Evidence
    taken : tuple of str
        What was taken for granted because nobody says it.
    lines : int
        That count.
    later : tuple of int
        Lines that lie after the moment, or go on beyond it, and are left out.
    """

    state: FieldState | None
    evidence: Evidence
    taken: tuple[str, ...]
    lines: int
    later: tuple[int, ...]


def read_site_log(scenario: Scenario, plan: Plan, log: SiteLog) -> LogReading:
    """Return what a site log comes to on the field of a scenario; `plan` is its plan from the start.

    Raises
    ------
    LogError
        With every mistake in the log: its line and column, what is wrong, what would be right.
    """
    read, shifts = read_lines(log), LogShifts(scenario, plan)
    mistakes: list[Mistake] = []
    entries: list[Entry] = []
    for line in read.lines:
        if not line.counts:
            continue
        try:
            entries.append(shifts.entry(line))
        except Wrong as wrong:
            mistakes.append(wrong.mistake)
    if mistakes:
        raise LogError(log.file, mistakes)
    at = _moment(scenario, log, entries)
    late = [
        entry
        for entry in entries
        if entry.start > at + (SECOND if entry.stock else -SECOND) or (entry.end > at + SECOND and not entry.whole_day)
    ]
    entries = sorted((entry for entry in entries if entry not in late), key=lambda entry: (entry.end, entry.line.number))
    edges, rows, counted = count_rows(entries, shifts, mistakes)
    under_way = read_under_way(scenario, plan, entries, at, mistakes)
    if mistakes:
        raise LogError(log.file, sorted(mistakes, key=_line_number))
    stock = count_stock(plan, entries, edges, under_way, "pallets received" in read.columns, at, shifts, mistakes)
    if mistakes:
        raise LogError(log.file, sorted(mistakes, key=_line_number))
    evidence = _evidence(entries, rows, at, bool(plan.supply.shipments))
    taken = tuple(f"{name}: the log has no such column; {what}" for name, what in missing_columns(read.columns) if read.lines)
    if stock.apart is not None and entries:
        taken = (*taken, _PACKED_APART)
    if at > 0.0:
        taken = (*taken, *_late_ships(scenario, under_way, at))
    if not entries and at == 0.0:
        return LogReading(None, evidence, (), 0, tuple(entry.line.number for entry in late))
    state = FieldState(
        at=at,
        edges=tuple(_edge_state(number, edge, stock, under_way, shifts, edges) for number, edge in enumerate(edges)),
        crews=tuple(_last_at(number, entries) for number in range(len(plan.crews))),
        rows_by_crew=tuple(sum(row.upto - row.first for row in rows if row.crew == crew) for crew in range(len(plan.crews))),
        yard=stock.yard,
        came=stock.came,
        came_today=stock.came_today,
        rejected=stock.rejected,
        trucks=under_way.trucks if stock.apart is None else stock.apart.trucks,
        loads=under_way.loads,
        forklifts=under_way.forklifts,
        orders=under_way.orders,
        reached=under_way.reached,
        swept_since=under_way.swept_since,
        followed=under_way.followed,
        shipments=under_way.shipments,
        due=under_way.due,
        put_off=tuple(shipment.put_off for shipment in plan.supply.shipments),
        wet=_sky(entries, mistakes),
        apart=None if stock.apart is None else stock.apart.came,
        lived=_lived(plan, [*rows, *counted], at),
    )
    mistakes += check_stock(plan, state, entries)
    if mistakes:
        raise LogError(log.file, sorted(mistakes, key=_line_number))
    return LogReading(state, evidence, taken, len(entries), tuple(entry.line.number for entry in late))


def _late_ships(scenario: Scenario, under_way: WorkUnderWay, at: float) -> Iterator[str]:
    """Yield what is taken for granted of shipments that should have come in half of the runs, and of which nothing is written."""
    for number, shipment in enumerate(scenario.supply.shipments):
        level = shipment.comes.level
        middle = (level.value if isinstance(level, Constant) else level.quantile(0.0)) + shipment.put_off
        if under_way.shipments[number] == 0 and number not in dict(under_way.due) and middle <= at:
            sure = isinstance(level, Constant) and not shipment.comes.scatter and shipment.chance == 1.0
            how = "it is taken to come at once" if sure else "it is taken to come on one of its dates after the moment"
            name, day = f"shipment {number + 1}", scenario.starts + timedelta(hours=at + 24.0)
            yield f"{name} has not come: {how}; write when it will under way, as {name} due {day:%Y-%m-%d} 06:00"


def _line_number(mistake: Mistake) -> int:
    digits = "".join(letter for letter in mistake.key.partition(",")[0] if letter.isdigit())
    return int(digits) if digits else 0


def _moment(scenario: Scenario, log: SiteLog, entries: Sequence[Entry]) -> float:
    """Return the moment at which a log is read: the one asked for, or the end of its last shift or count."""
    if log.at:
        try:
            return read_moment(log.at, scenario.starts, scenario.horizon)
        except ValueError as error:
            wrong, _, right = str(error).partition("; ")
            raise LogError("--at", [Mistake("", wrong, right or "write a moment of the job")]) from None
    whole = [entry.end for entry in entries if entry.whole_day]
    last = max((entry.end for entry in entries if not entry.whole_day), default=max(whole, default=0.0))
    if last >= scenario.horizon:
        line = max(entries, key=lambda entry: entry.end).line
        moment = scenario.starts + timedelta(hours=scenario.horizon)
        wrong = f"ends after the last day simulated, {moment:%Y-%m-%d %H:%M}"
        raise LogError(log.file, [line.mistake("date", wrong, "give the scenario a later horizon")])
    return last


def _edge_state(
    number: int, edge: EdgeCount, stock: StockCount, under_way: WorkUnderWay, shifts: LogShifts, every: Sequence[EdgeCount]
) -> EdgeState:
    plan = shifts.plan.edges[number]
    area = shifts.plan.areas[plan.area]
    graded = edge.counted.get("rows graded")
    if graded is None and plan.graded >= len(plan.full):
        graded = float(len(plan.full))
    before = sum(row < edge.laid for row in plan.strips)
    begun = any(every[edge].laid for edge in area.edges)
    return EdgeState(
        laid=edge.laid,
        graded=None if graded is None else max(graded, float(edge.laid)),
        staged=stock.staged[number],
        open_full=stock.open[number][0],
        open_half=stock.open[number][1],
        sections=_sections(number, edge, shifts.plan),
        strip_set=edge.laid in plan.strips and edge.strips > before,
        prepared=(area.gate is not None or area.starter) and (begun or area.name.lower() in under_way.prepared),
        end_stands=number in under_way.ends and edge.laid < len(plan.full),
        staged_hold=() if stock.apart is None else stock.apart.staged[number],
    )


def _sections(edge: int, counted: EdgeCount, plan: Plan) -> int:
    """Return the sections of guide rail that are set: as counted, or as many as the rows laid needed."""
    rail = next((rail for rail in plan.rails if rail.edge == edge), None)
    if rail is None:
        return 0
    needed = (
        next((number for number, rows in enumerate(rail.rows, 1) if rows >= counted.laid), len(rail.rows)) if counted.laid else 0
    )
    return min(max(int(counted.counted.get("rail sections", 0)), needed), len(rail.rows))


def _last_at(crew: int, entries: Sequence[Entry]) -> int:
    mine = [entry for entry in entries if entry.crew == crew and entry.worked]
    return mine[-1].edge if mine else -1


def _sky(entries: Sequence[Entry], mistakes: list[Mistake]) -> bool | None:
    """Return whether it rains at the last moment of which the log says so."""
    seen: bool | None = None
    for entry in entries:
        word = entry.line.text("sky").lower()
        if word in ("wet", "rain", "dry"):
            seen = word != "dry"
        elif word:
            mistakes.append(entry.line.mistake("sky", f'"{word[:20]}" is no sky of a log', "write wet or dry"))
    return seen


def _lived(plan: Plan, rows: Sequence[RowsLaid], at: float) -> tuple[tuple[float, float], ...]:
    """Return rising moments and the share of the field that lay at each; between them, as if rows were laid evenly."""
    field = sum(edge.pieces * len(edge.full) for edge in plan.edges)
    moments = sorted({0.0, at, *(row.start for row in rows), *(row.end for row in rows)})
    shares = []
    for moment in moments:
        lay = 0.0
        for row in rows:
            part = (moment - row.start) / max(row.end - row.start, SECOND)
            lay += plan.edges[row.edge].pieces * (row.upto - row.first) * min(1.0, max(0.0, part))
        shares.append(lay / field)
    return tuple(zip(moments, shares, strict=True))


def _evidence(entries: Sequence[Entry], rows: Sequence[RowsLaid], at: float, shipped: bool) -> Evidence:
    """Return what a log says of how fast things go.

    What came once trucks were held up, as by a late ship, says nothing of it, nor what may have come by a shipment.
    """
    came, forklifts, rained, held_up = [], [], [], False
    for entry in entries:
        line = entry.line
        held_up = held_up or (entry.crew < 0 and bool(line.amount("hours lost")))
        if (pallets := line.count("pallets received")) is not None and not (held_up or shipped):
            came.append(PalletsCame(line.number, entry.start, entry.end, pallets, line.count("by air") or 0))
        if (up := line.count("forklifts up")) is not None:
            forklifts.append(ForkliftsUp(line.number, entry.start, entry.end, up))
        lost = line.amount("hours lost")
        if lost is not None and entry.worked and (not lost or "rain" in line.text("lost to").lower()):
            rained.append(RainedHours(line.number, entry.start, entry.end, lost))
    return Evidence(at, tuple(rows), tuple(came), tuple(forklifts), tuple(rained))
