"""What is asked of the same object again is not worked out again, and nothing is kept of one that is gone."""

import gc
import weakref

import pytest
from scenarios import SHORT, make_scenario

from simulation.construction import compile_plan
from simulation.field import take_off
from simulation.scenario.types.remembered import remembered


def test_the_same_object_is_asked_once_and_another_anew_even_where_both_say_the_same():
    asked = []
    count = remembered(lambda words: asked.append(words) or len(words))
    one, other = frozenset({"a", "b"}), frozenset({"c", "d"})
    assert [count(one), count(one), count(other), count(one)] == [2] * 4
    assert asked == [one, other]


def test_what_is_wrong_is_said_each_time():
    fail = remembered(lambda words: 1 / 0)
    words = frozenset({"a"})
    for _ in range(2):
        with pytest.raises(ZeroDivisionError):
            fail(words)


@pytest.mark.parametrize("work", [compile_plan, take_off])
def test_a_scenario_has_one_plan_and_one_take_off_and_is_let_go_with_them(work):
    scenario = make_scenario(SHORT)
    result = work(scenario)
    assert work(scenario) is result
    assert work(make_scenario(SHORT)) is not result
    gone = weakref.ref(scenario)
    del scenario
    gc.collect()
    assert gone() is None
