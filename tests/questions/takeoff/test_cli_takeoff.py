"""`keystrip takeoff`: the order as table, record and file, pictures, and what is refused."""

import csv
import json

import pytest
from scenarios import SHORT


def test_the_order_is_a_file_that_says_the_same_as_the_record(keystrip, tmp_path):
    code, out, err = keystrip("takeoff", "railed_strip", "--json", "--csv", "order.csv")
    assert (code, err) == (0, "keystrip: order.csv written\n")
    lines = {line["item"]: line for line in json.loads(out)["answer"]["ordered"]["lines"]}
    with (tmp_path / "order.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    field = {row["item"]: row for row in rows if row["area"] == "field"}
    assert field.keys() == lines.keys()
    assert all(
        int(field[item]["needed"]) == line["need"] and int(field[item]["ordered"]) == line["order"]
        for item, line in lines.items()
    )
    assert all(row["rule"] for row in rows)


def test_the_tables_name_rule_clearance_ramps_junctions_loads_and_the_book_within_the_terminal(keystrip):
    code, out, _ = keystrip("takeoff", "railed_strip", "--full")
    assert code == 0
    assert max(map(len, out.splitlines())) <= 80
    for title in (
        "rule behind each count",
        "Guide rail of strip",
        "End ramps",
        "Junctions",
        "Stands",
        "Loads",
        "To be looked after",
        "Handbook estimate",
    ):
        assert title in out
    assert "meets practice and not the handbook" in " ".join(out.split())


@pytest.mark.parametrize("scenario", ["relief_strip", "railed_strip"])
def test_the_short_form_is_a_page_that_ends_with_what_to_order(keystrip, scenario):
    _, out, _ = keystrip("takeoff", scenario)
    lines = out.splitlines()
    assert len(lines) <= 45 and max(map(len, lines)) <= 80
    assert lines[lines.index("All tables: --full") + 2].startswith("Order ")
    total = next(line.split()[-1] for line in lines if line.startswith("to order"))
    assert f"Order {total} pallets, " in out


@pytest.mark.usefixtures("painted")
def test_a_picture_is_drawn_by_its_ending_and_a_stretch_instead_where_one_is_named(keystrip, tmp_path):
    assert keystrip("takeoff", "railed_strip", "--draw", "field.svg")[0] == 0
    assert keystrip("takeoff", "railed_strip", "--draw", "rows.PNG", "--detail", "parallel strip:0-20")[0] == 0
    assert (tmp_path / "field.svg").read_text(encoding="utf-8").startswith("<?xml")
    assert (tmp_path / "rows.PNG").read_bytes().startswith(b"\x89PNG")


def test_what_cannot_be_drawn_or_written_is_told_in_one_line(keystrip):
    for words, said in (
        (["--draw", "field.gif"], "keystrip: --draw: field.gif has no ending of a picture; write .svg, .png or .pdf"),
        (["--draw", "no/field.svg"], "keystrip: --draw: no/field.svg cannot be written"),
        (["--csv", "no/order.csv"], "keystrip: --csv: no/order.csv cannot be written"),
        (["--detail", "strip:0-20"], "keystrip: --detail: it says what is drawn, and nothing is; name a file with --draw"),
        (["--draw", "field.svg", "--detail", "strp:0-20"], '--detail: there is no area "strp"; did you mean strip?'),
    ):
        code, out, err = keystrip("takeoff", "railed_strip", *words)
        assert (code, out, err.count("\n")) == (2, "", 1), words
        assert err.startswith(said)


def test_areas_on_the_same_ground_are_refused_by_every_command(keystrip, tmp_path):
    pad = '[[area]]\nname = "pad"\nlength = "40 ft"\nwidth = "36 ft"\njoins = { area = "strip", station = "20 ft" }\n'
    two = SHORT.replace("[[crew]]", pad + pad.replace('"pad"', '"other"') + "[[crew]]").replace(
        '["strip"]', '["strip", "pad", "other"]'
    )
    (tmp_path / "two.toml").write_text(two.replace("on_hand = 12", "on_hand = 30"), encoding="utf-8")
    for command in ("takeoff", "check", "forecast"):
        code, out, err = keystrip(command, "two.toml")
        assert (code, out) == (2, "")
        assert err.splitlines()[-1].startswith("two.toml: area.other: lies on the same ground as pad, 36 × 40 ft of it;")


def test_a_guide_rail_is_taken_off_and_forecast(keystrip):
    assert keystrip("takeoff", "railed_strip")[0] == 0
    code, out, _ = keystrip("forecast", "railed_strip", "--runs", 2, "--workers", 1, "--full")
    assert code == 0
    assert "6 setting rail" in out
