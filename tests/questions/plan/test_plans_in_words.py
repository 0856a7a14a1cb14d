"""How a plan is told in one sentence: by where laying begins, or in which direction the field comes up."""

import pytest
from scenarios import SHORT, make_scenario

from simulation.questions.plan.sentences import describe_plan
from simulation.questions.plan.space import ChosenPlan


@pytest.mark.parametrize(
    ("job", "way"), [("lay", "strip from one end"), ("take up", "along the direction of assembly")], ids=("lay", "take up")
)
def test_a_plan_is_told_in_the_words_of_its_job(job, way):
    scenario = make_scenario(SHORT, top={"job": job}, take_up={"direction": "along"})
    assert describe_plan(ChosenPlan("", (), scenario, 19)) == f"crew red 16; {way}; 3 forklifts; 19 people on site"
