"""Ranges of crews, starts and forklifts, and the teams that they make."""

import pytest
from scenarios import SHIFTED
from staffed import staffed

from simulation.questions.staffing.candidates import (
    CREWS,
    MOST_CANDIDATES,
    OWN_CREWS,
    list_candidates,
    read_search,
    usual_crews,
    usual_search,
)
from simulation.scenario import Change, ScenarioError, Team, parse_scenario, vary


@pytest.mark.parametrize(
    ("text", "teams"),
    [
        ("2x20", ["2x20"]),
        ("1x16..24:4", ["1x16", "1x20", "1x24"]),
        ("1x16..23:4", ["1x16", "1x20"]),
        ("1..2x16..20:4", ["1x16", "1x20", "2x16", "2x20"]),
        ("1x16..18", ["1x16", "1x17", "1x18"]),
        (" 1 × 16 .. 20 : 4 , 2x12", ["1x16", "1x20", "2x12"]),
        ("1x16,1x16..18:2", ["1x16", "1x18"]),
        ("1..5:2x10", ["1x10", "3x10", "5x10"]),
    ],
)
def test_a_range_of_crews_holds_these_teams(text, teams):
    assert [str(one) for one in read_search(text).teams] == teams


def test_without_a_range_one_or_two_crews_of_16_to_40_are_in_question():
    assert {one.crews for one in read_search().teams} == {1, 2}
    assert sorted({one.people for one in read_search(CREWS).teams}) == [16, 20, 24, 28, 32, 36, 40]


def test_starts_and_forklifts_are_read_beside_the_crews():
    found = read_search("2x20", "centre-out, one-end", "2..3,6")
    assert (found.starts, found.forklifts) == (("centre-out", "one-end"), (2, 3, 6))


@pytest.mark.parametrize(
    ("options", "line"),
    [
        ({"crews": "1x40..16"}, "crews: 40..16 runs backwards; write 16..40"),
        ({"crews": "2..1x16"}, "crews: 2..1 runs backwards; write 1..2"),
        ({"crews": ""}, 'crews: "" leaves something out; write such as 1..2x16..40:4'),
        ({"crews": "1x16,"}, 'crews: "1x16," leaves something out; write such as 1..2x16..40:4'),
        ({"crews": "20"}, 'crews: "20" is no team; write crews x people in each, such as 2x20'),
        ({"crews": "1x16..40:0"}, "crews: 16..40:0 has a step of nothing; write 16..40, or a step of 1 or more"),
        ({"crews": "0x16"}, "crews: 0 holds none at all; begin at 1 or more"),
        ({"crews": "1x16...40"}, 'crews: "16...40" is neither a number nor a range'),
        ({"crews": "1x-4"}, 'crews: "-4" is neither a number nor a range'),
        ({"crews": "1..9x1..99"}, f"crews: 891 teams are in question; at most {MOST_CANDIDATES} are taken"),
        ({"crews": "1..999x1..9999"}, "crews: 9,989,001 teams are in question"),
        ({"crews": "1x16..40", "start": "one-end,centre-out", "forklifts": "1..9"}, "crews: 450 teams are in question"),
        ({"start": "middle"}, 'start: "middle" is no start; write one-end or centre-out, or both with a comma'),
        ({"forklifts": "5..2"}, "forklifts: 5..2 runs backwards; write 2..5"),
        ({"forklifts": "0..2"}, "forklifts: 0..2 holds none at all; begin at 1 or more"),
        ({"forklifts": "two"}, 'forklifts: "two" is neither a number nor a range'),
    ],
)
def test_what_cannot_be_read_is_said_in_one_line(options, line):
    with pytest.raises(ScenarioError) as raised:
        read_search(**options)
    assert str(raised.value).startswith(line)
    assert "\n" not in str(raised.value)


def test_the_smallest_stand_first_by_people_on_site_then_by_forklifts():
    found, _ = list_candidates(staffed(), read_search("1..2x10..12:2", forklifts="1..2"))
    sizes = [(one.people, one.forklifts) for one in found]
    assert sizes == sorted(sizes)
    # A forklift brings its operators, around the clock two: 12 people and one forklift are as many on site as 10 people and two.
    assert [one.name for one in found[:4]] == ["1x10, 1 forklift", "1x12, 1 forklift", "1x10, 2 forklifts", "1x12, 2 forklifts"]
    assert [one.people for one in found[:4]] == [12, 14, 14, 16]


def test_each_scenario_has_its_team_start_and_forklifts():
    (one,), _ = list_candidates(staffed(), read_search("2x14", "centre-out", "3"))
    assert [crew.people for crew in one.scenario.crew] == [14, 14]
    assert one.scenario.area[0].start == "centre-out"
    assert one.scenario.forklifts.count == one.forklifts == 3
    assert (one.team, one.name) == (Team(2, 14), "2x14, centre-out, 3 forklifts")


def test_a_team_too_few_to_carry_a_mat_is_named_in_one_line():
    with pytest.raises(ScenarioError) as raised:
        list_candidates(staffed(), read_search("2x3..20"))
    (line,) = str(raised.value).splitlines()
    assert "--crews 2x3: 3 are too few to carry a mat" in line


def test_crews_with_hours_of_their_own_keep_them_with_fewer_and_more_people():
    shifted = parse_scenario(SHIFTED)
    assert (usual_crews(shifted), usual_crews(staffed())) == (OWN_CREWS, CREWS)
    assert usual_crews(vary(staffed(), [Change("crew.red.from", "1 h")])) == CREWS  # one crew is there at one time
    found, _ = list_candidates(shifted, read_search(OWN_CREWS))
    sizes = {50: "7 + 7", 75: "10 + 10", 100: "14 + 14", 125: "18 + 18", 150: "21 + 21"}
    assert [one.name for one in found] == [f"own crews at {percent} %, {people}" for percent, people in sizes.items()]
    assert found[2].scenario == shifted
    for one in found:
        like = [crew.model_copy(update={"people": own.people}) for crew, own in zip(one.scenario.crew, shifted.crew, strict=True)]
        assert tuple(like) == shifted.crew
    assert [crew.people for crew in found[1].scenario.crew] == [10, 10]  # three quarters of 14, to whole people


def test_equal_teams_of_crews_with_hours_of_their_own_keep_these_in_turn():
    (one,), _ = list_candidates(parse_scenario(SHIFTED), read_search("3x16"))
    assert [crew.people for crew in one.scenario.crew] == [16] * 3
    assert [crew.shift.hours[0][0] for crew in one.scenario.crew] == [6.0, 20.0, 6.0]


#: Of 16 people half are 8: enough to lay, too few to take up, where some of them handle what comes up.
TAKEN_UP = [Change("job", "take up"), Change("crew.sun.people", "16"), Change("crew.moon.people", "16")]


def test_a_usual_team_too_small_to_take_up_with_is_left_out_and_why_while_one_asked_for_is_refused_by_its_option():
    scenario = vary(parse_scenario(SHIFTED), TAKEN_UP)
    found, left_out = list_candidates(scenario, usual_search(scenario, forklifts="2..3"))
    assert [one.team.percent for one in found] == [75, 75, 100, 100, 125, 125, 150, 150]
    assert [left.name for left in left_out] == ["own crews at 50 %, 8 + 8"]
    assert left_out[0].why.startswith("of 8 people 3 are handlers")
    with pytest.raises(
        ScenarioError, match=r"--crews 50%: of 8 people 3 are handlers.*; write 10 or more for taking up"
    ) as raised:
        list_candidates(scenario, read_search(OWN_CREWS))
    assert "crew." not in str(raised.value)
    few = vary(scenario, [Change("crew.sun.people", "10"), Change("crew.moon.people", "10")])
    (smallest, *_), left_out = list_candidates(few, usual_search(few))
    assert smallest.team.percent == 100
    assert len(left_out) == 2
