"""Where are the pallets by a site log, and can they be there? What is laid, staged, stored and rejected is what came."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial

from simulation.construction.plan.field_state import FieldState
from simulation.construction.plan.packing import count_mats
from simulation.construction.plan.plan import Plan
from simulation.construction.site_log.entries import Entry, LogShifts
from simulation.construction.site_log.packed_apart import StandsApart, stand_apart
from simulation.construction.site_log.rows import EdgeCount
from simulation.construction.site_log.under_way import WorkUnderWay
from simulation.scenario.site_log.log_lines import LogLine
from simulation.scenario.types.mistakes import Mistake

Mats = tuple[int, int]


@dataclass(frozen=True)
class StockCount:
    """Pallets by a log.

    Attributes
    ----------
    came, came_today, yard : int
    rejected : (int, int)
        Full and half mats.
    staged : tuple of int
        Of each laying edge.
    open : tuple of (int, int)
        Full and half mats of opened pallets at each.
    apart : StandsApart or None
        What each pallet holds; None where all hold the same.
    """

    came: int
    came_today: int
    yard: int
    rejected: Mats
    staged: tuple[int, ...]
    open: tuple[Mats, ...]
    apart: StandsApart | None = None


def count_stock(
    plan: Plan,
    entries: Sequence[Entry],
    edges: Sequence[EdgeCount],
    under_way: WorkUnderWay,
    counted: bool,
    at: float,
    shifts: LogShifts,
    mistakes: list[Mistake],
) -> StockCount:
    """Return where pallets are; what is not counted follows from rows, and mistakes are added to `mistakes`.

    Parameters
    ----------
    plan : Plan
    entries : sequence of Entry
        In the order of their ends.
    edges : sequence of EdgeCount
    under_way : WorkUnderWay
    counted : bool
        Whether the log says what came.
    at : float
    shifts : LogShifts
    mistakes : list of Mistake
    """
    received = sum(entry.line.count("pallets received") or 0 for entry in entries)
    came = plan.supply.on_hand + received
    rejected = (
        sum(entry.line.count("mats rejected") or 0 for entry in entries),
        sum(entry.line.count("half mats rejected") or 0 for entry in entries),
    )
    used = [_used(plan, number, edge.laid, edge.rejected) for number, edge in enumerate(edges)]
    placed = tuple(sum(edge.rejected[kind] for edge in edges) for kind in (0, 1))
    elsewhere = rejected[0] - placed[0], rejected[1] - placed[1]  # of which the log does not say where they were found
    today = sum(
        entry.line.count("pallets received") or 0
        for entry in entries
        if _day(plan, entry.start) == _day(plan, at) and entry.end <= at + 24.0
    )
    if counted and (wrong := _first_short(plan, entries, shifts)):
        mistakes.append(wrong)
    if plan.supply.half_first is not None:
        stage = partial(_staged, plan, edges)
        ordered = sum(pallets for pallets, _ in under_way.orders)
        for number in (came,) if counted else range(came, plan.supply.total + ordered + 1):
            if apart := stand_apart(plan, number, edges, used, elsewhere, under_way, at, stage):
                staged = tuple(map(len, apart.staged))
                return StockCount(number, min(today, number), len(apart.came.yard), rejected, staged, apart.open, apart)
        mistakes.append(_short_of_a_kind(plan, entries, used, elsewhere))
    opened = [_open(plan, mats, edge) for mats, edge in zip(used, edges, strict=True)]
    out = _pallets(plan, [elsewhere, *((mats[0] + left[0], mats[1] + left[1]) for mats, left in zip(used, opened, strict=True))])
    if not counted:
        came = max(came, out)
    if out > came - under_way.waiting:  # left-over mats were moved from one laying edge to another
        opened = [(0, 0)] * len(edges)
        out = min(_pallets(plan, [elsewhere, *used]), came - under_way.waiting)
    stored = max(0, came - under_way.waiting - out)
    staged = _staged(plan, edges, stored)
    return StockCount(came, min(today, came), stored - sum(staged), rejected, staged, tuple(opened))


def _day(plan: Plan, hour: float) -> int:
    return math.floor((hour - plan.supply.midnight) / 24.0 + 1e-9)


def _used(plan: Plan, edge: int, laid: int, rejected: Mats) -> Mats:
    """Return the full and half mats that the rows laid took, those found damaged included."""
    of = plan.edges[edge]
    return sum(of.full[:laid]) + rejected[0], sum(of.half[:laid]) + rejected[1]


def _pallets(plan: Plan, mats: Sequence[Mats]) -> int:
    """Return how many pallets so many mats were on, if they shared them; the fewest, if full and half mats are packed apart."""
    supply = plan.supply
    if supply.half_first is not None:
        return math.ceil(sum(2 * full + half for full, half in mats) / (2 * supply.full + supply.half))
    wanted = [(sum(used[kind] for used in mats), on) for kind, on in enumerate((supply.full, supply.half))]
    return max((math.ceil(count / on) for count, on in wanted if on), default=0)


def _open(plan: Plan, used: Mats, edge: EdgeCount) -> Mats:
    """Return the mats of opened pallets that lie at a laying edge: as counted, or what the pallets it took hold more."""
    full, half = edge.counted.get("full mats open"), edge.counted.get("half mats open")
    if full is not None or half is not None:
        return int(full or 0), int(half or 0)
    pallets = _pallets(plan, [used])
    return max(0, pallets * plan.supply.full - used[0]), max(0, pallets * plan.supply.half - used[1])


def _staged(plan: Plan, edges: Sequence[EdgeCount], stored: int) -> tuple[int, ...]:
    """Return the pallets at each laying edge: as counted after its last row, else as many as forklifts keep there."""
    staged = []
    for edge, edge_plan in zip(edges, plan.edges, strict=True):
        counted = edge.counted.get("staged")
        if counted is not None and edge.counted.get("rows at staged") == edge.laid:
            staged.append(int(counted))
        elif edge.last is None or edge.laid == len(edge_plan.full):
            staged.append(0)
        else:
            ahead = [
                (sum(row[edge.laid :]), on)
                for row, on in ((edge_plan.full, plan.supply.full), (edge_plan.half, plan.supply.half))
            ]
            needed = max((math.ceil(count / on) for count, on in ahead if on), default=0)
            staged.append(max(0, min(plan.forklifts.places, needed, stored - sum(staged))))
    return tuple(staged)


def _first_short(plan: Plan, entries: Sequence[Entry], shifts: LogShifts) -> Mistake | None:
    """Return the mistake of the first line by which more pallets were laid than had come."""
    came, laid, rejected = plan.supply.on_hand, [0] * len(plan.edges), [0, 0]
    for number, entry in enumerate(entries):
        line = entry.line
        came += line.count("pallets received") or 0
        rejected[0] += line.count("mats rejected") or 0
        rejected[1] += line.count("half mats rejected") or 0
        if entry.edge >= 0:
            whole = len(plan.edges[entry.edge].full)
            count = line.count("rows")
            if count is None and line.text("station"):
                count = max(0, shifts.rows_at(line, entry.edge) - laid[entry.edge])
            before = 0 if entry.stock and line.count("rows") is not None else laid[entry.edge]
            laid[entry.edge] = max(laid[entry.edge], min(whole, before + (count or 0)))
        # What came in the same hours stands in lines that may come after.
        more = sum(later.line.count("pallets received") or 0 for later in entries[number + 1 :] if later.start < entry.end)
        used = [_used(plan, edge, rows, (0, 0)) for edge, rows in enumerate(laid)]
        took = _pallets(plan, [*used, (rejected[0], rejected[1])])
        if took > came + more:
            wrong = f"by then rows took {took:,} pallets, and {came + more:,} had come"
            right = "write what came under pallets received, and what was there at the start under supply.on_hand"
            return line.mistake("rows" if entry.worked else "", wrong, right)
    return None


def _short_of_a_kind(plan: Plan, entries: Sequence[Entry], used: Sequence[Mats], elsewhere: Mats) -> Mistake:
    """Return the mistake of rows that took more mats of a kind than can have come, packed apart."""
    full, half = count_mats([*used, elsewhere])
    first = "first" if plan.supply.half_first else "last"
    wrong = f"rows took {full:,} full and {half:,} half mats, and what came, half mats {first}, held fewer of one kind"
    right = "write what came under pallets received, and under supply.half_mats how it was packed"
    worked = [entry.line for entry in entries if entry.worked]
    return (worked[-1] if worked else entries[-1].line).mistake("rows" if worked else "", wrong, right)


def check_stock(plan: Plan, state: FieldState, entries: Sequence[Entry]) -> Iterator[Mistake]:
    """Yield where what is counted does not agree: what is laid, staged, stored, on its way and rejected is what came."""
    last = entries[-1].line if entries else None
    if last is None:
        return
    supply = plan.supply
    if state.yard < 0:
        staged = sum(edge.staged for edge in state.edges)
        wrong = f"{staged} pallets stand at laying edges, more than came and are not laid"
        yield _line_with(entries, "staged").mistake("staged", wrong, "count what stands there unopened")
    lost = sum(supply.lost(state).values())
    if state.came > supply.total + state.ordered - lost:
        never = f", {lost:,} of them on shipments that never come" if lost else ""
        wrong = f"{state.came:,} pallets came, with those on hand, and {supply.total:,} are to come in all{never}"
        yield _line_with(entries, "pallets received").mistake(
            "pallets received", wrong, "count each once, or give supply.total what really comes"
        )
    counts = [entry.line for entry in entries if entry.line.count("yard") is not None]
    if counts and state.yard >= 0 and (counted := counts[-1].count("yard")) != state.yard:
        whole = entries[-1].end - next(entry.end for entry in reversed(entries) if entry.line is counts[-1])
        if whole <= 1e-3:
            wrong = f"{counted:,} pallets in the yard; by what came, is laid and stands at laying edges it must be {state.yard:,}"
            yield counts[-1].mistake("yard", wrong, "count again, or put right what came and what is staged")


def _line_with(entries: Sequence[Entry], column: str) -> LogLine:
    """Return the last line that has something in a column, or the last one."""
    return next((entry.line for entry in reversed(entries) if entry.line.text(column)), entries[-1].line)
