"""The two pictures of the laying itself: what their lines, bands and marks say is what the runs did."""

import math
from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from drawn_fields import TEXTS, drawn_forecast
from matplotlib.patches import Polygon
from words_on_pictures import drawn, text_of

from simulation.present.pictures.figure import INK
from simulation.questions.forecast.drawn.fan import draw_fan
from simulation.questions.forecast.drawn.station import MOST_AREAS, draw_stations, shown_areas
from simulation.questions.forecast.progress_fan import progress_fan
from simulation.questions.forecast.single_run.timeline import follow_run
from simulation.questions.forecast.study import forecast as forecast_of
from simulation.scenario import parse_scenario
from simulation.study.run_context import RunContext


@cache
def fan(case="plain"):
    forecast = drawn_forecast(case)
    course = follow_run(forecast)
    return forecast, course, drawn(draw_fan, forecast, course)


def band(figure):
    return next(one for one in figure.axes[0].patches if isinstance(one, Polygon) and one.get_hatch() == "////")


def line(figure, label):
    return next(one for one in figure.axes[0].lines if one.get_label() == label)


def test_the_band_runs_from_p10_to_p90_of_each_twentieth():
    forecast, _, figure = fan()
    corners = {(round(x, 9), round(y, 9)) for x, y in band(figure).get_xy()}
    for percent in (5, 50, 100):
        times = np.sort(forecast.runs[f"progress.{percent}"])
        assert (round(times[1] / 24, 9), percent) in corners  # of 20 runs the 2nd and the 18th
        assert (round(times[17] / 24, 9), percent) in corners


def test_the_broken_line_is_the_median():
    forecast, _, figure = fan()
    assert list(line(figure, "P50").get_xdata() * 24) == pytest.approx(progress_fan(forecast.runs).p50)
    assert list(line(figure, "P50").get_ydata()) == list(range(0, 101, 5))


def test_without_a_spread_the_band_is_a_line():
    _, _, figure = fan("no spread")
    corners = band(figure).get_xy()
    assert len({(round(x, 9), round(y, 9)) for x, y in corners}) == 21


def test_the_drawn_run_ends_with_all_of_the_field_when_it_is_ready():
    forecast, course, figure = fan()
    own = line(figure, f"run {course.run_number}")
    assert own.get_ydata()[-1] == pytest.approx(100.0)
    assert own.get_xdata()[-1] * 24 == pytest.approx(course.milestones["all of it"])
    assert course.milestones["all of it"] == pytest.approx(forecast.readiness.quantile(0.5).value)


def test_milestones_are_marked_on_the_line_of_the_drawn_run():
    _, course, figure = fan()
    marks = [one for one in figure.axes[0].lines if one.get_marker() == "o"]
    assert [one.get_xdata()[0] * 24 for one in marks] == pytest.approx(list(course.milestones.values()))
    assert [one.get_ydata()[0] for one in marks] == pytest.approx([100 * course.share(at) for at in course.milestones.values()])


def test_forty_milestones_are_marked_and_those_without_a_number_counted():
    _, course, figure = fan("forty milestones")
    assert len(course.milestones) == 40
    assert len([one for one in figure.axes[0].lines if one.get_marker() == "o"]) == 40
    assert "all of it" in text_of(figure)
    assert "36 more, not numbered" in text_of(figure)


def test_what_lies_beyond_the_horizon_leaves_the_picture_level():
    forecast, _, figure = fan("none finished")
    p90 = progress_fan(forecast.runs).p90
    assert math.isinf(p90[-1])
    known = [percent for percent, at in zip(range(0, 101, 5), p90, strict=True) if math.isfinite(at)]
    right = figure.axes[0].get_xlim()[1]
    beyond = [(x, y) for x, y in band(figure).get_xy() if x > right]
    assert min(y for _, y in beyond) == known[-1]
    assert "20 not ready within the 0.8 days simulated" in text_of(figure)


@cache
def stations(case="plain"):
    forecast = drawn_forecast(case)
    course = follow_run(forecast)
    return course, drawn(draw_stations, forecast, course)


def test_each_edge_has_its_line_and_each_key_strip_its_mark():
    course, figure = stations()
    for axes, area in zip(figure.axes, course.areas, strict=True):
        edges = [one for one in axes.lines if one.get_color() == INK and one.get_linewidth() == 1.8]
        assert [list(one.get_ydata()) for one in edges] == [[station for _, station in edge.laid] for edge in area.edges]
        marks = [one for one in axes.lines if one.get_marker() == "o"]
        assert [len(one.get_xdata()) for one in marks] == [len(edge.strips) for edge in area.edges]
        assert sum(len(one.get_xdata()) for one in axes.lines if one.get_marker() == "s") == len(area.starter)


def test_rain_stands_behind_the_edges():
    course, figure = stations()
    wet = [one for one in figure.axes[0].patches if one.get_hatch() == "...."]
    assert [(one.get_x() * 24, one.get_width() * 24) for one in wet] == [
        pytest.approx((start, end - start)) for start, end in course.rain
    ]
    assert wet and all(one.get_zorder() < 1 for one in wet)


def test_rain_is_said_to_stop_the_laying_only_where_it_fell_on_shift():
    assert stations("months")[0].rain_stops
    for course, figure in (stations(), stations("months")):
        assert "rain" in text_of(figure)
        assert ("rain: laying stops" in text_of(figure)) == course.rain_stops


def test_of_forty_areas_the_largest_few_are_shown_and_the_others_counted():
    course, figure = stations("forty areas")
    assert len(figure.axes) == MOST_AREAS
    assert [area.name for area in shown_areas(course)] == ["pad 36", "pad 37", "pad 38", "pad 39"]
    assert "the 4 largest areas, 36 smaller ones not shown" in text_of(figure)
    assert figure.get_size_inches()[1] < 11.0  # one page of print


def test_nights_of_months_are_left_out_and_that_is_said():
    assert "off shift or dark" in text_of(stations()[1])
    months = text_of(stations("months")[1])
    assert "off shift or dark" not in months
    assert "Nights are not shaded beyond 31 days" in months


def test_whoever_works_at_night_is_named_since_the_night_is_not_shaded():
    night = '[[crew]]\nname = "owls"\npeople = 14\nareas = ["apron"]\n[crew.shift]\nhours = ["20:00-24:00", "01:00-04:00"]\n'
    owls = forecast_of(
        parse_scenario(TEXTS["plain"][0] + night + "lighting = true\n", "owls.toml"), RunContext(runs=2, workers=1)
    )
    assert ", owls 20:00-04:00" in text_of(drawn(draw_stations, owls, follow_run(owls)))
    assert "Crews on shift" not in text_of(stations()[1])


def test_crews_that_follow_each_other_leave_no_night_and_the_note_blames_no_length_of_the_axis():
    course, forecast = stations()[0], drawn_forecast()
    said = text_of(drawn(draw_stations, forecast, replace(course, off=((30.0, 31.0),))))
    assert "off shift or dark" not in said
    assert "beyond 31 days" not in said
    assert "No pause of the crews is as long as 2 hours: none is shaded." in said


def test_the_hours_closed_for_flying_are_shaded_on_the_area_that_is_flown_from_and_on_no_other():
    text = TEXTS["plain"][0] + '[flying]\nfrom = "runway open"\nwindows = ["07:00-10:00"]\n'
    flown = forecast_of(parse_scenario(text, "flown.toml"), RunContext(runs=3, workers=1))
    course = follow_run(flown)
    runway, apron = course.areas
    assert runway.closed and not apron.closed
    assert min(start for start, _ in runway.closed) >= course.milestones["runway open"]
    said = drawn(draw_stations, flown, course)
    shaded = [one for one in said.axes[0].patches if one.get_facecolor()[:3] == pytest.approx((176 / 255,) * 3)]
    assert [(one.get_x() * 24, one.get_width() * 24) for one in shaded] == [
        pytest.approx((start, end - start)) for start, end in runway.closed
    ]
    assert "closed for flying" in text_of(said)


def test_an_area_that_was_not_begun_says_so():
    course, figure = stations("none finished")
    assert not course.areas[1].crews
    assert "apron: 60 × 96 ft, not begun" in text_of(figure)


def test_a_number_that_had_to_move_aside_has_a_line_to_its_milestone():
    forecast, course, _ = fan()
    first, *_ = course.milestones.values()
    close = replace(course, milestones={"one": first - 0.5, "two": first - 0.25, **course.milestones})
    figure = drawn(draw_fan, forecast, close)
    numbers = [one for one in figure.axes[0].texts if one.get_text() in ("1", "2", "3")]
    assert [one.xy[0] * 24 for one in numbers[:2]] == pytest.approx([first - 0.5, first - 0.25])
    for one in numbers:  # the line ends where the milestone's own begins
        assert one.arrow_patch is not None and one.xy[1] == 102.0
    assert numbers[1].xyann[0] > 5.0
