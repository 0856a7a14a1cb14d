"""Which plans a brief compares by itself: the other start with as many people, forklifts, and the grid of the decision sheet."""

from dataclasses import replace

import pytest
from scenarios import SHORT

from simulation.field import take_off
from simulation.questions.brief.answer import list_warnings
from simulation.questions.brief.decision_grid import Choice, list_choices, plan_grid
from simulation.questions.brief.decision_sheet import grid_table
from simulation.questions.brief.first_page import first_page
from simulation.questions.brief.study import Asked, brief
from simulation.questions.forecast.study import forecast
from simulation.scenario import ScenarioError, load_scenario, parse_scenario, shipped, vary
from simulation.study.changes.default_plans import CENTRE_OUT, ONE_END, default_plans, start_change
from simulation.study.outcomes import summarise_outcome
from simulation.study.run_context import RunContext


def count_people(scenario):
    return sum(crew.people for crew in scenario.crew)


@pytest.mark.parametrize("name", ["relief_strip", "first_look"])
def test_the_plans_differ_keep_the_people_and_begin_with_the_scenario(name):
    scenario = load_scenario(shipped(name))
    plans = default_plans(scenario)
    assert plans[0] == ("as written", scenario)
    assert all(count_people(one) == count_people(scenario) for _, one in plans)
    assert all(one != other for place, (_, one) in enumerate(plans) for _, other in plans[:place])
    assert [one.forklifts.count for _, one in plans[-3:]] == [2, 4, 5]


def test_one_crew_from_one_end_stands_against_two_from_the_centre():
    names = [name for name, _ in default_plans(load_scenario(shipped("relief_strip")))]
    assert names[1:3] == ["the same crews, runway from one end", "one crew of 40, runway from one end"]
    odd = parse_scenario(SHORT.replace("people = 16", "people = 19"))
    two = dict(default_plans(odd))["two crews of 10 and 9, strip from the centre"]
    assert [crew.people for crew in two.crew] == [10, 9]
    assert two.area[0].start == CENTRE_OUT


def test_crews_that_come_at_different_times_are_not_put_together():
    late = 'people = 16\nareas = ["strip"]\n[[crew]]\nname = "blue"\npeople = 12\nfrom = "1 day"'
    late = parse_scenario(SHORT.replace("people = 16", late))
    assert [name for name, _ in default_plans(late) if "crew of" in name or "crews of" in name] == []


def test_a_start_that_is_not_sound_is_left_out_of_plans_and_grid():
    railed = parse_scenario(SHORT.replace("people = 16", "people = 6"))
    found, left_out = list_choices(railed)
    # Four or five people cannot lay: three are overhead and a team has two, so fewer than that are left out.
    assert {choice.people for choice in found} | {choice.people for choice in left_out} == {4, 6, 8}
    assert all(choice.people == 4 for choice in left_out)
    assert not set(left_out) & set(found)


def test_a_plan_that_is_left_out_is_said_with_the_first_reason_that_check_gives():
    railed = load_scenario(shipped("railed_strip"))
    _, left_out = list_choices(railed)
    centre = [why for choice, why in left_out.items() if choice.start == CENTRE_OUT]
    with pytest.raises(ScenarioError) as refused:
        vary(railed, [start_change(railed, CENTRE_OUT)])
    first = refused.value.mistakes[0]
    assert len(centre) == 9
    assert set(centre) == {f"{first.key}: {first.wrong}"}
    short = parse_scenario(SHORT + "[forklifts]\ncount = 1\n")
    grid = plan_grid(short, RunContext(runs=20, workers=1))
    assert any(
        note.startswith("Left out (no forklift is left): 12 people, from one end, 0 forklifts; ")
        for note in grid_table(grid).notes
    )


def test_the_grid_has_every_combination_and_the_scenario_itself():
    scenario = parse_scenario(SHORT)
    found, left_out = list_choices(scenario)
    assert left_out == {}
    assert set(found) == {Choice(p, s, f) for p in (12, 16, 20) for s in (ONE_END, CENTRE_OUT) for f in (2, 3, 4)}
    assert found[Choice(16, ONE_END, 3)] == scenario
    for choice, one in found.items():
        assert (count_people(one), one.area[0].start, one.forklifts.count) == (choice.people, choice.start, choice.forklifts)


def test_without_a_forklift_to_spare_nobody_goes_below_one():
    found, left_out = list_choices(parse_scenario(SHORT + "[forklifts]\ncount = 1\n"))
    assert {choice.forklifts for choice in found} == {1, 2}
    assert {choice.forklifts for choice in left_out} == {0}


def test_after_a_stop_a_brief_names_the_questions_that_were_not_reached():
    def stop(done, expected):
        if done > 10:
            raise KeyboardInterrupt

    found = brief(parse_scenario(SHORT), RunContext(runs=30, workers=1, progress=stop), asked=Asked(20, grid=False))
    assert (found.stopped, found.missing) == ("stopped early", ("what would help", "the other plans"))
    said = " ".join(list_warnings(found))
    assert "Stopped before the end; not reached: what would help and the other plans." in said
    text = str(first_page(found, take_off(found.forecast.scenario), {}))
    assert "Not reached before the brief was stopped." in text
    assert "Not asked" not in text
    unasked = str(first_page(replace(found, missing=("the other plans",)), take_off(found.forecast.scenario), {}))
    assert "Not asked: measures were left out of this brief." in unasked


def test_a_plan_of_the_grid_has_the_numbers_that_it_has_by_itself():
    scenario = parse_scenario(SHORT)
    told, seen = [], []
    asked = Asked(20, measures=False, plans=())
    found = brief(
        scenario,
        RunContext(runs=30, workers=1, deadline="1 day", tell=told.append, progress=lambda *one: seen.append(one)),
        asked=asked,
    )
    choice = Choice(20, CENTRE_OUT, 4)
    alone = list_choices(scenario)[0][choice]
    hours = summarise_outcome("alone", alone, forecast(alone, RunContext(runs=20, workers=1)).runs).hours
    assert found.grid.plan(choice).outcome.hours == hours
    assert (found.measures, found.comparison, found.stopped) == (None, None, "")
    # Without a folder nothing is shared: the scenario's own 20 runs of the grid are among the 30 of the forecast in the count.
    assert told[-1].startswith("to do for 18 plans: 370 runs, ")
    assert max(done for done, _ in seen) <= seen[-1][1] == 30 + 18 * 20
