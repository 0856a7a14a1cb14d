"""Each key strip costs its time to lay and to draw out and saves rows where damage is opened: so is the spacing chosen."""

import json

import numpy as np
import pytest
from scenarios import LEAST, make_scenario

from simulation.questions.spacing.sentences import spacing_headline, spacing_lines
from simulation.questions.spacing.study import SpacingResult, SpacingRow, read_spacings, spacing
from simulation.scenario import ScenarioError
from simulation.stats.paired_difference import difference_of_means

NIGHT_AND_DAY = {"hours": ["00:00-24:00"], "lighting": True}
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


def test_every_key_strip_costs_its_own_time_to_lay_and_to_draw_out():
    dense, handbook = spacing(field(), "50 ft", runs=2).rows
    assert (dense.every, dense.strips, handbook.every, handbook.strips) == (50.0, 6, 100.0, 3)
    assert dense.lay - handbook.lay == pytest.approx(np.array([3 * 12 / 60] * 2), abs=0.02)
    assert dense.take_up - handbook.take_up == pytest.approx(np.array([3 * 20 / 60] * 2), abs=0.05)
    assert not dense.closed.any()


def test_without_damage_the_widest_spacing_is_best_and_the_handbooks_is_told_from_it():
    found = spacing(field(), "200 ft", runs=3)
    assert found.best.every == 200.0
    assert found.against(found.handbook, found.best).value < 0
    assert spacing_headline(found).startswith("Key strips every 200 ft on strip leave 0.")
    assert "200 ft is the widest spacing tried" in " ".join(spacing_lines(found))


def test_where_much_is_damaged_at_a_time_a_spacing_that_opens_fewer_rows_is_best():
    heavy = {"per_day": 2.0, "mats": 60.0, "stay": "60 day"}
    found = spacing(field(heavy), "40 ft,400 ft", runs=3)
    closed = [row.closed.mean() for row in found.rows]
    assert closed[0] < closed[-1]
    assert found.best.every == 40.0


def test_damage_comes_alike_whatever_the_spacing():
    found = spacing(field({"per_day": 0.5, "mats": 1.0}, repair={"draw_out": "6 h"}), "50 ft,300 ft", runs=3)
    # One mat at a time is cut out, never opened: key strips change nothing.
    assert (found.rows[0].closed == found.rows[-1].closed).all()
    assert found.rows[0].closed.any()


@pytest.mark.parametrize(
    ("text", "said"), [("50 parsec", "is no length"), (",".join(f"{n} ft" for n in range(10, 30)), "too many")]
)
def test_spacings_that_cannot_be_are_refused(text, said):
    with pytest.raises(ScenarioError, match=said):
        read_spacings(text)


@pytest.mark.usefixtures("painted")
def test_the_command_marks_the_handbook_and_says_that_damage_is_missing(keystrip, tmp_path):
    (tmp_path / "strip.toml").write_text(LEAST, encoding="utf-8")
    code, out, err = keystrip("spacing", "strip.toml", "--runs", 4, "--every", "50 ft")
    assert (code, max(map(len, out.splitlines())) <= 80) == (0, True), err
    assert "[damage] is missing" in " ".join(out.split())
    record = json.loads((tmp_path / "reports" / "strip" / "spacing.json").read_text())["answer"]
    assert [one["every"] for one in record["spacings"]] == [50.0, 100.0]
    assert {f"spacing.{ending}" for ending in ("svg", "png", "txt")} <= {f.name for f in (tmp_path / "reports/strip").iterdir()}


def test_the_intervals_of_all_pairs_hold_together_since_the_best_is_picked_by_the_same_runs():
    rng = np.random.default_rng(5)
    rows = tuple(
        SpacingRow(float(every), 1, rng.normal(100.0, 1.0, 30), np.zeros(30), np.zeros(30)) for every in (50, 100, 200, 400)
    )
    found = SpacingResult(field(), "strip", 1, 30, field().damage, True, rows)
    alone = difference_of_means(rows[0].without.tolist(), rows[1].without.tolist())
    together = found.against(rows[0], rows[1])
    six = difference_of_means(rows[0].without.tolist(), rows[1].without.tolist(), 1.0 - 0.05 / 6)
    assert (together.low, together.high) == (six.low, six.high)
    assert together.high - together.low > alone.high - alone.low


def test_among_spacings_that_are_alike_one_is_told_from_the_best_in_at_most_one_study_of_twenty():
    rng, runs, told = np.random.default_rng(3), 20, 0
    for _ in range(200):
        rows = tuple(
            SpacingRow(float(every), 1, rng.normal(100.0, 5.0, runs), np.zeros(runs), np.zeros(runs)) for every in range(1, 7)
        )
        told += len(SpacingResult(field, "strip", 1, runs, None, True, rows).as_good) < len(rows)
    assert told <= 0.05 * 200 + 3 * (200 * 0.05 * 0.95) ** 0.5
