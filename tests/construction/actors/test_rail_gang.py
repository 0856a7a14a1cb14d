"""Does the rail gang keep ahead of the mats, and what holds the laying edge up where it does not?"""

import pytest
from fields import railed
from scenarios import strip, written
from small_runs import plan_of, run, steps

from simulation.construction.plan.steps import BECAUSE, EDGE, END, KIND, KINDS, NUMBER, START, WORK
from simulation.construction.trace.chain import hours_by_cause
from simulation.scenario import ScenarioError, parse_scenario
from simulation.study.people import count_people

ROWS = "laying rows"


def causes(done):
    return hours_by_cause(done.site.reached[0], done)


def test_a_slow_gang_sets_the_pace_and_the_last_row_begins_when_the_last_section_is_set():
    done = run(railed(gang={"section": "2 h"}))
    assert [step[END] for step in steps(done, "guide rail")] == [2.0 * number for number in range(1, 10)]  # 9 + 7 × 10 + 1 ft
    last = steps(done, ROWS)[-1]
    assert last[START] == 18.0  # the 40th row reaches 80 ft, beyond the joint at 79 ft
    assert done.site.reached[0][END] == 18.0 + last[WORK] + 8.0
    assert causes(done)["guide rail"] == 18.0
    assert set(causes(done)) == {"guide rail", ROWS, "final sweep, inspection and marking"}


def test_rows_are_laid_only_where_the_rail_reaches_as_far_ahead_as_asked():
    done = run(railed(gang={"section": "2 h", "ahead": "20 ft"}))
    # 9, 19 and 29 ft of rail let no row, none and the first four rows be laid: the fourth ends at 8 ft, the fifth at 10.
    assert steps(done, ROWS)[0][START] == 6.0
    assert [step[NUMBER] for step in steps(done, ROWS) if step[START] < 8.0][-1] == 4
    assert done.site.reached[0] is not None


def test_a_kit_of_gauges_keeps_the_rail_near_the_mats():
    done = run(railed(rail={"gauges": 3}))
    sections = steps(done, "guide rail")
    # Three gauges: joints at 9, 19 and 29 ft, so four sections. The fifth waits until five rows have passed 9 ft, and so on.
    assert [step[END] for step in sections[:4]] == pytest.approx([minutes / 60 for minutes in range(1, 5)])
    for number, section in enumerate(sections[4:], start=4):
        passes = next(step for step in steps(done, ROWS) if 2 * step[NUMBER] >= 9 + 10 * (number - 4))
        assert section[START] == passes[END]
        assert section[BECAUSE] is passes


def test_more_gauges_than_joints_hold_nobody_up():
    sections = steps(run(railed(rail={"gauges": 8})), "guide rail")
    assert [step[END] for step in sections] == pytest.approx([minutes / 60 for minutes in range(1, 10)])


def test_too_few_gauges_for_the_rail_to_reach_ahead_are_refused():
    with pytest.raises(ScenarioError) as refused:
        parse_scenario(written(railed(rail={"gauges": 2}, gang={"ahead": "20 ft"})))
    (mistake,) = refused.value.mistakes
    assert mistake.key == "area.strip.rail.gauges"
    assert mistake.right.startswith("write at least 3")
    assert run(railed(rail={"gauges": 3}, gang={"ahead": "20 ft"})).site.reached[0] is not None


def test_ground_that_lies_low_is_tamped_before_the_section_is_set():
    done = run(railed(gang={"low_spots": 1.0, "tamp": "4 h"}))
    tamped = [step[END] for step in steps(done, "tamping low spots")]
    assert tamped == pytest.approx([4 + number * (4 + 1 / 60) for number in range(9)])
    assert [step[START] for step in steps(done, "guide rail")] == tamped
    assert causes(done)["tamping low spots"] == pytest.approx(9 * 4.0)


CREW = [{"name": "red", "people": 12, "areas": ["strip"]}]
GANG = {"low_spots": 0.3, "tamp": {"mean": "20 min", "scatter": 0.5}}


def test_low_spots_come_by_chance_and_lie_where_they_lie_whoever_lays():
    found = []
    for people in (12, 30):
        done = run(railed(2000, gang=GANG, crew=[{**CREW[0], "people": people}], supply={"on_hand": 1030}), 5)
        found.append({step[NUMBER]: step[WORK] for step in steps(done, "tamping low spots")})
    assert found[0] == found[1]
    assert 0.15 < len(found[0]) / 201 < 0.45  # 0.3 of 201 sections, give or take five standard deviations
    assert len(set(found[0].values())) == len(found[0])


@pytest.mark.parametrize(("side", "pieces"), [("right", 2 + 5 * 2.0), ("left", 2 * 2.0 + 5)])
def test_mats_on_the_slower_side_of_the_rail_take_longer_to_place(side, pieces):
    # Lanes of 18 and 54 ft hold two and five mats in every row; one row is in work at once, and 60 people carry faster than that.
    crew = [{**CREW[0], "people": 60}]
    laying = {"rows_in_work": 1, "check": "0 min"}
    done = run(railed(rail={"slower": side, "slower_by": 2.0}, laying=laying, crew=crew))
    assert done.site.edges[0].hours == pytest.approx([pieces * 40 / 3600 / 0.5] * 40)


def test_carrying_to_the_slower_side_takes_no_longer():
    # Two people carry: (pick up + walk + place) for seven mats, and place once more for five.
    laying = {"check": "0 min"}
    crew = [{**CREW[0], "people": 6}]
    alike, slower = (run(railed(rail={"slower_by": by}, laying=laying, crew=crew)).site.edges[0].hours[0] for by in (1.0, 2.0))
    assert slower - alike == pytest.approx(5 * 40 / 3600 / 0.5)


def test_a_rail_is_set_on_graded_ground_alone():
    done = run(railed(grading={"done": 0.0, "rate": "1440 ft**2/h"}))
    graded = {step[NUMBER]: step[END] for step in steps(done, "grading")}  # ten rows an hour
    assert [graded[rows] for rows in (10, 20, 30, 40)] == [1.0, 2.0, 3.0, 4.0]
    starts = {step[NUMBER]: step[START] for step in steps(done, "guide rail")}
    # Sections end at 9, 19, 29, … ft: on rows 5, 10, 15, …
    assert starts == pytest.approx(
        {1: 1.0, 2: 1 + 1 / 60, 3: 2.0, 4: 2 + 1 / 60, 5: 3.0, 6: 3 + 1 / 60, 7: 4.0, 8: 4 + 1 / 60, 9: 4 + 2 / 60}
    )


def test_a_gang_that_comes_late_is_waited_for():
    done = run(railed(gang={"from": "30 h"}))
    assert steps(done, ROWS)[0][START] == pytest.approx(30.0 + 1 / 60)
    assert causes(done)["late start"] == 30.0


def test_the_gang_serves_the_rail_that_a_crew_stands_beside_first():
    area = railed()["area"][0]
    areas = [{**area, "name": "spare"}, {**area, "name": "strip"}]
    done = run(railed(area=areas, gang={"section": "1 h"}, crew=[{**CREW[0], "areas": ["strip", "spare"]}]))
    assert [step[EDGE] for step in steps(done, "guide rail")] == 9 * [1] + 9 * [0]


def test_its_people_are_on_site_where_there_is_a_rail_and_nowhere_else():
    on_site = [count_people(parse_scenario(written(tables))).total for tables in (railed(), strip())]
    assert on_site[0] - on_site[1] == 6


def test_without_a_rail_nothing_of_the_gang_is_drawn_or_kept():
    plan = plan_of(strip())
    assert plan.rail_gang is None
    assert not [level.key for level in plan.levels if "rail" in level.key]
    done = {KINDS[step[KIND]].name for step in run(strip()).site.trace}
    assert ROWS in done
    assert not [name for name in done if "rail" in name or "tamping" in name]
