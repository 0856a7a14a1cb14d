"""The picture of an hour: to scale, no words over each other or over the edge, readable in print and in grey."""

import io
import itertools
from types import SimpleNamespace

import matplotlib
import numpy as np
import pytest
from drawn_fields import replay
from matplotlib.collections import PolyCollection
from matplotlib.text import Text
from words_on_pictures import assert_readable, words_of

from simulation.present.pictures.figure import SMALL, STYLE, lines_within
from simulation.questions.replay.activities import Doing
from simulation.questions.replay.key import LAID, draw_key
from simulation.questions.replay.picture import Picture
from simulation.questions.replay.places import LYING, SYMBOL, UPRIGHT, WIDTH, GroundOnPage, crew_letters
from simulation.questions.replay.words import since
from simulation.scenario.types.quantities.measures import FEET

CASES = {
    "plain": {},
    "long names": {"title": "$5 and $6 " + "W" * 50, "milestone": "M" * 60, "area": "W" * 40},
    "unfinished": {"horizon": "1 day"},
}


def drawn(frame, **case):
    shown = replay(**case)
    with matplotlib.rc_context(STYLE):
        figure = Picture(shown).turn_to(shown.frames[frame])
        figure.draw_without_rendering()
    return figure


@pytest.mark.parametrize(
    ("case", "frame"), [("plain", 0), ("plain", 5), ("long names", 5), ("long names", -1), ("unfinished", -1)]
)
def test_no_words_stand_over_each_other_or_outside_the_picture_or_are_too_small(case, frame):
    figure = drawn(frame, **CASES[case])
    assert len(words_of(figure)) > 25
    assert_readable(figure, meet=3.0)


def test_it_says_that_mats_at_the_edges_count_loose_ones():
    said = " ".join(one.get_text() for one in words_of(drawn(5)))
    assert "with loose mats of opened pallets" in said


def test_the_picture_survives_black_and_white():
    stream = io.BytesIO()
    with matplotlib.rc_context(STYLE):
        Picture(replay()).turn_to(replay().frames[5]).savefig(stream, format="png")
    stream.seek(0)
    pixels = matplotlib.image.imread(stream)[..., :3]
    assert np.ptp(pixels, axis=2).max() < 0.02  # nothing but greys


def test_what_is_laid_is_drawn_to_scale():
    shown = replay()
    figure = drawn(5)
    frame, plan = shown.frames[5], GroundOnPage(shown.ground, FEET)
    slabs = next(
        one for one in figure.findobj(PolyCollection) if np.allclose(one.get_facecolor()[0][:3], matplotlib.colors.to_rgb(LAID))
    )
    sizes = [np.ptp(path.vertices, axis=0) for path in slabs.get_paths()]
    feet = [(2.0 * laid, 72.0) for laid in frame.stand.laid[:2] if laid]
    assert feet
    assert np.allclose(sizes[: len(feet)], np.array(feet) * plan.scale)
    ground = figure.axes[0]
    wide, tall = (ground.transData.transform(point)[place] for place, point in ((0, (WIDTH, 0)), (1, (0, -WIDTH))))
    origin = ground.transData.transform((0, 0))
    assert wide - origin[0] == pytest.approx(tall - origin[1])  # a foot is as long across as along


@pytest.mark.parametrize("sheet", [LYING, UPRIGHT])
@pytest.mark.parametrize("case", CASES.values(), ids=CASES)
def test_symbols_do_not_cover_each_other_and_stay_on_the_plan(case, sheet):
    shown = replay(**case)
    plan = GroundOnPage(shown.ground, FEET, sheet)
    for frame in shown.frames:
        symbols = plan.symbols(frame)
        assert len(symbols) >= len(shown.scenario.crew) - 2 + shown.scenario.forklifts.count
        for one, other in itertools.combinations(symbols, 2):
            assert max(abs(one.at[0] - other.at[0]), abs(one.at[1] - other.at[1])) >= SYMBOL
        for one in symbols:
            assert SYMBOL / 2 <= one.at[0] <= plan.width - SYMBOL / 2
            assert SYMBOL / 2 <= one.at[1] <= plan.height - SYMBOL / 2
            for name, (x, y) in plan.labels():  # a name is not hidden by whoever works there
                assert abs(one.at[1] - y) >= 8 or one.at[0] + SYMBOL / 2 <= x or one.at[0] >= x + 4 * len(name)
        assert len(plan.pallets(frame)) == sum(frame.stand.staged)


def test_turning_from_frame_to_frame_leaves_nothing_of_the_one_before():
    shown = replay()
    with matplotlib.rc_context(STYLE):
        turned, fresh = Picture(shown), Picture(shown)
        for frame in shown.frames[::5]:
            figure = turned.turn_to(frame)
        other = fresh.turn_to(frame)
        texts = [sorted(one.get_text() for one in both.findobj(Text)) for both in (figure, other)]
        assert texts[0] == texts[1]
        assert len(figure.findobj()) == len(other.findobj())


def test_a_film_shows_the_same_pixels_as_a_still():
    shown = replay()
    rain = next(frame for frame in shown.frames if frame.rain)
    with matplotlib.rc_context(STYLE):
        film, still = Picture(shown), Picture(shown)
        for frame in (shown.frames[0], shown.frames[6], rain, shown.frames[-1]):
            pixels = film.pixels(frame)
            still.turn_to(frame).canvas.draw()
            assert np.array_equal(pixels, np.asarray(still.figure.canvas.buffer_rgba()))


def test_crews_of_one_first_letter_are_numbered():
    assert crew_letters(doings("red", "blue")) == {"red": "R", "blue": "B"}
    assert crew_letters(doings("red", "rust")) == {"red": "1", "rust": "2"}


@pytest.mark.parametrize(
    ("kind", "name"), [("grading", "green"), ("rail gang", "red"), ("following", "first"), ("following", "third")]
)
def test_no_crew_bears_the_letter_of_a_gang_on_the_field(kind, name):
    crews = doings(name, "blue")
    assert crew_letters(crews) == {name: name[0].upper(), "blue": "B"}
    assert crew_letters([*crews, Doing(kind, "gang", "")]) == {name: "1", "blue": "2"}


def doings(*names):
    return [Doing("crew", name, "") for name in names]


def test_hours_are_said_in_days_and_hours():
    assert since(76.0) == "3 d 4 h"
    assert since(0.25) == "0 d 0 h 15 min"
    assert since(23.9999) == "1 d 0 h"


def test_every_milestone_and_everybody_stands_on_a_still_where_there_is_room():
    shown = replay(milestone="a milestone with a name of more than one line")
    with matplotlib.rc_context(STYLE):
        picture = Picture(shown)
        for frame in shown.frames[::4]:
            texts = [one.get_text() for one in picture.turn_to(frame).findobj(Text)]
            assert not [text for text in texts if text.startswith("and ") and text.endswith(" more")]


def test_the_columns_of_a_edge_do_not_touch():
    shown = replay()
    with matplotlib.rc_context(STYLE):
        picture = Picture(shown)
        edges = picture._columns(shown.frames[-1])[0]
        for place, cell in ((1, "1,066 of 1,067"), (2, "100 %"), (2, "graded")):
            room = edges.lefts[place + 1] - edges.lefts[place] - 0.05
            assert lines_within(cell, SMALL, room, bold=cell == "graded") == [cell]


def test_no_area_is_named_where_the_scale_stands():
    ground = replay().ground
    plan = GroundOnPage(ground, FEET)
    low = plan.height - 24
    for name, (x, y) in plan.labels():
        assert y + 8 <= low or x + 8 * len(name) <= WIDTH - 12 - plan.bar - 8 * len(plan.length)


def test_the_key_of_a_field_with_all_there_is_has_room_for_every_word():
    all_there_is = SimpleNamespace(rails=[None], after_rows=[SimpleNamespace(part=part) for part in ("ramp", "stand", "piece")])
    with matplotlib.rc_context(STYLE):
        shown = replay()
        figure = Picture(shown).turn_to(shown.frames[0])
        axes = next(axes for axes in figure.axes if (axes.get_xlim(), axes.get_ylim()) == ((0.0, WIDTH), (2.0, 0.0)))
        axes.clear()
        draw_key(axes, all_there_is, ended=True)
        figure.draw_without_rendering()
    boxes = [Text.get_window_extent(text) for text in axes.texts if text.get_text()]
    for one, other in itertools.combinations(boxes, 2):
        apart = min(one.x1, other.x1) <= max(one.x0, other.x0) or min(one.y1, other.y1) - max(one.y0, other.y0) <= 3.0
        assert apart
