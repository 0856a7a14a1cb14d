"""What a reader asks on the first day: rates, people, pallets through the gate, running short, the handbook's duration."""

from __future__ import annotations

import re

from simulation.field import take_off
from simulation.present.answer import Terms
from simulation.present.words import wording
from simulation.present.words.pallet_words import planned_in_words, to_order_in_words
from simulation.questions.forecast.study import Forecast
from simulation.questions.forecast.yardsticks.handbook_machines import machines_by_the_book
from simulation.questions.forecast.yardsticks.handbook_tables import duration, labour, labour_rate, machine_lines
from simulation.questions.forecast.yardsticks.published_rates import AsSlow, Published, published_for
from simulation.scenario.types.quantities.measures import Measures


def first_day_terms(forecast: Forecast) -> Terms:
    """Return single facts, each with how it is counted."""
    if forecast.scenario.takes_up:  # what is ordered, and the handbooks, are of laying
        own = (("rate", rate(forecast)), ("people on site", people(forecast)))
        return Terms((*own, *([("pallets a day", gate(forecast))] if forecast.scenario.leaves else [])))
    return Terms(
        (
            ("rate", rate(forecast)),
            ("people on site", people(forecast)),
            ("pallets", pallets(forecast)),
            ("pallets a day", gate(forecast)),
            ("spares used up", shortage(forecast)),
            ("handbook estimate", book(forecast)),
            *machines(forecast),
        )
    )


def published_terms(forecast: Forecast) -> Terms:
    """Return the published rates that the scenario's own are to be read beside."""
    return Terms(tuple((published.what, beside(published, forecast)) for published in published_for(forecast.scenario)))


def beside(published: Published, forecast: Forecast) -> str:
    """Return a published rate, and where it is one of a whole field how many runs are as slow."""
    parts = [
        f"{in_units(published.rate, forecast.scenario.measures)} ({published.source})",
        *(_as_slow(slow) for slow in forecast.as_slow if slow.published is published),
    ]
    return "; ".join(parts)


def in_units(rate: str, measures: Measures) -> str:
    """Return a published rate, all of whose numbers are square feet: in other units with its own beside them."""
    if not measures.metric:
        return rate

    def converted(number: re.Match[str]) -> str:
        area = measures.area.of(float(number[0].replace(",", "")))
        return f"{area:,.0f}" if area >= 20 else f"{area:.1f}"

    return f"{re.sub(r'[0-9][0-9,]*', converted, rate).replace('sq ft', measures.area.name)} [as published: {rate}]"


def _as_slow(slow: AsSlow) -> str:
    by = "a day" if slow.by == "day" else "per on-site person-hour"
    if slow.chance is None:
        share = "longer than was simulated"
    else:
        share = f"and {wording.percent(slow.chance.probability)} of the runs are as slow or slower"
    return f"at that rate {by} this field takes {slow.days:.1f} days, {share}"


def rate(forecast: Forecast) -> str:
    """Return the scenario's own rates and how they are counted."""
    own, area = forecast.yardsticks, forecast.scenario.measures.area
    if own.per_day is None or own.per_person_hour is None:
        return f"{area.rounded(own.square_feet)}; no rate, because half of the runs are {wording.BEYOND}"
    digits = 1 if forecast.scenario.measures.metric else 0
    return (
        f"{area.rounded(own.per_day)} a day, {area.rounded(own.per_person_hour, digits)} per on-site person-hour: "
        f"{area.rounded(own.square_feet)} in the median {own.days:.1f} days to {forecast.readiness.name}, counting "
        f"{wording.number(own.person_hours)} person-hours of {own.people} people, each on the hours of their shift"
    )


def people(forecast: Forecast) -> str:
    """Return the people on site by what they do."""
    who = forecast.people
    parts = (
        (who.crews, "in crews"),
        (who.forklift_operators, "forklift operator" if who.forklift_operators == 1 else "forklift operators"),
        (who.truck_drivers, "truck driver" if who.truck_drivers == 1 else "truck drivers"),
        (who.graders, "digging ramps out" if forecast.scenario.takes_up else "grading"),
        (who.rail_gang, "setting rail"),
        (who.task_gangs, "at tasks"),
    )
    return f"{who.total}: " + ", ".join(f"{count} {what}" for count, what in parts if count)


def pallets(forecast: Forecast) -> str:
    """Return what to order and what the scenario plans to come."""
    quantities = take_off(forecast.scenario)
    return f"{to_order_in_words(quantities)} {planned_in_words(quantities)}"


def gate(forecast: Forecast) -> str:
    """Return what the gate must let through."""
    passing = forecast.gate
    if passing is None:
        return "none arrives: all are on hand at the start"
    if forecast.scenario.takes_up:
        limit = "no limit set" if passing.limit is None else f"limit {passing.limit}"
        return (
            f"{passing.mean:.0f} a day leave the yard, on average from the first day to the last; on the busiest day "
            f"{passing.peak_p50:.0f} (median), {passing.peak_p80:.0f} (P80); {limit}"
        )
    limit = "no limit set" if passing.limit is None else f"limit {passing.limit}"
    return (
        f"{passing.mean:.0f} a day delivered to the yard, on average from the first to the last arrival; on the busiest day "
        f"{passing.peak_p50:.0f} (median), {passing.peak_p80:.0f} (P80); {limit}"
    )


def shortage(forecast: Forecast) -> str:
    """Return the chance of running short, and of what."""
    short = forecast.shortage
    text = f"in {wording.chance(short.chance)} of runs, damaged mats use up the spares"
    for item in short.of:
        if item.chance.count:
            text += f"; {item.kind} in {wording.percent(item.chance.probability)}, with {item.mats:.0f} ordered again"
    return f"{text}; {short.rejected:.0f} damaged mats on average"


def book(forecast: Forecast) -> str:
    """Return the handbook's duration beside the simulated one, both in days from the start, and the rates that part them."""
    book, own, scenario = forecast.book, forecast.yardsticks, forecast.scenario
    simulated = wording.days(24.0 * own.days)
    if simulated == wording.BEYOND or own.per_person_hour is None:
        beside = f"; the simulated median is {simulated}"
    else:
        rates = labour_rate(round(1000.0 / own.per_person_hour, 1), scenario.measures)
        beside = f" after the start; the simulated median is {simulated} days after it, at {rates} of everybody on site"
    return f"{duration(book)}{beside}. The estimate: {labour(book, scenario)}"


def machines(forecast: Forecast) -> list[tuple[str, str]]:
    """Return what earthwork and hauling would take by the handbooks, a line each."""
    scenario = forecast.scenario
    machines = machines_by_the_book(scenario, take_off(scenario))
    return [(f"{name}, handbook", text) for name, text in machine_lines(machines, scenario.measures)]
