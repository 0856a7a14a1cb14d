"""Where is every mat? In a run nothing appears or disappears: what was supplied lies somewhere."""

from __future__ import annotations

from dataclasses import dataclass

from simulation.construction.running import Finished


@dataclass(frozen=True)
class Balance:
    """Mats of one kind at the end of a run; `supplied` is the sum of all the others.

    `stray` ones stand where a forklift broke down.
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

    @property
    def accounted(self) -> int:
        """The sum of everything but `supplied`."""
        places = (self.laid, self.in_work, self.rejected, self.loose, self.staged, self.on_forks)
        return sum(places) + self.stray + self.yard + self.incoming


def balances(run: Finished) -> tuple[Balance, Balance]:
    """Return the balance of full and of half mats."""
    return _balance(run, 0), _balance(run, 1)


def _balance(run: Finished, kind: int) -> Balance:
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
        on_forks=sum(forklift.carries[kind] for forklift in run.forklifts),
        stray=sum(carry.mats[kind] for carry in run.board.strays),
        yard=stock.mats_in_yard(kind),
        incoming=stock.mats_incoming(kind),
    )
