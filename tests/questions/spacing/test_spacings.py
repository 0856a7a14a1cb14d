"""Each key strip costs its time to lay and to draw out and saves rows where damage is opened: so is the spacing chosen."""

import json
import re

import numpy as np
import pytest
from scenarios import LEAST, make_scenario
from words_on_pictures import assert_readable, drawn, text_of

from simulation.field import take_off
from simulation.questions.spacing.answer import spacing_answer
from simulation.questions.spacing.layouts import EVERY, Layout, laid_otherwise, list_layouts, read_spacings
from simulation.questions.spacing.picture import draw_spacing
from simulation.questions.spacing.sentences import spacing_headline, spacing_lines
from simulation.questions.spacing.study import SpacingResult, SpacingRow, spacing
from simulation.scenario import Change, ScenarioError, vary
from simulation.scenario.types.quantities.measures import FEET, METRIC
from simulation.stats.paired_difference import difference_of_means
from simulation.study.run_context import RunContext

NIGHT_AND_DAY = {"hours": ["00:00-24:00"], "lighting": True}
AREA = {"name": "strip", "length": "300 ft", "width": "72 ft"}
CALM = {"per_day": 0.0, "per_1000_landings": 0.0, "touchdown": "50 ft"}
#: Nothing but key strips takes time that differs from one spacing to another.
CERTAIN = {
    "laying": {"key_strip": "12 min", "skew_found": 0.0, "damaged_mats": 0.0, "efficiency": 1.0},
    "repair": {"draw_out": "20 min", "stuck": 0.0},
    "take_up": {"points": 1, "clean": "1 s", "inspect": "1 s", "stack": "1 s", "band": "30 s"},
    "forklifts": {"count": 6, "breakdown_every": "100000 h"},
}


def field(damage=None, **tables):
    hours = {f"shifts__{kind}": NIGHT_AND_DAY for kind in ("laying", "forklift")}
    return make_scenario(LEAST, **{**CERTAIN, **hours, **tables}, damage=CALM | (damage or {}))


def ask(scenario, every, runs, zoned=""):
    return spacing(scenario, RunContext(runs=runs, workers=1), every, zoned)


def test_every_key_strip_costs_its_own_time_to_lay_and_to_draw_out():
    dense, handbook = ask(field(), "50 ft", 2).rows
    assert (dense.layout.every, dense.strips, handbook.layout.every, handbook.strips) == (50.0, 6, 100.0, 3)
    assert dense.lay - handbook.lay == pytest.approx(np.array([3 * 12 / 60] * 2), abs=0.02)
    assert dense.take_up - handbook.take_up == pytest.approx(np.array([3 * 20 / 60] * 2), abs=0.05)
    assert not dense.closed.any()


def test_key_strips_are_counted_as_the_take_off_counts_them_with_the_starter_key_strip():
    strip = {"name": "strip", "length": "300 ft", "width": "36 ft", "start": "centre-out"}
    centre_out = field(area=[strip])
    handbook = ask(centre_out, "100 ft", 1).handbook
    area = take_off(centre_out).areas[0]
    assert (handbook.strips, area.starter_key_strips) == (area.key_strips + 1, 1)


def test_without_damage_the_widest_spacing_is_best_and_the_handbooks_is_told_from_it():
    found = ask(field(), "200 ft", 3)
    assert found.best.layout.every == 200.0
    assert found.against(found.handbook, found.best).value < 0
    assert spacing_headline(found).startswith("Key strips every 200 ft on strip leave 0.")
    assert "200 ft is the widest spacing tried" in " ".join(spacing_lines(found))


def test_where_much_is_damaged_at_a_time_a_spacing_that_opens_fewer_rows_is_best():
    heavy = {"per_day": 2.0, "mats": 60.0, "stay": "60 day"}
    found = ask(field(heavy), "40 ft,400 ft", 3)
    closed = [row.closed.mean() for row in found.rows]
    assert closed[0] < closed[-1]
    assert found.best.layout.every == 40.0


def test_damage_comes_alike_whatever_the_spacing():
    found = ask(field({"per_day": 0.5, "mats": 1.0}, repair={"draw_out": "6 h"}), "50 ft,300 ft", 3, "40 ft/300 ft")
    # One mat at a time is cut out, never opened: key strips change nothing.
    assert (found.rows[0].closed == found.rows[-1].closed).all()
    assert found.rows[0].closed.any()


def test_the_picture_sets_each_layout_against_the_handbooks_with_its_interval():
    found = ask(field({"per_day": 1.0, "mats": 8.0}), "50 ft,200 ft", 4, "50 ft/200 ft")
    figure = drawn(draw_spacing, found)
    assert_readable(figure)
    changes = figure.axes[0]
    assert [label.get_text() for label in changes.get_yticklabels()] == ["50 ft", "100 ft", "200 ft", "50/200 ft"]
    intervals = [line.get_xdata() for line in changes.get_lines() if line.get_marker() == "|"]
    against = [found.against(found.handbook, row) for row in found.rows if row is not found.handbook]
    assert np.array(intervals) == pytest.approx(np.array([(change.low / 24, change.high / 24) for change in against]))
    assert "Triangles" in text_of(figure) and "Diamond" not in text_of(figure)


def test_layouts_that_differ_by_minutes_are_not_drawn_apart():
    figure = drawn(draw_spacing, ask(field(repair={"draw_out": "1 s"}), "90 ft", 2))
    for axes in figure.axes:
        low, high = axes.get_xlim()
        assert high - low > 0.0999
        figure.draw_without_rendering()
        assert not axes.xaxis.get_offset_text().get_text()


def test_what_is_told_in_metric_asks_for_metres():
    metric = field(top={"units": "metric"})
    with pytest.raises(ScenarioError, match=r"less than a row; write at least 0\.61 m"):
        layouts_of(metric, "1 cm")
    with pytest.raises(ScenarioError, match='write such as "15 m,30 m,60 m"'):
        layouts_of(metric, "50 parsec")
    assert laid_otherwise(EVERY, "", 1.9, METRIC) == (
        ("15.24 m", 49.4), ("45.72 m", 150.1), ("60.96 m", 199.5), ("121.92 m", 400.9)
    )  # fmt: skip


def test_what_stays_the_same_to_the_digit_is_not_said_to_go_anywhere():
    found = ask(field(), "200 ft", 2)
    assert "repairs stay at 0.0 hours of the stay (means)." in " ".join(spacing_lines(found))


@pytest.mark.parametrize(("text", "said"), [("50 parsec", "is no length"), ("1 ft", "less than a row; write at least 2 ft")])
def test_spacings_that_cannot_be_are_refused(text, said):
    with pytest.raises(ScenarioError, match=said):
        read_spacings(text, 2.0)


def layouts_of(scenario, every, zoned=""):
    return list_layouts(scenario, scenario.area[0], scenario.damage, every, zoned)


def test_more_layouts_than_anybody_reads_are_refused():
    with pytest.raises(ScenarioError, match="13 layouts are too many"):
        layouts_of(field(), ",".join(f"{feet} ft" for feet in range(10, 34, 2)))


def test_a_distance_is_tried_as_whole_rows_and_is_the_handbooks_only_if_it_is_as_many():
    """30 m is 49 rows, 98 ft; the handbook's 100 ft are 50, as 30.48 m and 30.5 m are."""
    own = field(area=[AREA | {"key_strips_every": "30 m"}])
    assert [layout.every for layout in layouts_of(field(), "15 m,30 m,30.48 m,30.5 m")] == [50.0, 98.0, 100.0]
    # The plan's own stands as it is written where nobody asks for it.
    assert [layout.name(FEET.length) for layout in layouts_of(own, "15 m")] == ["50 ft", "100 ft", "as written"]


def test_a_distance_that_is_no_whole_rows_is_named_as_asked_and_as_laid():
    found = ask(field(), "30 m,45 m,50 ft,30.48 m", 2, "15 m/60 m")
    assert found.laid_otherwise == (("30 m", 98.0), ("45 m", 148.0), ("15 m", 50.0), ("60 m", 196.0))
    notes = " ".join(spacing_answer(found).pages[0].parts[0].blocks[0].notes)
    assert "Key strips lie behind whole rows, laid are: 30 m as 98 ft, 45 m as 148 ft, 15 m as 50 ft, 60 m as 196 ft." in notes
    assert not laid_otherwise("50 ft,30.48 m", "", 2.0)


def test_the_plans_own_layout_is_tried_beside_the_others_unless_it_is_one_of_them():
    zones = [{"to": "100 ft", "every": "20 ft"}]
    own = field(area=[AREA | {"key_strip_zones": zones}])
    layouts = layouts_of(own, "50 ft", "20 ft/100 ft")
    assert [layout.name(FEET.length) for layout in layouts] == ["50 ft", "100 ft", "20/100 ft", "as written"]
    assert layouts[Layout(100.0, written=True)] is own
    assert [layout.written for layout in layouts_of(field(), "50 ft")] == [False, False]
    # What is tried of one distance has no zones left.
    assert not any(area.key_strip_zones for area in layouts[Layout(50.0)].area)


def test_a_layout_by_zone_has_its_key_strips_laid_drawn_out_and_recommended_as_it_is_written():
    """By hand: after 10 ft, then every 20 ft up to 50 ft; one ahead at 170 ft; from 250 ft on again every 20 ft."""
    found = ask(field(), "100 ft", 2, "20 ft/120 ft")
    handbook, zoned = found.rows
    assert (handbook.strips, zoned.strips) == (3, 7)
    assert zoned.lay - handbook.lay == pytest.approx(np.array([4 * 12 / 60] * 2), abs=0.02)
    assert zoned.take_up - handbook.take_up == pytest.approx(np.array([4 * 20 / 60] * 2), abs=0.05)


def test_what_is_recommended_by_zone_is_the_layout_that_was_tried_once_it_is_written_into_the_file():
    scenario = field()
    layouts = layouts_of(scenario, "100 ft", "20 ft/120 ft")
    rows = tuple(
        SpacingRow(layout, 1, np.arange(30.0) - place, np.zeros(30), np.zeros(30)) for place, layout in enumerate(layouts)
    )
    found = SpacingResult(scenario, "strip", 1, 30, 30, scenario.damage, True, rows)
    written = re.search(r"is key_strips_every = (.*) and key_strip_zones = (.*?\])\.", " ".join(spacing_lines(found)))
    keys = ("key_strips_every", "key_strip_zones")
    by_hand = vary(scenario, [Change(f"area.strip.{key}", text) for key, text in zip(keys, written.groups(), strict=True)])
    assert by_hand.area == layouts[found.best.layout].area


@pytest.mark.usefixtures("painted")
def test_the_command_marks_the_handbook_and_says_that_damage_is_missing(keystrip, tmp_path):
    (tmp_path / "strip.toml").write_text(LEAST, encoding="utf-8")
    code, out, err = keystrip("spacing", "strip.toml", "--runs", 4, "--every", "50 ft", "--zoned", "")
    assert (code, max(map(len, out.splitlines())) <= 80) == (0, True), err
    assert "[damage] is missing" in " ".join(out.split())
    record = json.loads((tmp_path / "reports" / "strip" / "spacing.json").read_text())["answer"]
    assert [one["every"] for one in record["spacings"]] == [50.0, 100.0]
    assert {f"spacing.{ending}" for ending in ("png", "txt")} <= {f.name for f in (tmp_path / "reports/strip").iterdir()}


def test_the_intervals_of_all_pairs_hold_together_since_the_best_is_picked_by_the_same_runs():
    rng = np.random.default_rng(5)
    rows = tuple(
        SpacingRow(Layout(float(every)), 1, rng.normal(100.0, 1.0, 30), np.zeros(30), np.zeros(30))
        for every in (50, 100, 200, 400)
    )
    found = SpacingResult(field(), "strip", 1, 30, 30, field().damage, True, rows)
    alone = difference_of_means(rows[0].without.tolist(), rows[1].without.tolist())
    together = found.against(rows[0], rows[1])
    six = difference_of_means(rows[0].without.tolist(), rows[1].without.tolist(), 1.0 - 0.05 / 6)
    assert (together.low, together.high) == (six.low, six.high)
    assert together.high - together.low > alone.high - alone.low


def test_among_spacings_that_are_alike_one_is_told_from_the_best_in_at_most_one_study_of_twenty():
    rng, runs, told = np.random.default_rng(3), 20, 0
    for _ in range(200):
        rows = tuple(
            SpacingRow(Layout(float(every)), 1, rng.normal(100.0, 5.0, runs), np.zeros(runs), np.zeros(runs))
            for every in range(1, 7)
        )
        told += len(SpacingResult(field, "strip", 1, runs, runs, None, True, rows).as_good) < len(rows)
    assert told <= 0.05 * 200 + 3 * (200 * 0.05 * 0.95) ** 0.5
