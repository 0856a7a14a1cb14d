"""The picture of the teams: no words over each other or over the edge, marks told apart without colour, the same file twice."""

from dataclasses import replace
from functools import cache

import pytest
from matplotlib.patches import Patch
from staffed import QUESTIONS, answer, stopped
from words_on_pictures import assert_readable, texts_of
from words_on_pictures import drawn as in_the_look_of_all

from simulation.questions.staffing.answer import staffing_answer
from simulation.questions.staffing.picture import draw_teams
from simulation.questions.staffing.verdicts import Verdict


@cache
def drawn(name):
    found = stopped() if name == "stopped" else answer(name)
    return in_the_look_of_all(draw_teams, found)


def marks(figure):
    """Return the marks of teams: lines of one point."""
    (axes,) = figure.axes
    return [line for line in axes.get_lines() if line.get_marker() not in ("None", "", None) and len(line.get_xdata()) == 1]


@pytest.mark.parametrize("name", QUESTIONS)
def test_words_are_large_enough_within_the_picture_and_not_over_each_other(name):
    assert_readable(drawn(name))


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
    text = " ".join(texts_of(figure))
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
    assert "smallest that meets: 1x18" in texts_of(drawn("answered"))
    assert "more people stop helping: 28 on site" in texts_of(drawn("full laying edge"))
    assert not any("stop helping" in text for text in texts_of(drawn("answered")))
    assert "more people gain less than half a shift: 18 on site" in texts_of(drawn("answered"))


def test_teams_that_are_never_ready_are_counted_instead_of_drawn():
    figure = drawn("never ready")
    assert marks(figure) == []
    assert any("2 teams not drawn, P80 after the last day simulated" in " ".join(text.split()) for text in texts_of(figure))


@pytest.mark.parametrize(("hours", "where"), [(-9000.0, "below"), (9000.0, "above"), (None, "")])
def test_the_legend_names_a_deadline_only_where_it_is_drawn_and_words_at_the_edge_say_where_else_it_is(hours, where):
    found = answer("answered")
    if hours is not None:
        found = replace(found, deadline=replace(found.deadline, hours=hours))
    figure = in_the_look_of_all(draw_teams, found)
    (axes,) = figure.axes
    in_legend = any(text.get_text().startswith("deadline") for text in axes.get_legend().get_texts())
    at_the_edge = [text.get_text() for text in axes.texts if "what is drawn" in text.get_text()]
    assert in_legend == (not where) and len(at_the_edge) == bool(where)
    assert not where or f"days: {where} what is drawn" in at_the_edge[0]


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
