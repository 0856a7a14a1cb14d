"""Each key strip costs its time to lay and to draw out and saves rows where damage is opened: so is the spacing chosen."""

import json

import numpy as np
import pytest
from scenarios import LEAST, make_scenario

from simulation.questions.spacing.sentences import spacing_headline, spacing_lines
from simulation.questions.spacing.study import read_spacings, spacing
from simulation.scenario import ScenarioError

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
