"""The pictures of a field: where things stand on the axes, that they are to scale, legible, and do not cover each other."""

import xml.etree.ElementTree as ElementTree
from itertools import combinations

import matplotlib
import pytest

from simulation.field import place_areas, take_off
from simulation.present.pictures.figure import SMALL, STYLE
from simulation.present.pictures.plan_picture import describe_plan, draw_plan
from simulation.questions.takeoff.brick_picture import draw_brick, read_detail
from simulation.questions.takeoff.pictures import save_field
from simulation.questions.takeoff.tasks_table import tasks_table
from simulation.scenario import ScenarioError, load_scenario, shipped

SCENARIOS = {name: load_scenario(shipped(name)) for name in ("railed_strip", "relief_strip", "first_look")}
RAILED = SCENARIOS["railed_strip"]


def plan(scenario):
    with matplotlib.rc_context(STYLE):
        return draw_plan(scenario)


def brick(scenario, detail):
    with matplotlib.rc_context(STYLE):
        return draw_brick(scenario, read_detail(detail, scenario))


def named(figure, name):
    return [one for one in figure.axes[0].get_children() if str(one.get_gid()).startswith(name)]


def texts(figure):
    every = [*figure.texts, *(text for axes in figure.axes for text in axes.texts)]
    every += [text for axes in figure.axes if axes.axison for text in (*axes.get_xticklabels(), *axes.get_yticklabels())]
    every += [text for legend in figure.legends for text in legend.get_texts()]
    every += [label for axes in figure.axes if axes.axison for label in (axes.xaxis.label, axes.yaxis.label)]
    return [text for text in every if text.get_text()]


def legible(figure):
    """Hold every text to the least size, to the page, and to room of its own."""
    renderer = figure.canvas.get_renderer()
    figure.canvas.draw()
    boxes = [(text.get_text(), text.get_window_extent(renderer)) for text in texts(figure)]
    assert all(text.get_fontsize() >= SMALL for text in texts(figure))
    page = figure.bbox
    for words, box in boxes:
        assert page.x0 <= box.x0 and box.x1 <= page.x1 and page.y0 <= box.y0 and box.y1 <= page.y1, words
    for (one, a), (other, b) in combinations(boxes, 2):
        assert not (a.x0 < b.x1 and b.x0 < a.x1 and a.y0 < b.y1 and b.y0 < a.y1), (one, other)


@pytest.mark.parametrize("name", SCENARIOS)
def test_every_area_is_drawn_where_it_lies_and_to_one_scale(name):
    figure = plan(SCENARIOS[name])
    axes = figure.axes[0]
    for area, placed in place_areas(SCENARIOS[name]).items():
        (patch,) = named(figure, f"area {area}")
        assert {tuple(corner) for corner in patch.get_xy()} == set(placed.corners)
    box = axes.get_window_extent()
    (left, right), (low, high) = axes.get_xlim(), axes.get_ylim()
    assert box.width / (right - left) == pytest.approx(box.height / (high - low))


@pytest.mark.parametrize("name", SCENARIOS)
def test_a_plan_is_legible_and_no_name_stands_on_an_area_or_another(name):
    figure = plan(SCENARIOS[name])
    legible(figure)
    areas = [one.get_window_extent() for one in named(figure, "area ")]
    for text in named(figure, "name "):
        box = text.get_window_extent()
        assert not any(box.x0 < a.x1 and a.x0 < box.x1 and box.y0 < a.y1 and a.y0 < box.y1 for a in areas), text.get_text()


def test_key_strips_rail_ramps_junctions_and_yard_stand_at_their_stations():
    figure = plan(RAILED)
    strips = sorted(line.get_xdata()[0] for line in named(figure, "key strip strip"))
    assert strips == [10 + 100 * number for number in range(18)]
    (rail,) = named(figure, "rail strip")
    assert (list(rail.get_xdata()), list(rail.get_ydata())) == ([0, 1800], [18, 18])  # 18 ft right of the left edge, at 36
    ends = [sorted({float(x) for x, _ in patch.get_xy()}) for patch in named(figure, "ramp strip")]
    assert ends == [[0, 10], [1790, 1800]]
    apron = next(line for line in named(figure, "junction apron"))
    assert (list(apron.get_xdata()), list(apron.get_ydata())) == ([1110, 1290], [-36, -36])
    (yard,) = named(figure, "yard")
    assert yard.get_width() ** 2 == pytest.approx(take_off(RAILED).ordered.yard)
    assert yard.get_x() + yard.get_width() / 2 == pytest.approx(500)


def test_the_scale_bar_is_as_long_as_it_says():
    figure = plan(RAILED)
    bar = figure.axes[1]
    per_foot = figure.axes[0].get_window_extent().width / (figure.axes[0].get_xlim()[1] - figure.axes[0].get_xlim()[0])
    assert bar.get_window_extent().width == pytest.approx(bar.get_xlim()[1] * per_foot)
    assert any(text.get_text() == f"{bar.get_xlim()[1]:,.0f} ft" for text in figure.texts)


def test_north_follows_from_the_bearing_of_the_first_area():
    site = RAILED.site
    for bearing, (dx, dy) in ((90, (0, 1)), (0, (1, 0)), (180, (-1, 0)), (270, (0, -1))):
        figure = plan(RAILED.model_copy(update={"site": site.model_copy(update={"bearing": float(bearing)})}))
        (north,) = [text for axes in figure.axes for text in axes.texts if text.get_gid() == "north"]
        assert north.get_position() == (pytest.approx(0.22 * dx, abs=1e-9), pytest.approx(0.22 * dy, abs=1e-9))


def test_a_detail_shows_every_mat_bar_and_joint_of_its_rows():
    figure = brick(SCENARIOS["relief_strip"], "taxiway:0-40")  # rows of 36 ft: 3 full; 1, 2, 1 half and full ones
    full, half = (named(figure, kind) for kind in ("full mat", "half mat"))
    assert (len(full), len(half)) == (10 * 3 + 10 * 2, 10 * 2)
    assert sum(patch.get_width() * patch.get_height() for patch in (*full, *half)) == pytest.approx(40 * 36)
    assert len(named(figure, "end joint")) == 10 * 2 + 10 * 3
    assert [round(line.get_xdata()[0], 1) for line in named(figure, "key strip")] == [10.1]
    ends = {(line.get_xdata()[0], line.get_ydata()[0]) for line in named(figure, "end joint")}
    assert {y for x, y in ends if x == 0} == {12, 24}
    assert {y for x, y in ends if x == 2} == {6, 18, 30}


def test_a_detail_beside_a_rail_shows_lanes_and_the_clearances_of_the_take_off():
    figure = brick(RAILED, "strip:1000-1060")
    rail = take_off(RAILED).areas[0].rail
    joints = [line.get_xdata()[0] for line in named(figure, "rail joint")]
    assert joints == pytest.approx([at for at in rail.joints if 1000 <= at <= 1060])
    (line,) = [one for one in named(figure, "rail") if one.get_gid() == "rail"]
    assert list(line.get_ydata()) == [18, 18]
    shown = [float(text.get_text()) for text in named(figure, "clearance")]
    used_up = rail.budget[-1].used_up
    assert [value < 3 for value in shown] == [at >= used_up for at in joints]
    assert [text.get_text() for text in figure.axes[0].texts if "lane" in str(text.get_gid())] == [
        "left lane\n18 ft",
        "right lane\n54 ft",
    ]


@pytest.mark.parametrize(
    ("name", "detail"),
    [
        ("railed_strip", "strip:0-60"),
        ("railed_strip", "strip:1000-1160"),
        ("relief_strip", "apron:120-170"),
        ("relief_strip", "taxiway:0-4"),
        ("railed_strip", "parallel strip:880-900"),
    ],
)
def test_a_detail_is_legible_and_to_one_scale(name, detail):
    figure = brick(SCENARIOS[name], detail)
    axes = figure.axes[0]
    box, (left, right), (low, high) = axes.get_window_extent(), axes.get_xlim(), axes.get_ylim()
    assert box.width / (right - left) == pytest.approx(box.height / (low - high))
    legible(figure)


@pytest.mark.parametrize(
    ("detail", "said"),
    [
        ("strip", "strip is no stretch of an area; write AREA:FROM-TO in ft"),
        ("strip:5", "strip:5 is no stretch of an area"),
        ("strp:0-50", 'there is no area "strp"; did you mean strip?'),
        ("strip:50-20", "50 to 20 ft is no stretch of strip; write FROM and TO, rising, from 0 to 1,800 ft"),
        ("strip:0-1900", "0 to 1,900 ft is no stretch of strip"),
        ("strip:0-1800", "1,800 ft are too many rows to be told apart; write at most 332 ft"),
    ],
)
def test_a_stretch_that_cannot_be_drawn_is_refused_in_one_line(detail, said):
    with pytest.raises(ScenarioError) as refusal:
        read_detail(detail, RAILED)
    assert said in str(refusal.value)
    assert "\n" not in str(refusal.value)


def test_a_plan_is_a_vector_file_that_is_the_same_every_time_and_names_what_it_draws(tmp_path):
    for name in ("one.svg", "two.svg"):
        save_field(RAILED, tmp_path / name)
    assert (tmp_path / "one.svg").read_bytes() == (tmp_path / "two.svg").read_bytes()
    ids = {one.get("id") for one in ElementTree.parse(tmp_path / "one.svg").iter()}
    assert {"area strip", "rail strip", "yard", "junction apron", "ramp strip"} <= ids


def test_a_plan_marks_the_ground_of_tasks_and_the_take_off_lists_them():
    scenario = load_scenario(shipped("early_opening"))
    figure = plan(scenario)
    legible(figure)
    (mark,) = named(figure, "task")  # of the edge anchors, along the whole runway; the others need no ground
    assert mark.get_xydata().tolist() == [list(place_areas(scenario)["runway"].point(1200.0))]
    assert "ground of tasks" in {text.get_text() for text in texts(figure)}
    assert not named(plan(RAILED), "task")
    assert describe_plan(scenario).endswith("; tasks: edge anchors at runway.")
    rows = {row[0]: row for row in tasks_table(scenario).rows}
    assert rows["edge anchors"][1:4] == ("runway", "266", "2")
    assert rows["recovery gear"][1:4] == ("beside the field", "104", "2")
    hours = 266 * scenario.task[0].each.mean
    assert rows["edge anchors"][4:] == (f"{hours:,.1f}", "gang edges and lights")
