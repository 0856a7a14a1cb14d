"""Which pictures are there of a forecast? Each with the name of its files, what it says, and how it is drawn."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from simulation.present.answer import Figure
from simulation.present.pictures.plan_picture import describe_plan, draw_plan
from simulation.questions.forecast.drawn.after_rows import conclude_after_rows, describe_after_rows, draw_after_rows
from simulation.questions.forecast.drawn.causes import conclude_causes, describe_causes, draw_causes
from simulation.questions.forecast.drawn.fan import conclude_fan, describe_fan, draw_fan
from simulation.questions.forecast.drawn.losses import conclude_losses, describe_losses, draw_losses
from simulation.questions.forecast.drawn.mats import conclude_mats, describe_mats, draw_mats
from simulation.questions.forecast.drawn.rates import conclude_rates, describe_forecast_rates, draw_forecast_rates
from simulation.questions.forecast.drawn.s_curve import conclude_s_curve, describe_s_curve, draw_s_curve
from simulation.questions.forecast.drawn.station import conclude_stations, describe_stations, draw_stations
from simulation.questions.forecast.drawn.strips import conclude_strips, describe_strips, draw_strips, strips_of
from simulation.questions.forecast.drawn.use import conclude_use, describe_use, draw_use
from simulation.questions.forecast.file_names import FURTHER, S_CURVE
from simulation.questions.forecast.progress_fan import progress_fan
from simulation.questions.forecast.study import Forecast
from simulation.scenario import Scenario

if TYPE_CHECKING:
    from matplotlib.figure import Figure as Drawn

#: Those that count mats, or hours of every day, from the start: of work that has begun nobody knows them.
FROM_THE_START = ("mats", "losses")
#: Those of one run that are about laying alone.
OF_LAYING = ("stations", "mats", "after_rows", "laying_rates")
#: That which only a field with tasks has.
STRIPS = "strips"


def s_curve_picture(forecast: Forecast) -> Figure:
    """Return the picture that every forecast comes with."""
    draw, describe = partial(draw_s_curve, forecast), partial(describe_s_curve, forecast)
    return Figure(S_CURVE, conclude_s_curve(forecast), draw, describe)


def plan_of(scenario: Scenario) -> Figure:
    """Return the picture of a field to scale."""
    return Figure("plan", "The field to scale", partial(draw_plan, scenario), partial(describe_plan, scenario))


def forecast_pictures(forecast: Forecast) -> tuple[Figure, ...]:
    """Return the further pictures of a forecast.

    One run is done once more for them, and the weather of some hundred is wound again.
    """
    from simulation.construction import begins_at
    from simulation.questions.forecast.days.lost_days import tabulate_lost_days
    from simulation.questions.forecast.single_run.timeline import follow_run

    course, lost = follow_run(forecast), tabulate_lost_days(forecast)
    fan = progress_fan(forecast.table)
    strips = strips_of(forecast)
    drawn: tuple[tuple[Callable[[], str], Callable[..., Drawn], Callable[..., str], tuple[object, ...]], ...] = (
        (partial(conclude_fan, forecast, fan), draw_fan, describe_fan, (forecast, course)),
        (partial(conclude_strips, strips), draw_strips, describe_strips, (strips,)),
        (partial(conclude_stations, forecast, course), draw_stations, describe_stations, (forecast, course)),
        (partial(conclude_mats, course), draw_mats, describe_mats, (forecast, course)),
        (partial(conclude_after_rows, forecast), draw_after_rows, describe_after_rows, (forecast, course)),
        (partial(conclude_causes, forecast), draw_causes, describe_causes, (forecast,)),
        (partial(conclude_use, forecast), draw_use, describe_use, (forecast,)),
        (partial(conclude_losses, lost), draw_losses, describe_losses, (forecast, lost)),
        (partial(conclude_rates, forecast), draw_forecast_rates, describe_forecast_rates, (forecast,)),
    )
    laid_only = OF_LAYING if forecast.scenario.takes_up else ()
    without = (*laid_only, *(FROM_THE_START if begins_at(forecast.scenario) else ()), *(() if forecast.tasks else (STRIPS,)))
    return tuple(
        Figure(name, conclude(), partial(draw, *of), partial(describe, *of))
        for name, (conclude, draw, describe, of) in zip(FURTHER, drawn, strict=True)
        if name not in without
    )
