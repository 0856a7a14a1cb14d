"""What does a planner read of a record of weather? Whether the fitted model reproduces it, and what to do where it does not."""

from __future__ import annotations

from simulation.present.pictures.figure import listed
from simulation.present.words import wording
from simulation.questions.weather.study import WeatherResult
from simulation.scenario.weather_record.unusable import can_be_resampled

#: Figure that is compared -> what it means for a planner.
_MEANS = {
    "wet hours": "how many hours are wet",
    "wet days": "how many days are wet",
    "sd of wet hours a week": "how much the rain varies from week to week",
    "sd of wet days a week": "how much the rain varies from week to week",
    "dry weeks": "how many weeks stay dry",
    "correlation from one hour to the next": "how far the weather of one hour lasts into the next",
    "wet day after a dry one": "how often a wet day follows a dry one",
    "wet day after a wet one": "how often a wet day follows a wet one",
}


def weather_lines(result: WeatherResult) -> list[str]:
    """Return the sentences that answer the question, the headline first."""
    wet_days = next(measure for measure in result.measures if measure.name == "wet days")
    share = f"{100 * wet_days.record:.0f} %"
    wet = f"{share} of the days are wet ({result.named.wet:g} mm or more in one {result.unit}). {_shares(result)}"
    if result.in_sample:
        days = wording.counted(result.days, "day")
        compared = f"In-sample: the record's {days} are fitted and compared; nothing is said of how years differ."
    else:
        compared = "The model is compared with the record that it was fitted to: no hour was kept back."
    return [_headline(result), wet, compared, "The block to paste into a scenario is in weather.toml; --full prints it."]


def conclusion(result: WeatherResult) -> str:
    """Return what the picture shows, as its title."""
    missed = _missed(result)
    return f"The fitted model misses {listed(missed)}" if missed else "The fitted model reproduces the record"


def _headline(result: WeatherResult) -> str:
    missed = _missed(result)
    if not missed:
        return (
            f"The fitted model reproduces the record: all {len(result.measures)} figures lie where those of nine in ten records "
            "drawn from it do."
        )
    instead = 'draw from the record itself (use = "resample")' if can_be_resampled(result.named) else "look at the table first"
    return f"The fitted model does not reproduce {listed(missed)}. If that matters, {instead}."


def _missed(result: WeatherResult) -> list[str]:
    return [_MEANS[measure.name] for measure in result.measures if not measure.within]


def _shares(result: WeatherResult) -> str:
    """Return how much wetter or drier the model is than the record, which a range of nine in ten could hide."""
    recorded, fitted = result.share
    more = fitted / recorded - 1.0
    differs = f" ({100 * abs(more):.0f} % {'wetter' if more > 0 else 'drier'})" if abs(more) >= 0.01 else ""
    return f"Wet {result.unit}s: record {100 * recorded:.2f} %, fitted model {100 * fitted:.2f} %{differs}."
