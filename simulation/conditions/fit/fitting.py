"""Which chain, and which hours, is a record of weather a sample of?

The chain: p by counting; the two sorts of dry spells by EM, each hour of a spell counted to its own month, so that spells across
the end of a month, and those cut off by a gap, say what they know. Figures are rounded to five digits, so that a scenario that
states them gives the same weather to the bit.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
from numpy import bool_, intp
from numpy.typing import NDArray

from simulation.conditions.fit.fitted_months import Sample, samples_of
from simulation.conditions.fit.fitting_air import ENOUGH_HOURS, air_of_hours, digits
from simulation.conditions.sky.climate import chain_of_days
from simulation.conditions.sky.climate_defaults import DRY_HUMIDITY, PLANNED, day_curves, humidity_curves
from simulation.conditions.sky.hourly_variables import Air, Array, months_and_hours
from simulation.conditions.sky.three_states import ThreeStates
from simulation.scenario.types.named_values import MONTHS

if TYPE_CHECKING:
    from simulation.scenario.weather_record.weather_record import WeatherRecord

#: Dry spells that begin in a month, or a season, for it to be fitted alone. Planning value: at 20 the share w is known to ± .11.
ENOUGH_SPELLS = 20
#: Recorded days for a month of a daily record to be fitted alone. Planning value.
ENOUGH_DAYS = 30
#: p, w, a and b of one chain.
Numbers = tuple[float, float, float, float]
_SHORTEST, _LONGEST = 1e-6, 0.999
_ROUNDS, _CLOSE = 3000, 1e-9


@dataclass(frozen=True)
class Fit:
    """What was fitted to a record.

    Attributes
    ----------
    chain : ThreeStates
    air : Air
        With what the record says; the rest are planning values.
    periods : tuple of str
        What the chain of each month was fitted to, as `Sample.name` tells it.
    daily : bool
        Whether the record is by days, so that the chain goes by its wet days as by a table of the climate.
    """

    chain: ThreeStates
    air: Air
    periods: tuple[str, ...]
    daily: bool = False


@lru_cache(maxsize=4)
def fit(record: WeatherRecord, wet: float, by: str) -> Fit:
    """Return what is fitted to a record.

    Parameters
    ----------
    record : WeatherRecord
    wet : float
        mm from which an hour, or day, counts as wet.
    by : str
        ``"month"``, ``"season"`` or ``"year"``: what the chain tells apart where there is enough data. The air goes by month.
    """
    if record.step == 24:
        return _fit_days(record, wet)
    months, hours = months_and_hours(record.first, 0, record.length)
    rain = record.values["rain"]
    states = np.where(np.isnan(rain), -1, rain >= wet).astype(np.int8)
    starts = months[1:][(states[:-1] == 1) & (states[1:] == 0)]
    spells, recorded = (np.bincount(of, minlength=MONTHS) for of in (starts, months[states >= 0]))
    samples = samples_of(spells, recorded, (ENOUGH_SPELLS, ENOUGH_HOURS), by)
    chain = ThreeStates(*(tuple(map(digits, values)) for values in zip(*_fitted(samples, states, months), strict=True)))
    return Fit(chain, air_of_hours(record, states, months, hours), tuple(sample.name for sample in samples))


def _fitted(samples: Sequence[Sample], states: NDArray[np.int8], months: NDArray[intp]) -> list[Numbers]:
    """Return p, w, a and b of every month."""
    # Groups that share no hour are fitted at once: a spell over the end of one goes on into the next.
    apart = list(dict.fromkeys(sample.months for sample in samples if not sample.scaled and len(sample.months) < MONTHS))
    apart = [of for of in apart if sum(set(of) & set(other) != set() for other in apart) == 1]
    group = np.full(MONTHS, len(apart), dtype=np.intp)
    for number, of in enumerate(apart):
        group[list(of)] = number
    at_once = fit_chain(states, group[months])
    numbers: dict[tuple[int, ...], Numbers] = {of: _numbers(at_once, index) for index, of in enumerate(apart)}
    for sample in samples:
        if sample.months not in numbers:
            inside = np.isin(months, sample.months).astype(np.intp)
            numbers[sample.months] = _numbers(fit_chain(states, 1 - inside), 0)
    return [
        as_often_wet(numbers[sample.months], states, np.isin(months, sample.scaled)) if sample.scaled else numbers[sample.months]
        for sample in samples
    ]


def _numbers(chains: tuple[Array, Array, Array, Array], group: int) -> Numbers:
    p, w, a, b = (float(chain[group]) for chain in chains)
    return p, w, a, b


def as_often_wet(spells: Numbers, states: NDArray[np.int8], which: NDArray[bool_]) -> Numbers:
    """Return p, w, a and b of a chain that is as often wet as some hours are, with dry spells of two sorts as in another.

    How long it stays wet is counted in these hours, w and a are the other's, and b is what makes the shares agree.
    """
    p, w, a, _ = spells
    before, now = states[:-1], states[1:]
    stayed, left = (int(((before == 1) & (now == state) & which[1:]).sum()) for state in (1, 0))
    if stayed + left:
        p = min(stayed / (stayed + left), _LONGEST)
    # A season without a wet hour may still have had one: half an hour of rain.
    share = max(float((states[which] == 1).sum()), 0.5) / int((states[which] >= 0).sum())
    dry = (1.0 / share - 1.0) / (1.0 - p)
    long = dry - w / a
    return p, w, a, float(np.clip((1.0 - w) / long, _SHORTEST, _LONGEST)) if long > 0 else _LONGEST


def fit_chain(states: NDArray[np.int8], groups: NDArray[intp]) -> tuple[Array, Array, Array, Array]:
    """Return p, w, a and b of the three-state chain for each group of hours.

    Parameters
    ----------
    states : ndarray
        Of each hour: 1 wet, 0 dry, −1 not known.
    groups : ndarray
        Of each hour, from 0.
    """
    count = int(groups.max()) + 1
    before, after, into = states[:-1], states[1:], groups[1:]
    stayed, left = (np.bincount(into[(before == 1) & (after == now)], minlength=count) for now in (1, 0))
    stays = np.clip(stayed / np.maximum(stayed + left, 1), 0.0, _LONGEST)
    begun = np.flatnonzero((before == 1) & (after == 0)) + 1
    if not len(begun):
        return stays, np.zeros(count), np.full(count, 0.5), np.full(count, 1 / max(len(states), 1))
    # Dry hours at the beginning, or behind a gap, are those of a spell under way: how it began nobody saw.
    under_way = np.flatnonzero((states == 0) & (np.append(-1, before) == -1))
    starts = np.append(begun, under_way)
    # The first hour that is not dry ends a spell; where it is not known, or behind the end, the spell goes on unseen.
    edges = np.append(np.flatnonzero(states != 0), len(states))
    stops = edges[np.searchsorted(edges, starts)]
    ended = (stops < len(states)) & (np.append(states, -1)[stops] == 1)
    tried = np.zeros((len(states) + 2, count))
    tried[1:-1] = np.eye(count)[groups]
    tried = tried.cumsum(axis=0)
    trials = tried[stops + ended] - tried[starts + 1]
    events = np.zeros((len(starts), count))
    events[np.flatnonzero(ended), groups[stops[ended]]] = 1.0
    return (stays, *_two_sorts(trials, events, groups[starts], len(begun)))


def _two_sorts(trials: Array, events: Array, began: NDArray[intp], whole: int) -> tuple[Array, Array, Array]:
    """Return w, a and b by EM, from hours in which each dry spell could have ended, those in which it did, and where it began.

    For whole spells of d hours in one group it is w = mean g, a = Σg/Σ(g d), b = Σ(1 − g)/Σ((1 − g) d) with g the chance that a
    spell is short. Only the first `whole` were seen to begin and tell of w; the others were met under way, and are short as
    w/a is to (1 − w)/b, longer spells being met more often.
    """
    count = trials.shape[1]
    met = np.arange(len(began)) >= whole
    number = np.maximum(np.bincount(began[:whole], minlength=count), 1)
    overall = events.sum() / max(trials.sum(), 1.0)
    share, ends, lasts = np.full(count, 0.5), np.full(count, min(0.4, 3 * overall + 0.2)), np.full(count, overall / 2)
    stayed = trials - events
    for _ in range(_ROUNDS):
        likely = [stayed @ np.log1p(-share) + events @ np.log(share) for share in (ends, lasts)]
        short = share[began]
        odds = np.log((1.0 - short) / short) + likely[1] - likely[0] + np.where(met, np.log(ends / lasts)[began], 0.0)
        belongs = 1.0 / (1.0 + np.exp(np.clip(odds, -700.0, 700.0)))
        old = np.concatenate((share, ends, lasts))
        share = np.clip(np.bincount(began[:whole], weights=belongs[:whole], minlength=count) / number, 1e-9, 1 - 1e-9)
        ends, lasts = (
            np.clip(weight @ events / np.maximum(weight @ trials, 1e-12), _SHORTEST, _LONGEST)
            for weight in (belongs, 1.0 - belongs)
        )
        if np.abs(np.concatenate((share, ends, lasts)) - old).max() < _CLOSE:
            break
    swapped = lasts > ends
    return (
        np.where(swapped, 1.0 - share, share),
        np.where(swapped, lasts, ends),
        np.where(swapped, ends, lasts),
    )


def _fit_days(record: WeatherRecord, wet: float) -> Fit:
    """Return the chain of hours that has the wet days of a daily record, and its means by month."""
    days = np.datetime64(record.first, "D") + np.arange(record.length)
    months = days.astype("datetime64[M]").astype(np.intp) % 12
    rain = record.values["rain"]
    known = ~np.isnan(rain)
    recorded = np.bincount(months[known], minlength=MONTHS)
    samples = samples_of(recorded, recorded, (ENOUGH_DAYS, 2 * ENOUGH_DAYS), "month")
    of = _Means(months, samples)
    pairs = known & np.append(False, known[:-1]) & np.append(False, rain[:-1] < wet)
    shares = [min(max(share, 0.001), 0.99) for share in of(rain >= wet, known)]
    chain = chain_of_days(shares, of(rain >= wet, pairs), _wet_spells())
    chain = ThreeStates(*(tuple(map(digits, values)) for values in (chain.wet, chain.short, chain.short_ends, chain.long_ends)))
    air = _air_of_days(record, chain, of)
    return Fit(chain, air, tuple(sample.name for sample in samples), daily=True)


def _wet_spells() -> tuple[float, ...]:
    """Return the mean hours of a wet spell where the record is by days: those of a table of the climate that does not say.

    Asked for only then: a worker, which fits nothing, would have to load units to read the default.
    """
    from simulation.scenario.tables.weather_tables import Climate

    return Climate(wet_days=(1.0,) * MONTHS).wet_spell


class _Means:
    """Means by month, each of the months that it is fitted to."""

    def __init__(self, months: NDArray[intp], samples: Sequence[Sample]) -> None:
        self._months, self._samples = months, samples

    def __call__(self, values: Array | NDArray[bool_], known: NDArray[bool_]) -> list[float]:
        means: list[float] = []
        for sample in self._samples:
            chosen = known & np.isin(self._months, sample.months)
            means.append(float(values[chosen if chosen.any() else known].mean()))
        return means


def _air_of_days(record: WeatherRecord, chain: ThreeStates, of: Callable[[Array, NDArray[bool_]], Sequence[float]]) -> Air:
    values = record.values
    air = PLANNED

    def means(name: str) -> tuple[float, ...]:
        return tuple(map(digits, of(values[name], ~np.isnan(values[name]))))

    shares = [chain.shares(month)[0] for month in range(MONTHS)]
    rain = tuple(digits(total / (24 * share)) for total, share in zip(means("rain"), shares, strict=True))
    air = replace(air, rain=rain, stated=frozenset({"rain"}))
    if "wind" in values:
        more = air.wind_wet[0] / air.wind_dry[0]
        dry = tuple(digits(mean / (1 + share * (more - 1))) for mean, share in zip(means("wind"), shares, strict=True))
        wet = tuple(digits(wind * more) for wind in dry)
        air = replace(air, wind_dry=dry, wind_wet=wet, stated=air.stated | {"wind"})
    if {"temperature_low", "temperature_high"} <= values.keys():
        curves = day_curves(means("temperature_low"), means("temperature_high"))
        temperature = tuple(tuple(map(digits, row)) for row in curves)
        dry_humidity = humidity_curves((DRY_HUMIDITY,) * MONTHS, temperature)
        air = replace(air, temperature=temperature, humidity_dry=dry_humidity, stated=air.stated | {"temperature"})
    if "humidity" in values:
        table = tuple(tuple(map(digits, row)) for row in humidity_curves(means("humidity"), air.temperature))
        air = replace(air, humidity_dry=table, stated=air.stated | {"humidity"})
    return air
