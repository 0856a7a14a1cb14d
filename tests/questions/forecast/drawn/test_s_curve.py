"""The picture: no words over each other or over the edge, and the same file for the same runs."""

import io
import math

import matplotlib
import numpy as np
import pytest
from invented_runs import TWO_AREAS, invented_runs, invented_scenario
from matplotlib.text import Text
from words_on_pictures import assert_readable, words_of

from simulation.present.pictures.figure import STYLE
from simulation.present.renderers.record import write_answer
from simulation.questions.forecast.answer import forecast_answer
from simulation.questions.forecast.drawn.figures import s_curve_picture
from simulation.questions.forecast.drawn.s_curve import band_half_width, draw_s_curve
from simulation.questions.forecast.reading import read_runs
from simulation.study.calendar import make_calendar
from simulation.study.deadline import read_deadline

SCENARIO = invented_scenario()
LONG_NAMES = TWO_AREAS.replace("Invented strip", "$5 and $6 " + "W" * 50).replace('"operational readiness"', '"' + "W" * 60 + '"')

CASES = {
    "plain": {},
    "no spread": {"sd": 0.0},
    "one run": {"count": 1},
    "five runs": {"count": 5, "deadline": "2031-04-11"},
    "unfinished": {"unfinished": 0.15, "deadline": "8 d"},
    "none finished": {"unfinished": 1.0},
    "deadline left of the curve": {"deadline": "3 d"},
    "deadline far left": {"deadline": "1 h", "mean": 400.0},
    "deadline in the middle": {"deadline": "7 d"},
    "deadline far right": {"deadline": "300 d"},
    "weeks": {"mean": 400.0, "sd": 80.0},
    "hours": {"mean": 6.0, "sd": 1.0},
    "long names": {"scenario": invented_scenario(LONG_NAMES), "unfinished": 0.15, "deadline": "2031-04-11T18:00"},
}


def forecast(scenario=SCENARIO, count=300, deadline=None, **how):
    limit = read_deadline(deadline, make_calendar(scenario)) if deadline else None
    return read_runs(scenario, invented_runs(scenario, count, **how), 7, count, limit)


def drawn(**case):
    with matplotlib.rc_context(STYLE):
        figure = draw_s_curve(forecast(**case))
        figure.draw_without_rendering()
    return figure


@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_no_words_stand_over_each_other_or_outside_the_picture_or_are_too_small(case):
    figure = drawn(**case)
    assert len(words_of(figure)) > 10
    assert_readable(figure)


def test_the_curve_is_the_share_of_runs_ready_by_each_day():
    case = forecast(count=40)
    with matplotlib.rc_context(STYLE):
        axes = draw_s_curve(case).axes[0]
    curve = max(axes.lines, key=lambda line: (line.get_drawstyle() == "steps-post", line.get_linewidth()))
    days, shares = np.asarray(curve.get_xdata()), np.asarray(curve.get_ydata())
    hours = np.asarray(case.runs["milestone.operational readiness"])
    for day in (5.0, 6.9, 7.5, 9.0):
        at = shares[np.searchsorted(days, day, side="right") - 1]
        assert at == pytest.approx((hours <= 24 * day).mean())


def test_unfinished_runs_leave_the_curve_below_the_top():
    axes = drawn(unfinished=0.15).axes[0]
    curve = next(line for line in axes.lines if line.get_linewidth() == 1.8)
    assert max(curve.get_ydata()) == pytest.approx(0.85)


def test_nights_are_shaded_where_they_can_be_told_apart():
    assert any("nobody lays" in one.get_text() for one in drawn().findobj(Text))
    assert not any("nobody lays" in one.get_text() for one in drawn(**CASES["weeks"]).findobj(Text))


def test_a_dollar_sign_in_a_title_is_no_formula():
    figure = drawn(**CASES["long names"])
    title = next(one for one in figure.texts if "$5" in one.get_text())
    assert not title.get_parse_math()


def test_runs_that_waited_for_weeks_do_not_squeeze_the_others_and_are_told():
    runs = invented_runs(SCENARIO, 300)
    runs["milestone.operational readiness"][:3] = 900.0
    with matplotlib.rc_context(STYLE):
        figure = draw_s_curve(read_runs(SCENARIO, runs, 7, 300))
    assert figure.axes[0].get_xlim()[1] < 20.0
    assert any("3 of 300 runs finish beyond the right edge" in one.get_text().replace("\n", " ") for one in figure.texts)


def test_the_picture_survives_black_and_white():
    stream = io.BytesIO()
    with matplotlib.rc_context(STYLE):
        draw_s_curve(forecast(deadline="8 d")).savefig(stream, format="png")
    stream.seek(0)
    pixels = matplotlib.image.imread(stream)[..., :3]
    assert np.ptp(pixels, axis=2).max() < 0.02  # nothing but greys


@pytest.mark.usefixtures("painted")
def test_the_same_runs_give_the_same_files(tmp_path):
    for folder in ("a", "b"):
        (tmp_path / folder).mkdir()
        s_curve_picture(forecast(count=50)).save(tmp_path / folder)
    for name in ("s_curve.svg", "s_curve.png"):
        assert (tmp_path / "a" / name).read_bytes() == (tmp_path / "b" / name).read_bytes()


def test_a_forecast_leaves_five_files_and_the_runs_read_back_to_the_bit(tmp_path):
    import pandas as pd

    case = forecast(count=30, unfinished=0.1)
    files = write_answer(forecast_answer(case), tmp_path / "new" / "folder", lambda answer: answer.headline * 20)
    assert {file.name for file in files} == {"forecast.json", "forecast.txt", "runs.csv", "s_curve.svg", "s_curve.png"}
    assert all(file.stat().st_size > 500 for file in files)
    back = pd.read_csv(tmp_path / "new" / "folder" / "runs.csv")
    assert list(back.columns) == list(case.runs.columns)
    assert back["milestone.operational readiness"].tolist() == case.runs["milestone.operational readiness"].tolist()
    assert len(back) == 30


def test_the_band_is_the_one_of_dvoretzky_kiefer_and_wolfowitz():
    assert band_half_width(1000) == pytest.approx(math.sqrt(math.log(40.0) / 2000.0))
