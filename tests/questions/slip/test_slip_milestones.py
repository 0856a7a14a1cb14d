"""What comes late may leave readiness alone and put off another milestone, which slip then says."""

import pytest
from scenarios import USED_EARLY, make_scenario

from simulation.questions.slip.answer import slip_answer
from simulation.questions.slip.sentences import slip_headline, slip_lines
from simulation.questions.slip.study import slip
from simulation.study.run_context import RunContext

SHIPMENT = {"name": "barge", "pallets": 1, "comes": "1 h"}
TASK = {"name": "gear", "after": [{"shipment": "barge"}], "people": 2, "team": 2, "pieces": 1, "each": "10 min"}
MILESTONES = [{"name": "first use", "tasks": ["gear"]}, {"name": "whole", "areas": ["runway"], "ready": True}]


@pytest.fixture(scope="module")
def result():
    scenario = make_scenario(USED_EARLY, supply__shipments=[SHIPMENT], task=[TASK], milestone=MILESTONES)
    return slip(scenario, RunContext(runs=8, workers=1), ["supply"], "1 day")


def test_a_delay_that_leaves_readiness_alone_says_which_other_milestone_it_moves_and_how_far(result):
    (row,) = result.rows
    assert row.identical
    ((name, change),) = row.others
    assert (name, change.value) == ("first use", pytest.approx(24.0, abs=1e-6))
    said = "Every delivery 1 day late moves first use 24.0 hours later at P80"
    assert any(line.startswith(said) for line in slip_lines(result))
    assert slip_headline(result) == f"{said}; for whole no delay tried makes a difference that can be measured."


def test_the_record_and_a_table_hold_what_a_delay_does_to_the_other_milestone(result):
    answer = slip_answer(result)
    (delay,) = answer.record["delays"]
    (milestone,) = delay["other_milestones"]
    assert milestone["name"] == "first use"
    assert milestone["p80_change"]["days"] == pytest.approx(1.0, abs=1e-6)
    assert any("What each delay does to first use" in part.title for part in answer.pages[0].parts)
