"""The picture of a season: its cells are the hours of the clock, its bars the means, and it reads without colour."""

import pytest
from words_on_pictures import assert_readable, drawn, text_of

from simulation.conditions.clock.lost_hours import AT_WORK
from simulation.construction.trace.chain import LOSSES
from simulation.questions.conditions.marks import DOT, FILL, ORDER, STROKES
from simulation.questions.conditions.picture import MOST_MONTHS, draw_season
from simulation.questions.conditions.study import expected_losses
from simulation.scenario import load_scenario

CONFIG = "night_and_heat"


@pytest.fixture(scope="module")
def found():
    from simulation.scenario import shipped

    return expected_losses(load_scenario(shipped(CONFIG)), 5)


def test_every_cause_has_a_mark_that_no_other_has():
    assert set(ORDER) == {AT_WORK, *LOSSES}
    marks = [(FILL.get(cause), STROKES.get(cause), cause in DOT) for cause in LOSSES]
    assert len(set(marks)) == len(LOSSES)
    assert (None, None, False) not in marks


def test_every_kind_of_work_of_the_hot_strip_is_readable(found):
    for one in found.works:
        assert_readable(drawn(draw_season, found, one))


def test_bars_are_the_mean_hours_of_the_month_and_the_title_their_p80(found):
    shown = found.first
    figure = drawn(draw_season, found, shown)
    bars = [axes for axes in figure.axes if axes.patches]
    assert len(bars) == len(found.months)
    for axes, month in zip(bars, shown.months, strict=True):
        told = [hours for hours in month.by_cause.values() if hours >= 0.05]
        assert sorted(one.get_width() for one in axes.patches) == pytest.approx(sorted(told))
        assert f"P80 {month.hours.p80:,.1f} h" in axes.get_title(loc="left")


def test_more_months_than_fit_a_page_are_left_to_the_tables():
    from simulation.scenario import shipped

    many = expected_losses(load_scenario(shipped(CONFIG)), 2, months=MOST_MONTHS + 2)
    figure = drawn(draw_season, many, many.first)
    assert "2 later months in the tables only" in text_of(figure)
    assert_readable(figure)
