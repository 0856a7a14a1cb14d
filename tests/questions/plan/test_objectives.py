"""A plan is best in what is asked for: a quantile, the mean or the chance of the deadline, of any milestone."""

import numpy as np
import pytest
from fields import BOUND, CARRY_AND_PLACE, by_crew
from scenarios import changed, make_scenario

from simulation.questions.plan.answer import plan_answer
from simulation.questions.plan.objective import Objective, read_objective
from simulation.questions.plan.space import read_choices
from simulation.questions.plan.study import best_plan
from simulation.questions.plan.worded.headline import plan_headline
from simulation.scenario import ScenarioError, parse_scenario
from simulation.stats.quantiles import order_statistic
from simulation.study.deadline import Deadline
from simulation.study.run_context import RunContext

UNCERTAIN = {"pick_up": "20 s", "place": {"p10": "30 s", "p90": "50 s"}}
HOURS = np.random.default_rng(1).gamma(4.0, 20.0, (3, 41))


@pytest.mark.parametrize("goal", ["P80", "P50", "P5", "P99"])
def test_a_quantile_is_the_order_statistic_that_the_program_has_everywhere(goal):
    found = Objective("ready", goal).measure(HOURS)
    assert found.tolist() == [order_statistic(row.tolist(), int(goal[1:]) / 100) for row in HOURS]


def test_a_mean_and_a_share_that_is_late_are_made_small():
    assert Objective("ready", "mean").measure(HOURS) == pytest.approx(HOURS.mean(axis=1))
    late = Objective("ready", "chance", Deadline("4 d", 96.0))
    assert late.measure(HOURS).tolist() == [(row > 96.0).mean() for row in HOURS]
    change = late.compare(HOURS[0].tolist(), HOURS[1].tolist(), 0.95)
    assert change.value == pytest.approx(late.measure(HOURS[1]) - late.measure(HOURS[0]))


@pytest.mark.parametrize(
    ("goal", "milestone", "said"),
    [
        ("P0", None, '--goal: "P0" is no goal; write P80 or another quantile from P1 to P99, mean, or chance'),
        ("best", None, '--goal: "best" is no goal'),
        ("chance", None, "--goal: a chance needs a date to be ready by; add --deadline"),
        (None, "apron", '--milestone: there is no "apron"'),
    ],
)
def test_what_cannot_be_made_best_is_refused_with_what_is_right(goal, milestone, said):
    with pytest.raises(ScenarioError) as error:
        read_objective(by_crew(), goal, milestone, None)
    assert str(error.value.mistakes[0]).startswith(said)


def test_the_scenario_says_what_is_best_and_may_be_asked_otherwise():
    text = f"{by_crew().source.text}\n[choose]\ngoal = 'p90'\nmilestone = 'ready'\n"
    scenario = parse_scenario(text)
    assert read_objective(scenario, None, None, None) == Objective("ready", "P90")
    assert read_objective(scenario, "mean", None, None) == Objective("ready", "mean")
    for wrong, key in (("goal = 'P0'", "choose.goal"), ("milestone = 'apron'", "choose.milestone")):
        with pytest.raises(ScenarioError) as error:
            parse_scenario(f"{by_crew().source.text}\n[choose]\n{wrong}\n")
        assert error.value.mistakes[0].key == key


def test_a_chance_is_made_large_and_told_in_points():
    scenario = by_crew(UNCERTAIN)
    choices, deadline = read_choices(scenario, ["crew.red.people=8,18"]), Deadline("1.2 h", 1.2)
    objective = Objective("ready", "chance", deadline)
    result = best_plan(scenario, RunContext(runs=50, workers=1), choices=choices, objective=objective)
    assert result.best.scenario.crew[0].people == 18
    met = [hours <= 1.2 for hours in result.outcome.hours]
    assert result.value == pytest.approx(1.0 - sum(met) / len(met))
    assert "Chance of being ready by 1.2 h " in plan_headline(result)
    assert result.as_written.change.value > 0  # later in more runs
    beside = plan_answer(result).record["beside"]
    assert beside[0]["change"]["share"] == pytest.approx(-result.as_written.change.value)


def test_another_milestone_may_want_another_plan():
    # The one crew lays one area after the other: whichever comes first is open first.
    areas = [{"name": "one", "length": "48 ft", "width": "72 ft"}, {"name": "two", "length": "48 ft", "width": "72 ft"}]
    milestones = [
        {"name": "two open", "areas": ["two"], "closing": "0 h"},
        {"name": "all open", "areas": ["one", "two"], "closing": "0 h", "ready": True},
    ]
    crew = [{"name": "red", "people": 12, "areas": ["one", "two"]}]
    tables = changed(BOUND, area=areas, crew=crew, milestone=milestones, laying={**BOUND["laying"], **CARRY_AND_PLACE})
    scenario = make_scenario(tables)
    choices = read_choices(scenario, ['crew.red.areas=["two", "one"]'])
    first = best_plan(scenario, RunContext(runs=4, workers=1), choices=choices, objective=Objective("two open"))
    assert first.best.scenario.crew[0].areas == ("two", "one")
    assert first.as_written.change.value > 0.2
    assert "80 % date of two open" in plan_headline(first).lower()
    whole = best_plan(scenario, RunContext(runs=4, workers=1), choices=choices)
    assert abs(whole.as_written.change.value if whole.as_written else 0.0) < 0.1
