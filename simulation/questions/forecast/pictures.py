"""Which pictures are there of a forecast? Each with the name of its files, how it is drawn, and what it says in a sentence."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

from simulation.present.figure import STYLE, save_figure
from simulation.present.plan_picture import describe_plan, draw_plan
from simulation.questions.forecast.causes_picture import describe_causes, draw_causes
from simulation.questions.forecast.fan_picture import describe_fan, draw_fan
from simulation.questions.forecast.losses_picture import describe_losses, draw_losses
from simulation.questions.forecast.rates_picture import describe_forecast_rates, draw_forecast_rates
from simulation.questions.forecast.scurve import describe_s_curve, draw_s_curve
from simulation.questions.forecast.station_picture import describe_stations, draw_stations
from simulation.questions.forecast.use_picture import describe_use, draw_use

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from simulation.questions.forecast.study import Forecast
    from simulation.scenario import Scenario


#: Names of the picture that every forecast comes with, and of the further ones.
S_CURVE = "s_curve"
FURTHER = ("progress", "stations", "causes", "use", "losses", "rates")


@dataclass(frozen=True)
class Picture:
    """A picture of whatever was found.

    Attributes
    ----------
    name : str
        Of its files, without what tells SVG from PNG.
    draw : callable
        Returns a new figure; its look holds inside `simulation.present.figure.STYLE`, which `figure` and `save` see to.
    describe : callable
        Returns what the picture says, one plain sentence with its numbers: the text for readers who do not see it. It holds the
        planner's own names as they are; whoever puts it into a page escapes it.
    """

    name: str
    draw: Callable[[], Figure]
    describe: Callable[[], str]

    def figure(self) -> Figure:
        """Return the picture in the look of all pictures."""
        import matplotlib

        with matplotlib.rc_context(cast(Any, STYLE)):
            return self.draw()

    def save(self, folder: Path) -> list[Path]:
        """Write the picture into a folder as SVG and PNG, and return both paths."""
        return save_figure(self.draw, folder / self.name, self.describe())


def s_curve_picture(forecast: Forecast) -> Picture:
    """Return the picture that every forecast comes with."""
    return Picture(S_CURVE, partial(draw_s_curve, forecast), partial(describe_s_curve, forecast))


def plan_of(scenario: Scenario) -> Picture:
    """Return the picture of a field to scale."""
    return Picture("plan", partial(draw_plan, scenario), partial(describe_plan, scenario))


def forecast_pictures(forecast: Forecast) -> tuple[Picture, ...]:
    """Return the further pictures of a forecast: progress, stations, drivers, use, losses and rates.

    One run is done once more for them, and the weather of some hundred is wound again.
    """
    from simulation.questions.forecast.lost_days import tabulate_lost_days
    from simulation.questions.forecast.timeline import follow_run

    course, lost = follow_run(forecast), tabulate_lost_days(forecast)
    drawn = (
        (partial(draw_fan, forecast, course), partial(describe_fan, forecast, course)),
        (partial(draw_stations, forecast, course), partial(describe_stations, forecast, course)),
        (partial(draw_causes, forecast), partial(describe_causes, forecast)),
        (partial(draw_use, forecast), partial(describe_use, forecast)),
        (partial(draw_losses, forecast, lost), partial(describe_losses, forecast, lost)),
        (partial(draw_forecast_rates, forecast), partial(describe_forecast_rates, forecast)),
    )
    return tuple(Picture(name, *parts) for name, parts in zip(FURTHER, drawn, strict=True))
