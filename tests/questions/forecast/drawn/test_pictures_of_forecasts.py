"""Every picture of every odd forecast: readable words, the same files again, a sentence with numbers, nothing but greys."""

import io
import xml.etree.ElementTree as tree
from functools import cache

import matplotlib
import numpy as np
import pytest
from drawn_fields import CASES, SCRIPT, drawn_forecast
from words_on_pictures import assert_readable, drawn

from simulation.cli.questions import COMMANDS
from simulation.present.pictures.figure import STYLE
from simulation.questions.forecast.drawn.figures import forecast_pictures, s_curve_picture
from simulation.questions.forecast.file_names import FURTHER, S_CURVE

NAMES = ("s_curve", "progress", "stations", "mats", "after_rows", "causes", "use", "losses", "laying_rates")


@cache
def pictures(case):
    forecast = drawn_forecast(case)
    return {one.name: one for one in (s_curve_picture(forecast), *forecast_pictures(forecast))}


@cache
def figure(case, name):
    return drawn(pictures(case)[name].draw)


def test_a_forecast_has_nine_pictures():
    assert tuple(pictures("plain")) == NAMES


#: Of an odd forecast, the pictures in which its oddness shows; the others are slow.
LOOKED_AT = {
    "plain": NAMES,
    "long names": ("progress", "stations", "causes", "after_rows", "mats"),
    "none finished": NAMES[1:],
    "one run": ("use", "mats"),
    "no spread": ("progress",),
    "forty milestones": ("progress", "after_rows"),
    "a script for a name": ("stations",),
    "some unfinished": ("progress", "causes"),
    "not begun": ("progress", "stations", "losses", "mats", "after_rows"),
    "forty areas": ("stations",),
    "months": ("stations", "use", "losses"),
    "late crews": ("use", "losses"),
}
EACH = [(case, name) for case, names in LOOKED_AT.items() for name in names]
OTHERS = [(case, name) for case in CASES for name in NAMES if (case, name) not in EACH]


@pytest.mark.parametrize(("case", "name"), EACH)
def test_no_word_is_small_or_stands_over_another_or_outside(case, name):
    assert_readable(figure(case, name))


@pytest.mark.slow
@pytest.mark.parametrize(("case", "name"), OTHERS)
def test_no_word_of_any_other_picture_is_small_or_stands_over_another_or_outside(case, name):
    assert_readable(figure(case, name))


@pytest.mark.parametrize("case", CASES)
def test_each_picture_says_in_one_sentence_what_it_shows(case):
    for one in pictures(case).values():
        said = one.describe()
        assert said.endswith(".")
        assert "\n" not in said
        assert not any(odd in said for odd in ("inf", "nan", "horizon days", "  "))
        assert len(said) < 900
    assert any(letter.isdigit() for letter in pictures(case)["progress"].describe())


@pytest.mark.parametrize("name", NAMES)
def test_a_picture_survives_black_and_white(name):
    stream = io.BytesIO()
    with matplotlib.rc_context(STYLE):
        figure("plain", name).savefig(stream, format="png", dpi=40)
    stream.seek(0)
    pixels = matplotlib.image.imread(stream)[..., :3]
    assert np.ptp(pixels, axis=2).max() < 0.02  # nothing but greys


@pytest.mark.parametrize("name", ["progress", "stations"])
def test_a_script_for_a_name_stays_text(name):
    one = pictures("a script for a name")[name]
    stream = io.StringIO()
    with matplotlib.rc_context(STYLE):
        one.draw().savefig(stream, format="svg")
    text = stream.getvalue()
    assert not [part for part in tree.fromstring(text).iter() if part.tag.rpartition("}")[2] == "script"]
    assert SCRIPT not in text
    if name == "stations":
        assert SCRIPT in one.describe()  # plain text: a page escapes it


@pytest.mark.parametrize("case", ["plain", "none finished", "some unfinished", "one run"])
def test_the_title_of_a_picture_is_its_conclusion_and_fits_on_its_line(case):
    for one in pictures(case).values():
        assert any(letter.isdigit() for letter in one.title) or case == "none finished", one.title
        title = max(figure(case, one.name).texts, key=lambda text: text.get_fontsize()).get_text()
        assert title == one.title


@pytest.mark.usefixtures("painted")
def test_the_same_runs_give_the_same_files(tmp_path):
    for folder in ("a", "b"):
        (tmp_path / folder).mkdir()
        next(one for one in forecast_pictures(drawn_forecast()) if one.name == "losses").save(tmp_path / folder)
    for name in ("losses.svg", "losses.png"):
        assert (tmp_path / "a" / name).read_bytes() == (tmp_path / "b" / name).read_bytes()


def test_a_figure_comes_in_the_look_of_all_pictures():
    figure = pictures("plain")["causes"].drawn()
    assert {one.get_fontname() for one in figure.texts} == {"DejaVu Sans"}


def test_no_picture_of_a_forecast_bears_the_name_of_another_question_that_may_write_into_its_folder():
    assert not {S_CURVE, *FURTHER} & set(COMMANDS)
