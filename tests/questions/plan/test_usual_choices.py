"""Where nobody says what may be chosen, people who are not needed where they are go to the crews, and no more are brought."""

import pytest
from fields import bound, by_haul

from simulation.questions.plan.limits import Limits
from simulation.questions.plan.space import Space
from simulation.questions.plan.study import best_plan
from simulation.questions.plan.usual_choices import usual_choices
from simulation.study.people import count_people
from simulation.study.run_context import RunContext

GRADED = {"done": 0.5, "gangs": 3, "people": 6}


def sized(scenario, limits):
    """Yield, for each value of each choice but the last, the plan that has it and all people in the crews as written."""
    space = Space(scenario, limits, usual_choices(scenario, limits))
    for choice, options in enumerate(space.choices[:-1]):
        for number in range(len(options)):
            others = (number if each == choice else 0 for each in range(len(space.choices) - 1))
            plan = space.plan((*others, 1))
            if plan is not None:
                yield plan


def test_a_grading_gang_that_is_spared_goes_to_the_crews():
    scenario = bound(grading=GRADED)
    limits = Limits(people=count_people(scenario).total, forklifts=scenario.forklifts.count)
    sizes = {plan.scenario.grading.gangs: plan.scenario.crew[0].people for plan in sized(scenario, limits)}
    own = scenario.crew[0].people
    assert sizes == {3: own, 2: own + 12, 1: own + 24}  # two sets of six keep the hours of a whole day


def test_trucks_are_chosen_and_never_more_than_may_be():
    scenario = by_haul(count=8)
    limits = Limits(trucks=7, people=count_people(scenario).total)
    assert {plan.scenario.supply.trucks[0].count for plan in sized(scenario, limits)} == {4, 6, 7}


def test_whoever_serves_the_crews_may_keep_their_hours_too():
    owl = {"hours": ["19:00-24:00"], "lighting": True}
    scenario = bound(crew={"shift": owl}, **{"shifts.all": {"hours": ["06:00-18:00"]}})
    words = "forklifts on shift with every crew"
    plan = next(plan for plan in sized(scenario, Limits()) if words in plan.name)
    assert plan.scenario.shifts.of("forklift").hours == ((6.0, 18.0), (19.0, 24.0))
    assert plan.scenario.shifts.of("haul").hours == ((6.0, 18.0),)


@pytest.mark.parametrize("limits", [Limits(), Limits(forklifts=3)])
def test_where_nothing_limits_people_there_are_no_more_than_the_plan_as_written_has(limits):
    scenario = bound()
    has = count_people(scenario).total
    result = best_plan(scenario, RunContext(runs=4, workers=1), limits)
    assert result.limits.people == has and result.best.people <= has


@pytest.mark.parametrize("limits", [Limits(people=5), Limits(in_crews=9), Limits(spend=7.0)])
def test_limits_of_people_that_are_given_stand(limits):
    assert limits.with_people_of(bound()) == limits
