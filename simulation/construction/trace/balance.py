"""Where is every mat? In a run nothing appears or disappears: what was supplied lies somewhere."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from simulation.construction.actors.forklift import Forklift
from simulation.construction.running import Finished
from simulation.construction.take_up.coming_up import ComingUp
from simulation.construction.take_up.pallet_up import PalletUp


@dataclass(frozen=True)
class Balance:
    """Mats of one kind at the end of a run; `supplied` is the sum of all the others.

    `stray` ones stand where a forklift broke down. Where a field is taken up, `supplied` is what lay at the start, `loose` what
    is up and on no banded pallet, `staged` what waits for a forklift or is on its forks, and `away` what has left the yard.
    """

    supplied: int
    laid: int
    in_work: int
    rejected: int
    loose: int
    staged: int
    on_forks: int
    stray: int
    yard: int
    incoming: int
    away: int = 0

    @property
    def accounted(self) -> int:
        """The sum of everything but `supplied`."""
        places = (self.laid, self.in_work, self.rejected, self.loose, self.staged, self.on_forks)
        return sum(places) + self.stray + self.yard + self.incoming + self.away


def balances(run: Finished) -> tuple[Balance, Balance]:
    """Return the balance of full and of half mats."""
    return _balance(run, 0), _balance(run, 1)


def _balance(run: Finished, kind: int) -> Balance:
    if run.up is not None:
        return _balance_up(run, run.up, kind)
    stock, edges = run.stock, run.site.edges
    before = 0 if run.site.plan.state is None else run.site.plan.state.rejected[kind]
    rows = [(edge.plan.full, edge.plan.half)[kind] for edge in edges]
    return Balance(
        supplied=stock.mats_supplied(kind),
        laid=sum(sum(of[: edge.laid]) for edge, of in zip(edges, rows, strict=True)),
        in_work=sum(sum(of[edge.laid : edge.taken]) for edge, of in zip(edges, rows, strict=True)),
        rejected=before + sum(mats[kind] for edge in edges for row, mats in edge.rejected.items() if row < edge.taken),
        loose=sum((edge.loose_full, edge.loose_half)[kind] for edge in edges),
        staged=sum(mats[kind] for edge in edges for mats in edge.staged),
        on_forks=sum(forklift.carries[kind] for forklift in run.forklifts if isinstance(forklift, Forklift)),
        stray=sum(carry.mats[kind] for carry in run.board.strays),
        yard=stock.mats_in_yard(kind),
        incoming=stock.mats_incoming(kind),
    )


def _balance_up(run: Finished, field: ComingUp, kind: int) -> Balance:
    """Return the balance of a field that is taken up."""
    plan, full = run.site.plan, kind == 0
    assert plan.take_up is not None
    lay = 0
    for section in plan.take_up.sections:
        edge = plan.edges[section.edge]
        mats = (edge.full, edge.half)[kind]
        lay += sum(mats[edge.turn(row)] for row in section.rows)
    up = sum(int(field.luck.mats[area][row][:, kind].sum()) for area, row in field.lifted)

    def of(pallets: Iterable[PalletUp]) -> int:
        return sum(pallet.mats for pallet in pallets if pallet.full == full)

    banded = of(field.pallets)
    yard = of(field.yard) + of(pallet for held in field.taken.values() for pallet in held)
    away = sum(of(load.pallets) for load in field.off) if plan.take_up.leaves else 0
    if not plan.take_up.leaves:
        yard = sum(of(load.pallets) for load in field.off)
    return Balance(
        supplied=lay,
        laid=lay - up,
        in_work=0,
        rejected=0,
        loose=up - banded,
        staged=banded - yard - away,
        on_forks=0,
        stray=0,
        yard=yard,
        incoming=0,
        away=away,
    )
