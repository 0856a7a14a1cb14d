"""The picture of the teams: no words over each other or over the edge, marks told apart without colour, the same file twice."""

import itertools
from functools import cache

import matplotlib
import pytest
from matplotlib.patches import Patch
from matplotlib.text import Text
from staffed import QUESTIONS, answer, stopped

from simulation.present.pictures.figure import SMALL, STYLE
from simulation.questions.staffing.answer import staffing_answer
from simulation.questions.staffing.picture import draw_teams
from simulation.questions.staffing.verdicts import Verdict


@cache
def drawn(name):
    found = stopped() if name == "stopped" else answer(name)
    with matplotlib.rc_context(STYLE):
        figure = draw_teams(found)
        figure.draw_without_rendering()
    return figure


def words(figure):
    """Return text, place and size of all words; tick labels outside the view exist as objects but are not drawn."""
    (axes,) = figure.axes
    hidden = {
        label
        for axis, (low, high) in ((axes.xaxis, axes.get_xlim()), (axes.yaxis, axes.get_ylim()))
        for tick in axis.get_major_ticks()
        for label in (tick.label1, tick.label2)
        if not low - 1e-9 <= tick.get_loc() <= high + 1e-9
    }
    found = [one for one in figure.findobj(Text) if one.get_visible() and one.get_text().strip() and one not in hidden]
    return [(one.get_text(), Text.get_window_extent(one), one.get_fontsize()) for one in found]


def marks(figure):
    """Return the marks of teams: lines of one point."""
    (axes,) = figure.axes
    return [line for line in axes.get_lines() if line.get_marker() not in ("None", "", None) and len(line.get_xdata()) == 1]


@pytest.mark.parametrize("name", QUESTIONS)
def test_words_are_large_enough_within_the_picture_and_not_over_each_other(name):
    figure = drawn(name)
    found = words(figure)
    width, height = figure.bbox.width, figure.bbox.height
    for text, box, size in found:
        assert size >= SMALL, text
        assert box.x0 >= 0 and box.y0 >= 0 and box.x1 <= width and box.y1 <= height, text
    for (one, first, _), (other, second, _) in itertools.combinations(found, 2):
        # Line spacing belongs to the box of a text, ink does not: a little common height is not an overlap.
        wide = min(first.x1, second.x1) - max(first.x0, second.x0)
        tall = min(first.y1, second.y1) - max(first.y0, second.y0)
        assert wide <= 0 or tall <= 2.0, (one, other)


@pytest.mark.parametrize("name", ["answered", "many kinds", "not met"])
def test_every_team_has_its_mark_where_it_belongs(name):
    found = answer(name)
    places = sorted((line.get_xdata()[0], round(line.get_ydata()[0] * 24, 6)) for line in marks(drawn(name)))
    assert places == sorted((one.candidate.people, round(one.outcome.p80.value, 6)) for one in found.teams)


def test_crews_and_starts_differ_in_shape_and_verdicts_in_fill():
    found = answer("many kinds")
    figure = drawn("many kinds")
    shapes = {line.get_marker() for line in marks(figure)}
    assert len(shapes) == len({(one.candidate.team.crews, one.candidate.start) for one in found.teams}) == 8
    text = " ".join(one for one, _, _ in words(figure))
    for entry in ("4 crews, centre-out", "1 crew, one-end", "line and number: forklifts", "deadline, 0.4 days"):
        assert entry in text
    fills = {one.verdict: set() for one in answer("answered").teams}
    for line, one in zip(marks(drawn("answered")), answer("answered").teams, strict=True):
        fills[one.verdict].add(line.get_markerfacecolor())
    assert all(len(colours) == 1 for colours in fills.values())
    assert len(set.union(*fills.values())) == len(fills) == 3


@pytest.mark.parametrize("name", ["answered", "many kinds", "left open"])
def test_no_mark_of_the_legend_stands_for_two_things(name):
    legend = drawn(name).axes[0].get_legend()
    looks = [
        (type(one), one.get_linewidth(), one.get_facecolor(), one.get_edgecolor())
        if isinstance(one, Patch)
        else (type(one), one.get_linewidth(), one.get_linestyle(), one.get_marker(), one.get_markerfacecolor())
        for one, text in zip(legend.legend_handles, legend.get_texts(), strict=True)
        if ":" not in text.get_text()  # a heading has none
    ]
    assert len(set(looks)) == len(looks)


def test_the_smallest_team_and_where_more_people_stop_helping_are_marked():
    assert "smallest that meets: 1x18" in [text for text, _, _ in words(drawn("answered"))]
    assert "more people stop helping: 28 on site" in [text for text, _, _ in words(drawn("full laying edge"))]
    assert not any("stop helping" in text for text, _, _ in words(drawn("answered")))
    assert "more people gain less than half a shift: 18 on site" in [text for text, _, _ in words(drawn("answered"))]


def test_teams_that_are_never_ready_are_counted_instead_of_drawn():
    figure = drawn("never ready")
    assert marks(figure) == []
    assert any("2 teams not drawn, P80 after the last day simulated" in " ".join(text.split()) for text, _, _ in words(figure))


def test_what_is_left_open_looks_unlike_what_does_not_meet_the_deadline():
    figure = drawn("left open")
    crossed = {tuple(line.get_xydata()[0]) for line in marks(figure) if line.get_marker() == "x"}
    points = {(row.candidate.people, row.outcome.p80.value / 24) for row in answer("left open").of(Verdict.OPEN)}
    assert crossed == points != set()
    assert drawn("stopped")


@pytest.mark.usefixtures("painted")
def test_the_same_answer_gives_the_same_file(tmp_path):
    (figure,) = staffing_answer(answer("answered")).figures
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
    first, again = ([file.read_bytes() for file in figure.save(tmp_path / name)] for name in ("one", "two"))
    assert first == again
