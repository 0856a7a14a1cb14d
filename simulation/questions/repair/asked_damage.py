"""Which mats does the damage take that is asked about, and which sizes are looked at beside it?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulation.field import make_edges
from simulation.field.damage import MatOnGround, ground_within, mats_nearest, mats_over
from simulation.questions.repair.location import SUCH_AS, Location, read_length, refuse
from simulation.study.damage.repair_draws import MOST_MATS

if TYPE_CHECKING:
    from simulation.scenario import Scenario

#: Feet: the largest crater, and by how much craters are varied.
MOST_CRATER, _STEP = 200.0, 2.0
#: The same where lengths are told in metres: half a metre.
METRIC_STEP = 0.5 / 0.3048
#: Mats up to which the way that is quicker is sought, at the least.
_FIRST = 12


class AskedDamage:
    """The damage asked about, and the sizes beside it."""

    def __init__(self, scenario: Scenario, location: Location, mats: int | None, crater: str | None) -> None:
        self.scenario, self.location = scenario, location
        self.edges = make_edges(location.area, location.rows)
        self.half = scenario.mat.half
        measures = scenario.measures.length
        right = f"write a diameter, such as {SUCH_AS[scenario.measures.metric]}"
        self.diameter = None if crater is None else read_length("crater", crater, right)
        self.more = mats or 0
        ramp_mats = sum(len(location.rows.pattern(row).pieces) for row in location.rows.ramps)
        self.most = min(MOST_MATS, location.rows.full + location.rows.half - ramp_mats)
        if self.diameter is not None and not _STEP <= self.diameter <= MOST_CRATER:
            wrong = f"a crater of {measures.text(self.diameter)} is out of range"
            refuse("crater", wrong, f"write {measures.text(_STEP)} to {measures.text(MOST_CRATER)}")
        self.size = float(mats or 1) if self.diameter is None else self.diameter
        if mats is not None and not 1 <= mats <= self.most:
            refuse("mats", f"{mats:,} mats are out of range", f"write 1 to {self.most:,}")
        here = self.mats_of(self.size)
        if any(mat.row in location.rows.ramps for mat in here):
            refuse("crater", "it reaches into an end ramp, whose mats are buried", "the ramp is dug out: see its manual")
        under = 0 if self.diameter is None else len(self._under(self.diameter))
        if mats is not None and mats < under:
            refuse("mats", f"the crater alone reaches under {under} mats", f"write {under} or more, or leave it out")
        if len(here) > self.most:
            refuse("crater", f"it reaches under {len(here):,} mats", f"up to {self.most:,} are taken; lay the stretch anew")

    def _under(self, diameter: float) -> tuple[MatOnGround, ...]:
        here = self.location
        return mats_over(here.rows, self.half, here.station, here.across, diameter)

    def mats_of(self, size: float) -> tuple[MatOnGround, ...]:
        """Return the mats that damage of a size takes."""
        rows, at = self.location.rows, (self.location.station, self.location.across)
        if self.diameter is None:
            return mats_nearest(rows, self.half, *at, int(size))
        under = self._under(size)
        if size != self.diameter or self.more <= len(under):
            return under
        more = [mat for mat in mats_nearest(rows, self.half, *at, self.more) if mat not in under]
        return (*under, *more[: self.more - len(under)])

    def ground_of(self, size: float) -> float:
        """Return the square feet of ground that damage of a size leaves to be mended."""
        if self.diameter is None:
            return 0.0
        here = self.location
        return ground_within(here.area.length, here.area.width, here.station, here.across, size)

    def sizes(self) -> list[float]:
        """Return the sizes to look at: up to twice that asked for."""
        if self.diameter is None:
            return [float(count) for count in range(1, int(min(self.most, max(_FIRST, 2 * self.size))) + 1)]
        step = METRIC_STEP if self.scenario.measures.system == "metric" else _STEP
        steps = [step * count for count in range(1, int(2 * self.diameter / step + 1e-9) + 1)]
        steps = [self.diameter if abs(size - self.diameter) < 1e-6 else size for size in steps]
        sound = [size for size in {*steps, self.diameter} if size == self.diameter or self._sound(size)]
        return sorted(sound)

    def _sound(self, size: float) -> bool:
        mats = self.mats_of(size)
        return 0 < len(mats) <= self.most and not any(mat.row in self.location.rows.ramps for mat in mats)

    def next_sizes(self, last: float) -> list[float]:
        """Return the sizes after the last one that was looked at."""
        return [last + step for step in range(1, _FIRST + 1) if last + step <= self.most]
