"""The picture of rates speaks the units of its scenario, and its by-the-book rate is that of the handbook."""

from dataclasses import replace

import pytest
from drawn_fields import drawn_forecast
from words_on_pictures import text_of

from simulation.questions.forecast.drawn.rates import describe_forecast_rates, draw_forecast_rates, draw_rates
from simulation.questions.forecast.yardsticks.rate_spread import handbook_rate, own_and_published


def told_in(units):
    forecast = drawn_forecast()
    return replace(forecast, scenario=forecast.scenario.told_in(units, False))


def test_rates_are_told_in_metres_with_the_published_feet_beside():
    said, text = describe_forecast_rates(told_in("metric")), text_of(draw_forecast_rates(told_in("metric")))
    assert "published 2,323 m² a day [25,000 sq ft as published]" in said
    assert "m² a day" in text and "m² per on-site person-hour" in text and "As published: 25,000 sq ft a day" in text
    said, text = describe_forecast_rates(told_in("feet")), text_of(draw_forecast_rates(told_in("feet")))
    assert "published 25,000 sq ft a day" in said and "m²" not in said + text


def test_a_mark_stands_at_its_rate_in_either_unit():
    feet, metric = (
        [
            line.get_xdata()[0]
            for axes in draw_forecast_rates(told_in(units)).axes
            for line in axes.lines
            if line.get_marker() == "o"
        ]
        for units in ("feet", "metric")
    )
    assert metric == pytest.approx([one * 0.3048**2 for one in feet])
    assert feet[0] == pytest.approx(25_000)


def test_by_the_book_an_on_site_person_hour_lays_what_the_handbook_s_rate_says():
    # 33 person-hours per 1,000 sq ft, all of them present and all hours counted.
    assert handbook_rate(drawn_forecast()).per_person_hour == pytest.approx(
        1000 / 33 * drawn_forecast().scenario.book.efficiency / 67
    )


def test_a_rate_beyond_the_usual_scale_is_drawn_where_it_is():
    """A field that lies idle for most of its time lays 500 sq ft a day: no bar of it ends at the edge of the picture."""
    forecast = told_in("feet")
    (own, *others) = own_and_published(forecast)
    slow = replace(
        own, spreads=tuple(replace(spread, rates=tuple(scaled(rate) for rate in spread.rates)) for spread in own.spreads)
    )
    for axes in draw_rates([slow, *others], "slow", "").axes:
        least, _ = axes.get_xlim()
        bar = next(patch for patch in axes.patches if patch.get_height() == 0.55)
        assert least < bar.get_x() and bar.get_width() > 0.0
        assert [
            tick for tick in axes.get_xticks() if least <= tick <= bar.get_x() + bar.get_width()
        ] or least < axes.get_xticks()[0]


def scaled(rate):
    return replace(rate, per_day=rate.per_day / 40.0, per_person_hour=rate.per_person_hour / 40.0)
