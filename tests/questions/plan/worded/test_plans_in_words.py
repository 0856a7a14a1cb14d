"""How a plan is told in one sentence that is short enough to repeat: by where laying begins, or how the field comes up."""

from dataclasses import replace
from itertools import product

import pytest
from scenarios import SHORT, make_scenario

from simulation.questions.plan.limits import Limits
from simulation.questions.plan.objective import Objective
from simulation.questions.plan.space import ChosenPlan, read_choices
from simulation.questions.plan.study import best_plan
from simulation.questions.plan.worded.headline import LONGEST, describe_plan, plan_headline
from simulation.scenario import Change, vary
from simulation.stats.group_sequential import Effect
from simulation.stats.paired_difference import Difference
from simulation.study.run_context import RunContext


@pytest.mark.parametrize(
    ("job", "way"), [("lay", "strip from one end"), ("take up", "along the direction of assembly")], ids=("lay", "take up")
)
def test_a_plan_is_told_in_the_words_of_its_job(job, way):
    scenario = make_scenario(SHORT, top={"job": job}, take_up={"direction": "along"})
    assert describe_plan(ChosenPlan("", (), scenario, 19)) == f"crew red 16; {way}; 3 forklifts; 19 people on site"


@pytest.mark.parametrize("words", ["half mats first", "supply.half_mats=first"])
def test_a_plan_that_changes_how_mats_are_packed_says_so_and_counts_it_among_no_more_changes(found, words):
    packed = vary(found.best.scenario, [Change("supply.half_mats", "first")])
    best = replace(found.best, scenario=packed, words=(words,), as_written=("",))
    assert "strip from one end; half mats first; 3 forklifts; " in describe_plan(best)
    said = plan_headline(replace(found, best=best))
    assert "; half mats first; " in said and "more change" not in said


CREWS = ("Amber", "Birch", "Cedar", "Dogwood", "Elm", "Fir")
MILESTONES = ("first use of the runway", "cargo apron open", "parallel taxiway open")


@pytest.fixture(scope="module")
def found():
    crews = [{"name": name, "people": 12, "areas": ["strip"]} for name in CREWS]
    scenario = make_scenario(SHORT, crew=crews)
    return best_plan(
        scenario, RunContext(runs=4, workers=1, deadline="30 d"), choices=read_choices(scenario, ["forklifts.count=4"])
    )


def test_a_headline_is_short_enough_to_repeat_whatever_it_has_to_say(found):
    row, later = found.as_written or found.rows[0], Difference(30.0, 20.0, 40.0)
    worse = replace(row, kind="as written", change=later, identical=False, effect=Effect.MEASURABLE)
    open_one = replace(worse, change=Difference(1.0, -2.0, 4.0), effect=Effect.TOO_CLOSE)
    words = ("6 trucks", "graders on shift whenever a crew is", "Amber and Birch trade people and areas")
    best = replace(found.best, words=words, as_written=("", "", ""), people=1_114)
    chance = Objective(found.objective.milestone, "chance", RunContext(deadline="2031-04-14T18:00").read_deadline(best.scenario))
    for stopped, spent, limits, as_many, rows, others, objective in product(
        ("", "stopped early"),
        (False, True),
        (Limits(), Limits(people=1_200)),
        (False, True),
        ((worse,), (open_one,), ()),
        ((), tuple((name, later) for name in MILESTONES[:1]), tuple((name, later) for name in MILESTONES)),
        (found.objective, chance, Objective(MILESTONES[0], "P80")),
    ):
        search = replace(found.search, stopped=stopped, spent=spent)
        if objective.is_chance and rows == (worse,):
            rows = (replace(worse, change=Difference(0.3, 0.2, 0.4)),)
        result = replace(
            found, best=best, search=search, limits=limits, with_as_many=as_many, rows=rows, others=others,
            objective=objective, value=0.2 if objective.is_chance else found.value,
        )  # fmt: skip
        said = plan_headline(result)
        assert len(said) <= LONGEST, said
        assert "1,114 people on site" in said and "forklifts" in said
        assert not rows or ("too close to call" in said) == (not rows[0].change.measurable)
        assert not others or "later" in said


def test_a_headline_names_every_crew_where_there_is_room(found):
    few = replace(found, best=replace(found.best, scenario=make_scenario(SHORT), words=(), as_written=()), others=(), rows=())
    assert "crew red 16; strip from one end; 3 forklifts; " in plan_headline(few)
    later = tuple((name, Difference(30.0, 20.0, 40.0)) for name in MILESTONES)
    crowded = replace(found, limits=Limits(people=80), with_as_many=True, others=later)
    assert ": 6 crews; strip from one end; 3 forklifts; 75 people on site; more in the text. " in plan_headline(crowded)
