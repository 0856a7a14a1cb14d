"""Whoever asks knows how much there is to do before the first run that counts is done, whichever question it is."""

import re
from contextlib import suppress

import pytest
from fields import by_crew

from simulation import RunContext, bottlenecks, brief, compare, sensitivity, slip, staffing, variations
from simulation.questions.opening.study import opening
from simulation.questions.plan.limits import Limits
from simulation.questions.plan.study import best_plan
from simulation.scenario import load_scenario, read_variation, shipped
from simulation.study.runner import NothingFinished

RUNS = 50
UNCERTAIN = {"place": {"p10": "30 s", "p90": "50 s"}}
QUESTIONS = {
    "bottlenecks": bottlenecks,
    "slip": slip,
    "sensitivity": sensitivity,
    "tornado": lambda scenario, how: sensitivity(scenario, how, tornado=True),
    "compare": lambda scenario, how: compare(variations(scenario, [read_variation("forklifts.count=1,2")]), how),
    "staffing": staffing,
    "opening": lambda _, how: opening(load_scenario(shipped("early_opening")), how),
    "brief": brief,
    "plan": best_plan,
}


@pytest.mark.parametrize("name", QUESTIONS)
def test_a_question_says_how_much_there_is_to_do_before_its_first_run(name):
    said = []

    def stop(*_):
        raise KeyboardInterrupt

    how = RunContext(runs=RUNS, workers=1, deadline="4 d", tell=said.append, progress=stop)
    with suppress(NothingFinished):
        QUESTIONS[name](by_crew(UNCERTAIN), how)
    assert any("to do" in line or "to try" in line for line in said)
    assert name != "tornado" or "then at most" in said[0]


def test_a_search_tells_of_each_run_and_not_only_of_whole_plans():
    told = []

    def note(done, expected):
        told.append((done, expected))
        if len(told) == 3:
            raise KeyboardInterrupt

    with suppress(NothingFinished):
        best_plan(by_crew(UNCERTAIN), RunContext(runs=RUNS, workers=1, progress=note), Limits(forklifts=2))
    assert 3 <= len(told) <= 4  # once more where it is stopped at the last run of a plan
    assert [done for done, _ in told] == sorted(done for done, _ in told)
    assert told[0][0] < 10 and told[0][1] > RUNS


@pytest.mark.parametrize("name", ["bottlenecks", "slip", "brief"])
def test_what_is_likely_is_told_apart_from_the_most(name):
    said = []

    def stop(*_):
        raise KeyboardInterrupt

    with suppress(NothingFinished):
        QUESTIONS[name](by_crew(UNCERTAIN), RunContext(runs=400, workers=1, tell=said.append, progress=stop))
    (to_do,) = [line for line in said if line.startswith("to do")]
    assert re.search(r": about [0-9,]+ runs, .+; at most ", to_do), to_do
