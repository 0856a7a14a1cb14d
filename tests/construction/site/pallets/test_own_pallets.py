"""What holds a laying edge up whose key strips, or a rail whose sections, come late on pallets of their own?"""

import pytest
from fields import railed
from scenarios import strip, written
from small_runs import plan_of, run, steps

from simulation.construction.plan.steps import BECAUSE, END, NUMBER, START
from simulation.construction.trace.chain import hours_by_cause
from simulation.scenario import ScenarioError, parse_scenario

EVERY_TEN_ROWS = [{"name": "strip", "length": "80 ft", "width": "72 ft", "key_strips_every": "20 ft"}]


def causes(done):
    return hours_by_cause(done.site.reached[0], done)


def late(area=EVERY_TEN_ROWS, **key_strips):
    return strip(area=area, supply={"key_strips": key_strips})


def said(tables):
    with pytest.raises(ScenarioError) as refused:
        plan_of(tables)
    return [str(mistake) for mistake in refused.value.mistakes]


def test_key_strips_that_come_late_stop_the_edge_until_then_and_are_named_in_the_chain():
    done = run(late(**{"from": "30 h"}))
    on_time = run(strip(area=EVERY_TEN_ROWS))
    (first, *_) = steps(done, "key strips")
    assert first[START] == 30.0
    before = [step for step in steps(done, "laying rows") if step[START] < 30.0]
    assert before[-1][NUMBER] == 5  # the first key strip follows five rows
    assert causes(done)["key strips not there"] == 30.0
    gone = next(step for step in steps(on_time, "key strips"))[START]
    assert done.site.reached[0][END] - on_time.site.reached[0][END] == pytest.approx(30.0 - gone)


def test_those_on_hand_are_set_first_and_only_the_one_that_is_not_there_is_waited_for():
    done = run(late(on_hand=2, **{"from": "30 h"}))
    _, second, third, fourth = steps(done, "key strips")
    assert second[START] < 30.0
    assert third[START] == 30.0
    assert fourth[START] > 30.0


def test_key_strips_that_are_there_before_they_are_needed_hold_nobody_up():
    for early in ({"on_hand": 4, "from": "30 h"}, {"from": "0 h"}):
        assert run(late(**early)).site.reached[0][END] == run(strip(area=EVERY_TEN_ROWS)).site.reached[0][END]


def test_key_strips_come_with_the_load_that_brings_them():
    flights = [{"pallets": 2, "first": "10 h", "every": "20 h"}]
    supply = {"on_hand": 20, "total": 26, "key_strips": {"on_hand": 1, "load": 2}}
    done = run(strip(area=EVERY_TEN_ROWS, supply=supply, supply__flights=flights))
    second = steps(done, "unloading")[1]
    assert second[START] == 30.0
    assert steps(done, "key strips")[1][BECAUSE] is second
    assert causes(done)["waiting for the next flight"] == 30.0


def test_a_starter_key_strip_is_a_key_strip():
    done = run(late([{**EVERY_TEN_ROWS[0], "start": "centre-out"}], **{"from": "30 h"}))
    assert steps(done, "starter key strip")[0][START] == 30.0
    assert not [step for step in steps(done, "laying rows") if step[START] < 30.0]


def test_sections_of_rail_that_come_late_stop_the_rail_gang():
    done = run(railed(supply={"rail": {"on_hand": 3, "from": "30 h"}}))
    assert [step[START] for step in steps(done, "guide rail")][3] == 30.0
    assert causes(done)["rail not there"] == 30.0


def test_a_short_section_is_set_even_while_the_gang_waits_for_rail():
    rail = {"first_section": "10 ft"}  # the first joint lies on one of the mats
    done = run(railed(rail=rail, supply={"rail": {"on_hand": 3, "from": "30 h"}}))
    assert steps(done, "short rail section")[0][END] < 30.0
    assert done.site.reached[0] is not None


@pytest.mark.parametrize("parts", [{"on_hand": 3}, {"from": "1 h", "load": 2}])
def test_parts_say_in_one_way_when_the_rest_comes(parts):
    (line,) = said(late(**parts))
    assert line.startswith("supply.key_strips: has neither or both of from and load")


def test_parts_that_come_with_a_load_that_may_never_come_are_refused():
    flights = [{"pallets": 4, "first": "10 h", "every": "20 h"}]
    supply = {"on_hand": 20, "total": 26, "key_strips": {"load": 3}}
    assert said(strip(area=EVERY_TEN_ROWS, supply=supply, supply__flights=flights)) == [
        "supply.key_strips.load: only 2 loads are sure to come; write at most 2, or when it comes with from"
    ]
    assert said(late(load=1)) == ["supply.key_strips.load: only 0 loads are sure to come; write when it comes with from"]


def test_rail_for_a_field_without_any_is_refused():
    with pytest.raises(ScenarioError, match="no area has a guide rail"):
        parse_scenario(written(strip(supply={"rail": {"from": "1 h"}})))
