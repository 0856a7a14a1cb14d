"""`keystrip lift` as a planner meets it, and what it says of points and directions."""

import json
import math

import pytest
from scenarios import LEAST, make_scenario

from simulation import forecast
from simulation.questions.forecast.sentences import answer_lines
from simulation.questions.lift.record import lift_record
from simulation.questions.lift.sentences import crews_words, lift_lines
from simulation.questions.lift.study import lift, middle
from simulation.scenario import parse_scenario
from simulation.study.people import person_hours
from simulation.study.run_context import RunContext


def ask(scenario, runs):
    return lift(scenario, RunContext(runs=runs, workers=1))


@pytest.mark.usefixtures("painted")
def test_the_answer_stands_last_in_80_columns_and_leaves_record_text_and_picture(keystrip, tmp_path):
    (tmp_path / "strip.toml").write_text(LEAST, encoding="utf-8")
    code, out, err = keystrip("lift", "strip.toml", "--runs", 10)
    assert (code, max(map(len, out.splitlines())) <= 80) == (0, True), err
    assert " ".join(out[out.rindex("\n\n") :].split()).startswith("All mats are up and in the yard after")
    assert "Banding under tension" in " ".join(out.split())
    left = {file.name for file in (tmp_path / "reports" / "strip").glob("lift*")}
    assert left == {f"lift.{ending}" for ending in ("json", "txt", "png")}
    record = json.loads((tmp_path / "reports" / "strip" / "lift.json").read_text())["answer"]
    assert f"after {record['in_yard']['p50']['days']:.1f} days" in record["headline"]
    assert record["gone"] is None
    assert "Crews work 06:00-12:00, 13:00-18:00; of more or fewer" in " ".join(out.split())


def test_more_crews_and_the_other_direction_are_told_as_they_are_when_written_into_the_file():
    scenario = parse_scenario(LEAST, "strip.toml")
    found = ask(scenario, 8)
    assert [row.crews for row in found.by_crews] == [1, 2, 3]
    crew = {"people": 18, "areas": ["strip"]}
    for row in (*found.by_crews[::2], found.other):
        crews = [crew | {"name": f"red {number}" if number else "red"} for number in range(row.crews)]
        written = make_scenario(LEAST, crew=crews, take_up={"direction": row.direction})
        assert middle(ask(written, 8).asked.in_yard) == middle(row.in_yard)
    assert found.other.direction == "along"
    assert middle(found.other.rows_up) > middle(found.asked.rows_up)


def test_where_one_slow_forklift_binds_more_crews_gain_nothing_and_that_is_said():
    bound = ask(make_scenario(LEAST, forklifts={"count": 1, "handle": "6 min"}), 4)
    assert bound.enough.crews == 1
    assert crews_words(bound).startswith("More than 1 crew at once gain less than 2 % until all is in the yard (P50)")
    assert "the forklifts hold the crews up" in crews_words(bound)
    free = ask(make_scenario(LEAST, forklifts={"count": 20}), 4)
    assert free.enough.crews > 1


def test_where_ships_set_the_pace_more_crews_are_told_to_fill_the_yard_sooner_and_not_to_have_the_last_load_away_sooner():
    ship = {"shipments": [{"name": "barge", "pallets": 400, "comes": "6 day"}]}
    found = ask(make_scenario(LEAST, forklifts={"count": 20}, take_up=ship), 4)
    assert found.enough.crews > found.enough_until_gone.crews == 1
    assert (
        "The last load leaves no sooner with more than 1 crew, to within 2 %: after 7.0 days, with 3 after 7.0 days"
        in crews_words(found)
    )
    assert "the most have all in the yard soonest" in crews_words(found)
    assert lift_record(found)["by_crews"][0]["gone_days"]["middle"] == middle(found.by_crews[0].gone) / 24
    assert lift_record(found)["crews_enough_until_gone"] == 1
    stays = ask(make_scenario(LEAST, forklifts={"count": 20}), 4)
    assert "last load" not in crews_words(stays)
    assert lift_record(stays)["crews_enough_until_gone"] is None


def test_area_a_person_hour_is_told_until_all_is_in_the_yard_and_until_all_is_gone_as_the_forecast_counts_it():
    scenario = make_scenario(
        LEAST, top={"job": "take up"}, take_up={"shipments": [{"name": "barge", "pallets": 400, "comes": "6 day"}]}
    )
    context = RunContext(runs=4, workers=1)
    found, own = lift(scenario, context), forecast(scenario, context).yardsticks
    assert person_hours(found.scenario, middle(found.asked.gone)) == pytest.approx(own.person_hours)
    (labour, *_) = lift_lines(found)
    area = scenario.measures.area
    until_in_yard = found.square_feet / middle(found.person_hours)
    assert f"until all is in the yard (P50), {area.rounded(until_in_yard, 1)} a person-hour; " in labour
    assert f"; {area.rounded(own.per_person_hour, 1)} until the last load leaves, {own.person_hours:,.0f} person-hours." in labour


def test_points_beyond_the_key_strips_are_refused_with_a_line(keystrip, tmp_path):
    (tmp_path / "strip.toml").write_text(LEAST + "\n[take_up]\npoints = 9\n", encoding="utf-8")
    code, _, err = keystrip("lift", "strip.toml", "--runs", 2)
    assert code == 2
    assert "take_up.points: 9 points are more than the 3 key strips of the field; write 3 or less" in " ".join(err.split())


def test_who_is_not_done_by_the_last_day_simulated_is_counted():
    found = ask(make_scenario(LEAST, top={"horizon": "2 h"}), 3)
    assert math.isinf(middle(found.asked.in_yard))


def test_milestones_that_a_planner_wrote_change_no_number_of_it():
    own = {"milestone": [{"name": "half way", "when": "up", "ready": True}]}
    assert (ask(make_scenario(LEAST, take_up=own), 3).asked.in_yard == ask(make_scenario(LEAST), 3).asked.in_yard).all()


def test_the_room_to_stack_is_told_as_the_forecast_of_a_take_up_tells_it():
    ship = {"shipments": [{"name": "barge", "pallets": 400, "comes": "6 day"}]}
    scenario = make_scenario(LEAST, top={"job": "take up"}, take_up=ship)
    context = RunContext(runs=8, workers=1)
    found, own = lift(scenario, context), forecast(scenario, context)
    pallets = lift_record(found)["yard"]["most_pallets"]["p80"]
    line = next(line for line in lift_lines(found) if line.startswith("Room to stack"))
    assert line in answer_lines(own)
    assert f"never holds more than {pallets:,.0f} pallets at once in four runs of five" in line
    # The barge comes when all have long been there.
    assert f"the most stand there after {middle(found.asked.in_yard) / 24:.1f} days (P50)" in line
    assert "all stay, so the yard never holds" in " ".join(lift_lines(ask(make_scenario(LEAST), 2)))
