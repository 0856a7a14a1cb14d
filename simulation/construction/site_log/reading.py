"""How does the field stand by a site log? State, evidence, what was taken for granted, and every mistake with its line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import TYPE_CHECKING

from simulation.construction.plan.field_state import EdgeState, FieldState
from simulation.construction.plan.plan import Plan
from simulation.construction.site_log.entries import SECOND, Entry, LogShifts, Wrong, read_moment
from simulation.construction.site_log.rows import EdgeTold, count_rows
from simulation.construction.site_log.stock import StockTold, check_stock, count_stock
from simulation.construction.site_log.under_way import UnderWayTold, read_under_way
from simulation.scenario.site_log.evidence import Evidence, ForkliftsUp, PalletsCame, RainedHours, RowsLaid
from simulation.scenario.site_log.log_lines import LogError, missing_columns, read_lines
from simulation.scenario.types.mistakes import Mistake
from simulation.scenario.types.texts.site_log_text import SiteLog

if TYPE_CHECKING:
    from simulation.scenario import Scenario


@dataclass(frozen=True)
class LogTold:
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


def read_site_log(scenario: Scenario, plan: Plan, log: SiteLog) -> LogTold:
    """Return what a site log comes to on the field of a scenario; `plan` is its plan from the start.

    Raises
    ------
    LogError
        With every mistake in the log: its line and column, what is wrong, what would be right.
    """
    read, shifts = read_lines(log), LogShifts(scenario, plan)
    found: list[Mistake] = []
    entries: list[Entry] = []
    for line in read.lines:
        if not line.counts:
            continue
        try:
            entries.append(shifts.entry(line))
        except Wrong as wrong:
            found.append(wrong.mistake)
    if found:
        raise LogError(log.file, found)
    at = _moment(scenario, log, entries)
    late = [
        one
        for one in entries
        if one.start > at + (SECOND if one.stock else -SECOND) or (one.end > at + SECOND and not one.whole_day)
    ]
    entries = sorted((one for one in entries if one not in late), key=lambda one: (one.end, one.line.number))
    told, rows, counted = count_rows(entries, shifts, found)
    under_way = read_under_way(scenario, plan, entries, at, found)
    if found:
        raise LogError(log.file, sorted(found, key=_line_number))
    stock = count_stock(plan, entries, told, under_way, "pallets received" in read.columns, at, shifts, found)
    if found:
        raise LogError(log.file, sorted(found, key=_line_number))
    evidence = _evidence(entries, rows, at, bool(plan.supply.shipments))
    taken = tuple(f"{name}: the log has no such column; {what}" for name, what in missing_columns(read.columns) if read.lines)
    if not entries and at == 0.0:
        return LogTold(None, evidence, (), 0, tuple(one.line.number for one in late))
    state = FieldState(
        at=at,
        edges=tuple(_edge_state(number, one, stock, under_way, shifts, told) for number, one in enumerate(told)),
        crews=tuple(_last_at(number, entries) for number in range(len(plan.crews))),
        rows_by_crew=tuple(sum(one.upto - one.first for one in rows if one.crew == crew) for crew in range(len(plan.crews))),
        yard=stock.yard,
        came=stock.came,
        came_today=stock.came_today,
        rejected=stock.rejected,
        trucks=under_way.trucks,
        loads=under_way.loads,
        forklifts=under_way.forklifts,
        orders=under_way.orders,
        reached=under_way.reached,
        swept_since=under_way.swept_since,
        followed=under_way.followed,
        shipments=under_way.shipments,
        wet=_sky(entries, found),
        lived=_lived(plan, [*rows, *counted], at),
    )
    found += check_stock(plan, state, entries)
    if found:
        raise LogError(log.file, sorted(found, key=_line_number))
    return LogTold(state, evidence, taken, len(entries), tuple(one.line.number for one in late))


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
    whole = [one.end for one in entries if one.whole_day]
    last = max((one.end for one in entries if not one.whole_day), default=max(whole, default=0.0))
    if last >= scenario.horizon:
        line = max(entries, key=lambda one: one.end).line
        moment = scenario.starts + timedelta(hours=scenario.horizon)
        wrong = f"ends after the last day simulated, {moment:%Y-%m-%d %H:%M}"
        raise LogError(log.file, [line.mistake("date", wrong, "give the scenario a later horizon")])
    return last


def _edge_state(
    number: int, told: EdgeTold, stock: StockTold, under_way: UnderWayTold, shifts: LogShifts, every: Sequence[EdgeTold]
) -> EdgeState:
    plan = shifts.plan.edges[number]
    area = shifts.plan.areas[plan.area]
    graded = told.counted.get("rows graded")
    if graded is None and plan.graded >= len(plan.full):
        graded = float(len(plan.full))
    before = sum(row < told.laid for row in plan.strips)
    begun = any(every[edge].laid for edge in area.edges)
    return EdgeState(
        laid=told.laid,
        graded=None if graded is None else max(graded, float(told.laid)),
        staged=stock.staged[number],
        open_full=stock.open[number][0],
        open_half=stock.open[number][1],
        sections=_sections(number, told, shifts.plan),
        strip_set=told.laid in plan.strips and told.strips > before,
        prepared=(area.gate is not None or area.starter) and (begun or area.name.lower() in under_way.prepared),
    )


def _sections(edge: int, told: EdgeTold, plan: Plan) -> int:
    """Return the sections of guide rail that are set: as counted, or as many as the rows laid needed."""
    rail = next((one for one in plan.rails if one.edge == edge), None)
    if rail is None:
        return 0
    needed = next((number for number, rows in enumerate(rail.rows, 1) if rows >= told.laid), len(rail.rows)) if told.laid else 0
    return min(max(int(told.counted.get("rail sections", 0)), needed), len(rail.rows))


def _last_at(crew: int, entries: Sequence[Entry]) -> int:
    mine = [one for one in entries if one.crew == crew and one.worked]
    return mine[-1].edge if mine else -1


def _sky(entries: Sequence[Entry], found: list[Mistake]) -> bool | None:
    """Return whether it rains at the last moment of which the log says so."""
    seen: bool | None = None
    for entry in entries:
        word = entry.line.text("sky").lower()
        if word in ("wet", "rain", "dry"):
            seen = word != "dry"
        elif word:
            found.append(entry.line.mistake("sky", f'"{word[:20]}" is no sky of a log', "write wet or dry"))
    return seen


def _lived(plan: Plan, rows: Sequence[RowsLaid], at: float) -> tuple[tuple[float, float], ...]:
    """Return rising moments and the share of the field that lay at each; between them, as if rows were laid evenly."""
    size = [2 * edge.full[0] + edge.half[0] for edge in plan.edges]
    field = sum(row * len(edge.full) for row, edge in zip(size, plan.edges, strict=True))
    moments = sorted({0.0, at, *(one.start for one in rows), *(one.end for one in rows)})
    shares = []
    for moment in moments:
        lay = 0.0
        for one in rows:
            part = (moment - one.start) / max(one.end - one.start, SECOND)
            lay += size[one.edge] * (one.upto - one.first) * min(1.0, max(0.0, part))
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
