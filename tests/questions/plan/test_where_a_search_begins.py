"""Where does a search of many plans begin, if the plan as written breaks a limit?"""

import pytest
from fields import by_crew

from simulation.questions.plan.limits import Limits
from simulation.questions.plan.space import Space, read_choices
from simulation.scenario import ScenarioError

#: A hundred plans, from many people and forklifts to few: the one that keeps within narrow limits is the last.
TEXTS = [
    f"crew.red.people={','.join(map(str, range(30, 12, -2)))}",
    f"forklifts.count={','.join(map(str, range(11, 2, -1)))}",
]


def space_within(**limits):
    scenario = by_crew({})
    return Space(scenario, Limits(**limits), read_choices(scenario, TEXTS))


@pytest.fixture(scope="module")
def least():
    """The plan of fewest people and forklifts: its place, and how many people it takes."""
    space = space_within()
    plans = {picks: plan for picks in space.combinations() if (plan := space.plan(picks)) is not None}
    picks = min(plans, key=lambda one: (plans[one].people, plans[one].scenario.forklifts.count))
    return picks, plans[picks].people, plans[picks].scenario.forklifts.count


def test_it_goes_choice_by_choice_to_the_only_plan_that_keeps_within_the_limits(least):
    picks, people, forklifts = least
    space = space_within(people=people, forklifts=forklifts)
    assert space.starts() == [picks]
    assert len(space._plans) < space.size / 2


def test_where_none_does_it_soon_gives_up_and_says_of_how_many_it_looked_at(monkeypatch, least):
    monkeypatch.setattr("simulation.questions.plan.space.SOUGHT", 15)
    space = space_within(people=1)
    space.starts()
    looked = len(space._plans)
    assert looked < 60
    said = space.why_none()
    assert said.startswith(f"none of the {looked} plans looked at, of 100 that there are, keeps within the limits; ")
    assert f"the nearest has people: {least[1]} where 1 may be" in said


@pytest.mark.parametrize("people", [1, 2])
def test_where_every_plan_was_looked_at_it_says_that_there_is_none(people):
    space = space_within(people=people)
    list(map(space.plan, space.combinations()))
    assert space.why_none().startswith("no plan keeps within the limits; the nearest has ")


@pytest.mark.parametrize(
    "text", ["seed=1,2", "title=a,b", "job=lay,take up", "horizon=1 day,2 day", "limits.people=3,4", "choose.goal=P50"]
)
def test_luck_names_and_what_is_asked_are_no_part_of_a_plan(text):
    key = text.partition("=")[0]
    with pytest.raises(ScenarioError, match=rf"{key}: is no part of a plan that may be better or worse; leave it out"):
        read_choices(by_crew({}), [text])
