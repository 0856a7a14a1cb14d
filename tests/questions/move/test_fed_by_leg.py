"""A field that a leg feeds: check finds it sound, no question answers for it alone, and what comes with a load may come by it."""

import pytest
from scenarios import LEAST, make_scenario

from simulation.construction.planning import compile_plan
from simulation.questions.check.answer import check_answer
from simulation.questions.check.study import check_scenario
from simulation.questions.move.study import move
from simulation.scenario import ScenarioError
from simulation.study.run_context import RunContext

FEW = LEAST.replace("on_hand = 80", "on_hand = 3")
LEG = '\n[leg]\nload = 20\nper_day = 1\ntime = "1 h"\n'
WITH_LOAD = "\n[supply.key_strips]\nload = {}\n"


def checked(tmp_path, text):
    (tmp_path / "second.toml").write_text(text, encoding="utf-8")
    return check_scenario(tmp_path / "second.toml")


def test_check_finds_a_field_sound_that_a_leg_feeds_and_says_who_answers_for_it(tmp_path):
    result = checked(tmp_path, FEW + LEG)
    assert result.mistakes == ()
    assert check_answer(result).headline.endswith("sound; its mats come by [leg]: ask keystrip move FIRST SECOND")
    assert not any(warning.key.startswith("supply.") for warning in result.warnings)


def test_check_still_finds_what_is_wrong_with_such_a_field_whatever_comes(tmp_path):
    dark = FEW + LEG + '[site]\nlatitude = 80.0\nlongitude = 0.0\nutc_offset = "0 h"\n'
    result = checked(tmp_path, 'starts = 2031-12-01T06:00:00\nhorizon = "20 day"\n' + dark)
    assert any("in the dark" in mistake.wrong for mistake in result.mistakes)


def test_without_a_leg_too_few_pallets_are_a_mistake_as_ever(tmp_path):
    assert [mistake.key for mistake in checked(tmp_path, FEW).mistakes] == ["supply.on_hand"]


def test_no_question_answers_for_such_a_field_alone():
    with pytest.raises(ScenarioError, match=r"leg: its mats come by \[leg\], so .*ask keystrip move FIRST SECOND"):
        compile_plan(make_scenario(FEW + LEG))


def test_a_field_with_a_leg_and_all_of_its_pallets_is_answered_for_alone_and_check_says_so(tmp_path):
    assert compile_plan(make_scenario(LEAST + LEG)).supply.on_hand == 80
    said = check_answer(checked(tmp_path, LEAST + LEG)).headline
    assert "one drawn run of its own supply alone, no forecast: ready after" in said
    assert "with its [leg]: ask keystrip move" in said
    assert "[leg]" not in check_answer(checked(tmp_path, LEAST)).headline


def test_key_strips_come_with_a_load_of_the_leg(tmp_path):
    area = LEAST.replace('"300 ft"', '"300 ft"\nkey_strips_every = "100 ft"')
    there = area.replace("on_hand = 80", "on_hand = 3") + WITH_LOAD + LEG
    assert checked(tmp_path, there.format(2)).mistakes == ()
    stocked = there.replace("on_hand = 3", "on_hand = 80")
    early, late = (
        move(make_scenario(area), make_scenario(stocked.format(load)), RunContext(runs=2, workers=1)).asked.without
        for load in (1, 4)
    )
    assert all(late > early)
    with pytest.raises(ScenarioError, match=r"key_strips.load: only \d loads are sure to come; write at most \d"):
        move(make_scenario(area), make_scenario(there.format(30)), RunContext(runs=2, workers=1))
