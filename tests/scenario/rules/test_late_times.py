"""From when on is somebody there, as a planner writes it?"""

import pytest
from scenarios import CREW, line, sound

from simulation.scenario import parse_scenario


def test_everybody_is_there_at_hour_zero_unless_it_is_written():
    scenario = parse_scenario(sound('[[supply.trucks]]\ncount = 1\nhaul = "1 h"\nreturn = "1 h"\n'))
    assert scenario.crew[0].since == scenario.grading.since == scenario.supply.trucks[0].since == 0.0
    assert scenario.forklifts.all_since == (0.0, 0.0, 0.0)


def test_a_time_is_for_all_forklifts_and_a_list_for_the_first_of_them():
    each = {
        '"2 day"': (48.0, 48.0, 48.0),
        '["1 h", "2 day"]': (1.0, 48.0, 0.0),
        "[]": (0.0, 0.0, 0.0),
    }
    for text, since in each.items():
        assert parse_scenario(sound(f"[forklifts]\nfrom = {text}")).forklifts.all_since == since


@pytest.mark.parametrize(
    ("text", "complaint"),
    [
        ('["0 h", "0 h", "0 h", "1 h"]', "forklifts.from: 4 times are more than the 3 forklifts; write at most 3"),
        ('"-1 h"', 'forklifts.from: "-1 h" is out of range; write "0 h" or more'),
        ('["1 kg"]', 'forklifts.from: "1 kg" is not a duration'),
        ("3", "forklifts.from: 3 has no unit"),
    ],
)
def test_a_time_that_cannot_be_is_refused(text, complaint):
    assert line(sound(f"[forklifts]\nfrom = {text}")).startswith(complaint)


def test_nobody_comes_before_hour_zero():
    assert line(sound(crew=CREW + 'from = "-2 day"\n')) == 'crew.red.from: "-2 day" is out of range; write 0 or more'
