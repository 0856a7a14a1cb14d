"""Which pictures are there of a forecast? Each with the name of its files, how it is drawn, and what it says in a sentence."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from simulation.present.answer import Figure
from simulation.present.plan_picture import describe_plan, draw_plan
from simulation.questions.forecast.causes_picture import describe_causes, draw_causes
from simulation.questions.forecast.fan_picture import describe_fan, draw_fan
from simulation.questions.forecast.losses_picture import describe_losses, draw_losses
from simulation.questions.forecast.rates_picture import describe_forecast_rates, draw_forecast_rates
from simulation.questions.forecast.scurve import describe_s_curve, draw_s_curve
from simulation.questions.forecast.station_picture import describe_stations, draw_stations
from simulation.questions.forecast.use_picture import describe_use, draw_use

if TYPE_CHECKING:
    from simulation.questions.forecast.study import Forecast
    from simulation.scenario import Scenario


#: Names of the picture that every forecast comes with, and of the further ones.
S_CURVE = "s_curve"
FURTHER = {
    "progress": "How the field grows",
    "stations": "Where the laying edges are",
    "causes": "What the time goes into",
    "use": "Who is at work when",
    "losses": "Days lost to weather and dark",
    "rates": "The rate beside published ones",
}


def s_curve_picture(forecast: Forecast) -> Figure:
    """Return the picture that every forecast comes with."""
    return Figure(
        S_CURVE,
        "The share of runs that are ready, against days",
        partial(draw_s_curve, forecast),
        partial(describe_s_curve, forecast),
    )


def plan_of(scenario: Scenario) -> Figure:
    """Return the picture of a field to scale."""
    return Figure("plan", "The field to scale", partial(draw_plan, scenario), partial(describe_plan, scenario))


def forecast_pictures(forecast: Forecast) -> tuple[Figure, ...]:
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
    return tuple(Figure(name, title, *parts) for (name, title), parts in zip(FURTHER.items(), drawn, strict=True))
