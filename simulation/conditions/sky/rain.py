"""When does it rain? A chain of wet and dry steps, drawn in blocks of days as a run reaches them, never to the last day
simulated.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from simulation.chance import Streams
    from simulation.scenario.tables.sky import Weather

#: Hours of weather that are drawn at once.
BLOCK = 7 * 24.0
#: A moment, in hours since the start, and whether it rains then.
Known = tuple[float, bool]


@dataclass(frozen=True)
class Chain:
    """A two-state chain.

    Attributes
    ----------
    step : float
        Hours.
    wet_after_dry, wet_after_wet : float
        Probabilities of a wet step; spells are geometric with means 1/p(wet after dry) and 1/(1 − p(wet after wet)) steps.
    """

    step: float
    wet_after_dry: float
    wet_after_wet: float

    @property
    def wet_share(self) -> float:
        """Long-run share of wet steps."""
        return self.wet_after_dry / (1.0 + self.wet_after_dry - self.wet_after_wet)


def make_chain(weather: Weather) -> Chain | None:
    """Return the chain of a scenario's weather, or None where it is dry throughout."""
    if weather.model == "none":
        return None
    return Chain(weather.step, min(1.0, weather.step / weather.dry_spell), max(0.0, 1.0 - weather.step / weather.wet_spell))


class Sky:
    """The weather of one run.

    Attributes
    ----------
    spells : list of [float, float]
        Wet spells so far, in hours since the start; the last one may still grow when the next block is drawn.
    drawn : float
        Hours up to which the weather is drawn.
    """

    __slots__ = ("_chain", "_known", "_luck", "_wet", "drawn", "spells")

    def __init__(self, chain: Chain | None, luck: Streams, known: Known | None = None) -> None:
        self._chain = chain
        self._known = (-1, False) if chain is None or known is None else (int(known[0] / chain.step + 1e-9), known[1])
        self._luck = luck
        self._wet: bool | None = None
        self.spells: list[list[float]] = []
        self.drawn = 0.0 if chain else float("inf")

    def reach(self, hour: float) -> None:
        """Draw blocks until the weather is known up to `hour`."""
        while self.drawn < hour:
            self._draw_block()

    def _draw_block(self) -> None:
        chain = self._chain
        assert chain is not None
        steps = max(1, round(BLOCK / chain.step))
        number = round(self.drawn / (steps * chain.step))
        luck = self._luck.stream("weather", str(number)).random(steps).tolist()
        wet = self._wet
        if wet is None:  # the step before the start, from the chain's equilibrium
            wet = float(self._luck.stream("weather", "before").random()) < chain.wet_share
        spells, origin = self.spells, number * steps
        seen, rains = self._known[0] - origin, self._known[1]
        for step, draw in enumerate(luck):
            wet = rains if step == seen else draw < (chain.wet_after_wet if wet else chain.wet_after_dry)
            if wet:
                start = (origin + step) * chain.step
                if spells and spells[-1][1] == start:
                    spells[-1][1] = (origin + step + 1) * chain.step
                else:
                    spells.append([start, (origin + step + 1) * chain.step])
        self._wet = wet
        self.drawn = (origin + steps) * chain.step
