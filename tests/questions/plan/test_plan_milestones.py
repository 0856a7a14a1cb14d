"""The best plan says what it does to the milestones that it is not the best in, and which changes it makes in all."""

from dataclasses import replace

import pytest
from scenarios import USED_EARLY, make_scenario

from simulation.questions.plan.answer import plan_answer
from simulation.questions.plan.limits import Limits
from simulation.questions.plan.picture import draw_frontier
from simulation.questions.plan.sentences import plan_lines
from simulation.questions.plan.space import read_choices
from simulation.questions.plan.study import best_plan
from simulation.questions.plan.worded.headline import plan_headline
from simulation.questions.plan.worded.people_sentences import frontier_title
from simulation.replicate import do_runs
from simulation.stats.paired_difference import Difference, difference_of_quantiles
from simulation.study.run_context import RunContext

FEW = RunContext(runs=8, workers=1)


@pytest.fixture(scope="module", params=[True, False], ids=["as written within the limits", "and outside"])
def result(request):
    scenario, limits = make_scenario(USED_EARLY), Limits(in_crews=14) if request.param else Limits(in_crews=13)
    choices = read_choices(scenario, ["laying.place=30 s" if request.param else "crew.red.people=12"])
    return best_plan(scenario, FEW, limits, choices)


def test_the_other_milestone_is_held_against_the_plan_as_written_run_by_run(result):
    ((name, change),) = result.others
    before, after = (
        do_runs(scenario, 8, workers=1)["milestone.first use"].tolist()
        for scenario in (make_scenario(USED_EARLY), result.best.scenario)
    )
    assert (name, change) == ("first use", difference_of_quantiles(before, after, 0.8))
    assert change.value != 0.0
    (said,) = [line for line in plan_lines(result) if line.startswith("Other milestones at P80, against the plan as written: ")]
    assert "first use " in said
    (row,) = plan_answer(result).record["other_milestones"]
    assert row["p80_change"]["days"] == pytest.approx(change.value / 24.0)


def test_a_milestone_that_the_best_plan_puts_off_stands_in_the_headline(result):
    later = replace(result, others=(("first use", Difference(12.0, 6.0, 18.0)),))
    assert plan_headline(later).endswith("; first use 12.0 hours later.")
    assert "first use" not in plan_headline(replace(result, others=(("first use", Difference(12.0, -6.0, 18.0)),)))


def test_the_headline_counts_the_changes_that_its_description_leaves_out(result):
    first = result.best.scenario.area[0]
    words = (
        "6 trucks",
        "",
        "red takes its areas backwards",
        f"{first.name} from one end",
        "2 forklifts",
        "crews red 9, blue 5",
    )
    several = replace(result, best=replace(result.best, words=words))
    assert "; 2 more changes. " in plan_headline(several)
    written = ("crew.red.people=9", "forklifts.count=2")  # as a planner writes what may be chosen
    for told in (words[3:], written):
        assert "more change" not in plan_headline(replace(result, best=replace(result.best, words=told)))
    one = replace(result, best=replace(result.best, words=(*written, "laying.rows_in_work=6")))
    assert "; 1 more change. " in plan_headline(one)


def test_what_binds_is_told_in_words_of_the_trade_and_a_choice_that_a_plan_has_as_written_by_what_it_is_then(result):
    assert {row.thing for row in result.of("more")} >= {"people", "room at the laying edges"}
    as_written = ("8 trucks", "runway from one end")
    best = replace(result.best, words=("6 trucks", ""), as_written=as_written)
    other = replace(result.best, words=("", "runway from the centre"), as_written=as_written)
    assert other.against(best) == "8 trucks, runway from the centre"


def test_the_picture_bears_its_title_the_field_and_its_runs(result):
    texts = [text.get_text().replace("\n", " ") for text in draw_frontier(result).texts]
    assert frontier_title(result) in texts
    assert "In use early: 8 runs of the best plan, seed 5" in texts
