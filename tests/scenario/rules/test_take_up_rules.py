"""Which take-up cannot be: milestones that nothing reaches, and more mats in one state than there are mats."""

import pytest
from scenarios import lines, sound

UP = '[[take_up.milestone]]\nname = "{}"\nareas = {}\nready = {}\n'
TWO = '[[area]]\nname = "pad"\nlength = "30 ft"\nwidth = "24 ft"\njoins = { area = "strip", station = "20 ft", side = "right" }\n'


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (
            UP.format("a", '["strip"]', "false") + UP.format("b", '["strip"]', "false"),
            "take_up.milestone: 0 milestones say ready = true; let exactly one say it",
        ),
        (
            UP.format("a", '["strip"]', "true") + UP.format("b", '["strip"]', "true"),
            "take_up.milestone: 2 milestones say ready = true; let exactly one say it",
        ),
        (
            UP.format("a", '["strip"]', "true") + UP.format("a", '["strip"]', "false"),
            "take_up.milestone.a: 2 milestones bear this name; give each its own",
        ),
        (
            2 * '[[take_up.shipments]]\nname = "barge"\npallets = 4\ncomes = "8 h"\n',
            "take_up.shipments.barge: 2 shipments bear this name; give each its own",
        ),
        (UP.format("a", '["stripe"]', "true"), 'take_up.milestone.a.areas: there is no area "stripe"; did you mean strip?'),
        (
            UP.format("a", '["strip", "strip"]', "true"),
            'take_up.milestone.a.areas: "strip" stands in the list twice; write each area once',
        ),
    ],
)
@pytest.mark.parametrize("job", ["lay", "take up"])
def test_a_milestone_of_taking_up_is_there_once_and_of_areas_that_there_are(more, said, job):
    assert said in lines(f'job = "{job}"\n' + sound(more))


def test_an_area_that_stays_is_never_up():
    field = sound(TWO + '[take_up]\nareas = ["pad"]\n' + UP.format("a", '["strip"]', "true"))
    said = lines(field.replace('areas = ["strip"]\n', 'areas = ["strip", "pad"]\n', 1))
    assert said == ['take_up.milestone.a.areas: "strip" is not taken up; add it to take_up.areas, or leave it out here']


@pytest.mark.parametrize(
    ("more", "said"),
    [
        *(
            (f"[take_up]\n{key} = 1.1", f"take_up.{key}: can rise above 1; write a number, or low, mode and high, up to 1")
            for key in ("bent", "sticking", "to_repair", "scrap")
        ),
        ("[repair]\nstuck = 1.1", "repair.stuck: can rise above 1; write a number, or low, mode and high, up to 1"),
        (
            "[take_up]\nto_repair = 0.7\nscrap = 0.6",
            "take_up.to_repair: can rise above 1 together with scrap, up to 0.7 and 0.6, and no mat is both; "
            "write shares that come to 1 at most",
        ),
        (
            "[used_mats]\nbent = 0.3\nscrap = 0.3",
            "used_mats.bent: can rise above 0.5 together with scrap, up to 0.3 and 0.3, and no mat is both; "
            "write shares that come to 0.5 at most",
        ),
    ],
)
def test_no_more_mats_are_in_one_state_than_there_are(more, said):
    assert lines(sound(more)) == [said]


def test_all_mats_may_be_good_or_none():
    assert not lines(sound("[take_up]\nto_repair = 0.5\nscrap = 0.5\n[used_mats]\nbent = 0.25\nscrap = 0.25\n"))
