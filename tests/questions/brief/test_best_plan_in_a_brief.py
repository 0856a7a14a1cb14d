"""Does a brief show the frontier of people where its scenario says what limits a plan?"""

from dataclasses import replace

from scenarios import SHORT

from simulation.questions.brief.pages import plans_page
from simulation.questions.brief.study import Asked, brief
from simulation.questions.plan.worded.headline import plan_headline
from simulation.scenario import parse_scenario
from simulation.study.run_context import RunContext

FEW, ASKED = RunContext(runs=4, workers=1), Asked(each=3, measures=False, plans=())
CHOOSE = "[choose]\nvalues = ['forklifts.count=2']\n"


def test_the_frontier_stands_in_a_brief_where_the_scenario_limits_a_plan():
    told: list[tuple[object, ...]] = []
    context = replace(FEW, progress=lambda *said: told.append(said))
    limited = brief(parse_scenario(f"{SHORT}\n[limits]\npeople = 60\n{CHOOSE}"), context, ASKED)
    assert any(said[2:] == ("runs of the search for the best plan",) for said in told)  # no silence while it is sought
    assert limited.best.best.people <= 60
    part = next(part for part in plans_page(limited).parts if part.title == "The best plan within the limits")
    assert part.blocks[0].text == plan_headline(limited.best)
    assert "by people on site" in part.blocks[-1].describe()


def test_limits_that_no_plan_keeps_leave_a_brief_without_a_best_plan():
    assert brief(parse_scenario(f"{SHORT}\n[limits]\npeople = 1\n{CHOOSE}"), FEW, ASKED).best is None
