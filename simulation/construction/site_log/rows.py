"""Which rows lie by a site log, who laid them, and can they lie there? Laying edge by laying edge, shift by shift."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from simulation.construction.site_log.entries import SECOND, Entry, LogShifts, Wrong
from simulation.scenario.site_log.evidence import RowsLaid
from simulation.scenario.types.mistakes import Mistake


@dataclass
class EdgeCount:
    """What a log says of one laying edge.

    Attributes
    ----------
    laid, strips : int
        Rows laid, key strips set.
    rejected : (int, int)
        Full and half mats found damaged.
    counted : dict of str to float
        What was counted last, by column, and how many rows lay then under ``"rows"`` for pallets staged.
    last : Entry or None
        The last line with rows.
    """

    laid: int = 0
    strips: int = 0
    rejected: tuple[int, int] = (0, 0)
    counted: dict[str, float] = field(default_factory=dict)
    last: Entry | None = None


#: What is counted at a moment, beside a laying edge.
COUNTED = ("rows graded", "staged", "full mats open", "half mats open", "rail sections")


def count_rows(
    entries: Sequence[Entry], shifts: LogShifts, mistakes: list[Mistake]
) -> tuple[list[EdgeCount], list[RowsLaid], list[RowsLaid]]:
    """Return what a log says of each laying edge, the rows of each shift, and those that are counted and in no shift.

    What cannot be is added to `mistakes`.

    Parameters
    ----------
    entries : sequence of Entry
        In the order of their ends.
    shifts : LogShifts
    mistakes : list of Mistake
    """
    edges = [EdgeCount() for _ in shifts.plan.edges]
    rows: list[RowsLaid] = []
    counted_rows: list[RowsLaid] = []
    for entry in entries:
        if entry.edge < 0:
            continue
        edge = edges[entry.edge]
        try:
            first, upto = edge.laid, _laid(entry, edge, shifts)
            _check_line(entry, shifts)
        except Wrong as wrong:
            mistakes.append(wrong.mistake)
            continue
        line = entry.line
        edge.laid = upto
        edge.strips += line.count("key strips") or 0
        edge.rejected = (
            edge.rejected[0] + (line.count("mats rejected") or 0),
            edge.rejected[1] + (line.count("half mats rejected") or 0),
        )
        for column in COUNTED:
            if (counted := line.amount(column)) is not None:
                edge.counted[column] = counted
                edge.counted[f"rows at {column}"] = upto
        if graded := _graded_wrong(entry, upto, shifts):
            mistakes.append(graded)
        if upto > first:
            laid = _evidence(entry, first, upto, shifts)
            if entry.stock:
                counted_rows.append(replace(laid, start=edge.last.end if edge.last is not None else 0.0))
            else:
                rows.append(laid)
            edge.last = entry
    mistakes += _twice(entries)
    mistakes += _two_crews(entries, shifts)
    return edges, rows, counted_rows


def _laid(entry: Entry, edge: EdgeCount, shifts: LogShifts) -> int:
    """Return how many rows lie at a laying edge after a line."""
    line, plan = entry.line, shifts.plan.edges[entry.edge]
    whole, count = len(plan.full), line.count("rows")
    where = edge_name(shifts, entry.edge)
    if entry.stock and count is not None:  # a count says how many lie in all
        if count < edge.laid:
            wrong = f"{count} rows lie on {where}, and shifts before have laid {edge.laid}"
            raise Wrong(line.mistake("rows", wrong, "on a line with a single time, write how many lie in all"))
        count -= edge.laid
    if count is not None and edge.laid + count > whole:
        left = whole - edge.laid
        wrong = f"{count} rows are more than the {left} that are left of {where}" if left else f"no row of {where} is left to lay"
        raise Wrong(line.mistake("rows", wrong, f"it has {whole} rows in all; count each row once, in the shift that laid it"))
    upto = edge.laid if count is None else edge.laid + count
    if line.text("station"):
        reached = shifts.rows_at(line, entry.edge)
        if reached < edge.laid:
            wrong = f"{line.text('station')} lies behind what was reached before on {where}"
            raise Wrong(line.mistake("station", wrong, "write the station that laying has reached, from the low end of the area"))
        if count is not None and abs(reached - upto) > 1:
            wrong = f"{count} rows were laid, and by the station {line.text('station')} {reached - edge.laid}"
            raise Wrong(line.mistake("station", wrong, "write one of the two"))
        upto = upto if count is not None else reached
    return upto


def _check_line(entry: Entry, shifts: LogShifts) -> None:
    """Refuse people, hours and forklifts that cannot be."""
    line, long = entry.line, entry.end - entry.start
    worked, lost = line.amount("hours worked"), line.amount("hours lost")
    if not entry.whole_day and not entry.stock:
        for column, hours in (("hours worked", worked), ("hours lost", lost)):
            if hours is not None and hours > long + 0.02:
                wrong = f"{hours:g} hours in a shift of {long:g}"
                raise Wrong(line.mistake(column, wrong, "write hours of the clock, not those of all people together"))
    if line.count("rows") and line.count("people") == 0:
        raise Wrong(
            line.mistake("people", "nobody was there, and rows were laid", "write how many people of the crew were there")
        )


def _graded_wrong(entry: Entry, laid: int, shifts: LogShifts) -> Mistake | None:
    graded, whole = entry.line.amount("rows graded"), len(shifts.plan.edges[entry.edge].full)
    if graded is None or (laid <= graded + 1e-6 and graded <= whole):
        return None
    where = edge_name(shifts, entry.edge)
    if graded > whole:
        return entry.line.mistake("rows graded", f"{graded:g} rows are more than {where} has", f"it has {whole}")
    return entry.line.mistake(
        "rows graded", f"{laid} rows lie, on ground graded for {graded:g}", "count rows from where laying began"
    )


def _twice(entries: Sequence[Entry]) -> list[Mistake]:
    """Return the lines that say again what an earlier one says."""
    seen: dict[tuple[object, ...], int] = {}
    mistakes = []
    for entry in sorted(entries, key=lambda entry: entry.line.number):
        if not entry.worked or entry.stock:
            continue
        key = (entry.start, entry.end, entry.crew, entry.edge)
        if key in seen:
            wrong = f"says again what line {seen[key]} says: the same shift, crew and side"
            mistakes.append(entry.line.mistake("", wrong, "write one line for each, or put the rows of both into one"))
        seen.setdefault(key, entry.line.number)
    return mistakes


def _two_crews(entries: Sequence[Entry], shifts: LogShifts) -> list[Mistake]:
    """Return the lines by which two crews lay at one laying edge at a time, where neither relieves or joins the other."""
    crews, mistakes = shifts.scenario.crew, []
    for number, entry in enumerate(entries):
        if not entry.worked or entry.crew < 0:
            continue
        for other in entries[max(0, number - 40) : number]:
            apart = other.edge != entry.edge or other.crew in (entry.crew, -1) or not other.worked
            if apart or min(entry.end, other.end) - max(entry.start, other.start) <= SECOND:
                continue
            if {crews[entry.crew].second_crew, crews[other.crew].second_crew} <= {"elsewhere"}:
                late, early = sorted((entry, other), key=lambda entry: -entry.line.number)
                wrong = f"crew {crews[late.crew].name} lays where crew {crews[early.crew].name} lays in line {early.line.number}"
                right = 'give each its own side, or write second_crew = "relief" or "merge" in the scenario'
                mistakes.append(late.line.mistake("crew", wrong, right))
    return mistakes


def edge_name(shifts: LogShifts, edge: int) -> str:
    """Return what a laying edge is called: its area, and its side where there are two."""
    plan = shifts.plan
    area = plan.areas[plan.edges[edge].area]
    side = "" if len(area.edges) == 1 else f", {'high' if plan.edges[edge].upward else 'low'} side"
    return f"{area.name}{side}"


def side_of(shifts: LogShifts, edge: int) -> tuple[str, str]:
    """Return the area and the side of a laying edge, as a log names them."""
    area, _, side = edge_name(shifts, edge).partition(", ")
    return (area, side.removesuffix(" side")) if side in ("low side", "high side") else (edge_name(shifts, edge), "")


def _evidence(entry: Entry, first: int, upto: int, shifts: LogShifts) -> RowsLaid:
    line, plan = entry.line, shifts.plan.edges[entry.edge]
    lost, what = line.amount("hours lost"), line.text("lost to").lower()
    rejected = line.count("mats rejected"), line.count("half mats rejected")
    area, side = shifts.plan.areas[plan.area].name, side_of(shifts, entry.edge)[1]
    return RowsLaid(
        line=line.number,
        start=entry.start,
        end=entry.end,
        crew=entry.crew if entry.crew >= 0 else None,
        people=line.count("people"),
        area=area,
        side=side,
        edge=entry.edge,
        first=first,
        upto=upto,
        worked=line.amount("hours worked"),
        lost=((what, lost),) if lost is not None else (),
        key_strips=sum(first <= row < upto for row in plan.strips),
        rejected=None if rejected == (None, None) else sum(count or 0 for count in rejected),
    )
