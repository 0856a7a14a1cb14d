"""The three pictures of where time goes: their bars and lines are the means and quantiles of the runs."""

import math

import pytest
from drawn_fields import TEXTS, drawn_forecast
from words_on_pictures import assert_readable, drawn, text_of

from simulation.construction.trace.chain import of_calendar
from simulation.questions.forecast.days.lost_days import LostDays, tabulate_lost_days
from simulation.questions.forecast.days.use_by_day import use_by_day
from simulation.questions.forecast.drawn.causes import MOST_BARS, draw_causes, make_bars
from simulation.questions.forecast.drawn.losses import conclude_losses, days_in_view, draw_losses, nights_of
from simulation.questions.forecast.drawn.use import draw_use
from simulation.questions.forecast.study import forecast as forecast_of
from simulation.scenario import parse_scenario
from simulation.study.causes_of_time import CauseOfTime
from simulation.study.run_context import RunContext


def test_the_parts_of_all_bars_sum_to_the_mean_time_of_readiness():
    forecast = drawn_forecast()
    figure = drawn(draw_causes, forecast)
    parts = [one.get_width() for axes in figure.axes for one in axes.patches]
    assert sum(parts) == pytest.approx(forecast.runs["milestone.all of it"].mean())
    assert "laying rows" in text_of(figure)


def test_the_largest_cause_stands_first_and_its_thirds_in_order():
    forecast = drawn_forecast()
    figure = drawn(draw_causes, forecast)
    first = next(one for one in forecast.causes if not of_calendar(one.cause))
    on_shift, calendar = figure.axes
    assert on_shift.get_yticklabels()[0].get_text() == first.cause
    bar = sorted((one for one in on_shift.patches if abs(one.get_y() + one.get_height() / 2) < 0.1), key=lambda one: one.get_x())
    assert [one.get_width() for one in bar] == pytest.approx([first.thirds[third] for third in ("early", "middle", "late")])
    assert len({(one.get_facecolor(), one.get_hatch()) for one in bar}) == 3
    assert calendar.get_yticklabels()[0].get_text() == "off shift, crews"


def test_more_causes_than_can_be_read_are_put_together():
    many = [CauseOfTime(f"{number}", 40.0 - number, 0.02, 1.0, dict.fromkeys(("early", "middle", "late"), (40.0 - number) / 3))
            for number in range(20)]  # fmt: skip
    others, calendar = make_bars(many)
    assert not calendar
    assert len(others) == MOST_BARS
    assert others[-1][0] == f"{20 - MOST_BARS + 1} smaller causes"
    assert sum(sum(hours) for _, hours in others) == pytest.approx(sum(one.hours for one in many))


def test_without_a_finished_run_the_drivers_say_so():
    forecast = drawn_forecast("none finished")
    said = text_of(drawn(draw_causes, forecast))
    assert "average of 20 runs, none of which was ready; first, middle and last third of the 0.8 days simulated" in " ".join(
        said.split()
    )
    assert sum(one.hours for one in forecast.causes) == pytest.approx(forecast.scenario.horizon)


def test_the_lines_of_use_are_the_medians_of_each_day():
    forecast = drawn_forecast()
    found = use_by_day(forecast.runs, forecast.calendar)
    figure = drawn(draw_use, forecast)
    for axes, actor in zip(figure.axes, ("crews", "forklifts"), strict=False):
        median = next(one for one in axes.lines if one.get_linewidth() == 1.8)
        middles = [100 * day.use[actor].middle if day.runs >= 0.5 else math.nan for day in found.days]
        assert list(median.get_ydata())[:-1] == pytest.approx(middles, nan_ok=True)
        assert list(median.get_xdata())[:-1] == pytest.approx([day.start / 24 for day in found.days])
    shares = [one.get_height() for one in figure.axes[2].patches]
    assert shares == pytest.approx([100 * day.runs for day in found.days])


def test_a_day_with_a_third_of_the_runs_left_bears_no_median_that_reads_as_a_stoppage():
    forecast = drawn_forecast()
    found = use_by_day(forecast.runs, forecast.calendar)
    assert any(0 < day.runs < 0.5 for day in found.days)
    figure = drawn(draw_use, forecast)
    for axes in figure.axes[:2]:
        for one in axes.lines:
            assert [math.isnan(y) for y in one.get_ydata()[:-1]] == [day.runs < 0.5 for day in found.days]
        last = max(day.end for day in found.days if day.runs >= 0.5)
        assert max(x for band in axes.collections for path in band.get_paths() for x, _ in path.vertices) * 24 == last
    assert "Blank are days with less than half of the runs at work" in text_of(figure)


def test_days_before_the_crews_come_are_blank():
    figure = drawn(draw_use, drawn_forecast("late crews"))
    median = next(one for one in figure.axes[0].lines if one.get_linewidth() == 1.8)
    first, second, third, *_ = median.get_ydata()
    assert first != first and second != second and third > 0


def test_the_bars_of_losses_are_the_hours_of_each_day():
    forecast = drawn_forecast()
    lost = tabulate_lost_days(forecast)
    figure = drawn(draw_losses, forecast, lost)
    assert [axes.get_title(loc="left") for axes in figure.axes] == list(lost.causes)
    for axes, cause in zip(figure.axes, lost.causes, strict=True):
        assert [one.get_height() for one in axes.patches] == pytest.approx(lost.hours[cause])
        assert f"{lost.total(cause):,.1f} hours" in text_of(figure)
    nights = {"off shift", "dark"}
    scales = {(cause in nights, axes.get_ylim()) for axes, cause in zip(figure.axes, lost.causes, strict=True)}
    assert len(scales) == len({cause in nights for cause in lost.causes}) == 2  # rows that are compared have one scale
    assert "Off shift on a scale of its own, all other rows on one." in " ".join(text_of(figure).split())


def test_it_is_said_that_hours_by_the_calendar_are_not_those_of_the_chain_of_causes():
    forecast = drawn_forecast()
    lost = tabulate_lost_days(forecast)
    figure = drawn(draw_losses, forecast, lost)
    assert_readable(figure)
    said = text_of(figure)
    assert conclude_losses(lost) in said
    assert conclude_losses(lost).startswith("By the crews' calendar, ")
    assert "The table of causes is of the chain of causes" in said
    assert "its hours of the same name may differ" in said


def test_hours_closed_for_flying_on_shift_have_a_panel_and_do_not_come_on_top():
    text = (
        TEXTS["plain"][0]
        + '[flying]\nfrom = "runway open"\nwindows = ["07:00-10:00"]\nclear_before = "0 h"\nclear_after = "0 h"\n'
    )
    flown = forecast_of(parse_scenario(text, "flown.toml"), RunContext(runs=4, workers=1))
    lost = tabulate_lost_days(flown)
    plain = tabulate_lost_days(forecast_of(parse_scenario(TEXTS["plain"][0], "plain.toml"), RunContext(runs=4, workers=1)))
    assert lost.flown == "runway"
    assert 0 < max(lost.closed) <= 3.0
    for day, hours in enumerate(lost.closed):
        assert hours <= lost.hours["waiting on shift"][day] + lost.hours["at work"][day] + 1e-9
    assert not plain.closed
    figure = drawn(draw_losses, flown, lost)
    assert_readable(figure)
    assert [one.get_height() for one in figure.axes[-1].patches] == pytest.approx(lost.closed)
    assert "runway closed for flying, crews on shift" in text_of(figure)
    assert "they do not come on top" in text_of(figure)
    assert "flying" not in text_of(drawn(draw_losses, drawn_forecast(), plain))


def test_a_few_slow_runs_do_not_squeeze_the_days_of_all_others():
    forecast = drawn_forecast("months")
    lost = tabulate_lost_days(forecast)
    shown = days_in_view(lost)
    assert shown <= len(lost.borders) - 1
    figure = drawn(draw_losses, forecast, lost)
    assert figure.axes[0].get_xlim()[1] * 24 == pytest.approx(lost.borders[shown])


@pytest.mark.parametrize(("dark", "own"), [(0.5, ("off shift",)), (9.0, ("off shift", "dark"))])
def test_dark_is_drawn_on_the_scale_on_which_it_can_be_read(dark, own):
    hours = {"waiting on shift": (2.0, 0.0), "off shift": (12.0, 11.0), "dark": (dark, 0.0), "rain": (0.0, 0.4)}
    hours = {cause: hours.get(cause, (0.0, 0.0)) for cause in (*hours, "at work", "crews not there")}
    lost = LostDays(10, (0.0, 24.0, 48.0), hours, 0)
    assert nights_of(lost) == own
    figure = drawn(draw_losses, drawn_forecast(), lost)
    for axes, cause in zip(figure.axes, lost.causes, strict=True):
        assert axes.get_ylim()[1] == pytest.approx(1.12 * (12.0 if cause in own else 2.0))
