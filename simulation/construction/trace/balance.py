"""Where is every mat? In a build nothing appears or disappears: what was supplied lies somewhere."""

from __future__ import annotations

from dataclasses import dataclass

from simulation.construction.running import Finished


@dataclass(frozen=True)
class Balance:
    """Mats of one kind at the end of a build; `supplied` is the sum of all the others.

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


def balances(build: Finished) -> tuple[Balance, Balance]:
    """Return the balance of full and of half mats."""
    return _balance(build, 0), _balance(build, 1)


def _balance(build: Finished, kind: int) -> Balance:
    stock, faces = build.stock, build.site.faces
    on_pallet = (stock.full, stock.half)[kind]
    rows = [(face.plan.full, face.plan.half)[kind] for face in faces]
    return Balance(
        supplied=stock.supplied * on_pallet,
        laid=sum(sum(of[: face.laid]) for face, of in zip(faces, rows, strict=True)),
        in_work=sum(sum(of[face.laid : face.taken]) for face, of in zip(faces, rows, strict=True)),
        rejected=sum(mats[kind] for face in faces for row, mats in face.rejected.items() if row < face.taken),
        loose=sum((face.loose_full, face.loose_half)[kind] for face in faces),
        staged=sum(mats[kind] for face in faces for mats in face.staged),
        on_forks=sum(forklift.carries[kind] for forklift in build.forklifts),
        stray=sum(carry.mats[kind] for carry in build.board.strays),
        yard=stock.yard * on_pallet,
        incoming=stock.incoming * on_pallet,
    )
