"""Reading a deadline, and the chance of meeting it."""

import math
from datetime import datetime

import pytest

from simulation.scenario import ScenarioError
from simulation.stats.chances import estimate_chance
from simulation.study.calendar import Calendar
from simulation.study.deadline import Deadline, deadline_chance, read_deadline

CALENDAR = Calendar.of(datetime(2031, 4, 2, 6), [(6.0, 12.0)])


@pytest.mark.parametrize(
    ("text", "hours"),
    [
        ("9 d", 216.0),
        ("9 day", 216.0),
        (" 200 h ", 200.0),
        ("1.5 week", 252.0),
        ("2031-04-11T18:00", 9 * 24 + 12.0),
        ("2031-04-11 18:00", 9 * 24 + 12.0),
        ("2031-04-11", 9 * 24 + 18.0),  # a date alone means its end
        ("2031-04-02", 18.0),
    ],
)
def test_a_deadline_is_a_duration_or_a_local_date(text, hours):
    assert read_deadline(text, CALENDAR).hours == pytest.approx(hours, abs=1e-9)


@pytest.mark.parametrize(
    "text",
    [
        *(
            "",
            "soon",
            "9",
            "9 ft",
            "-3 d",
            "0 h",
            "nan day",
            "inf day",
            "9 d 4",
            "2920000 d",
            "1e9 d",
        ),  # no duration after the start
        *("2031-04-31", "2031-4-11", "9999-12-31", "2031-04-11T18:00+02:00"),  # no local date
        *("2031-04-01", "2031-04-02T06:00"),  # not after the start
    ],
)
def test_a_deadline_that_cannot_be_read_or_has_passed_is_refused_with_what_would_be_right(text):
    with pytest.raises(ScenarioError) as refused:
        read_deadline(text, CALENDAR)
    (mistake,) = refused.value.mistakes
    assert refused.value.file == "deadline"
    assert mistake.right.startswith("write ")
    assert "\n" not in str(refused.value)


def test_the_chance_counts_the_runs_that_are_ready_and_unfinished_runs_are_not():
    hours = [100.0, 200.0, 216.0, 216.0 + 1e-9, 217.0, math.inf]
    found = deadline_chance(Deadline("9 d", 216.0), 20 * hours, horizon=1000.0)
    assert (found.chance.count, found.chance.runs) == (80, 120)
    assert found.likelihood == "likely"
    assert not found.chance.at_least
    few = deadline_chance(Deadline("9 d", 216.0), hours, horizon=1000.0)
    assert (few.chance.count, few.chance.runs, few.likelihood) == (4, 6, None)


def test_beyond_the_horizon_the_chance_is_a_lower_limit_only_if_a_run_is_unfinished():
    late = Deadline("60 d", 1440.0)
    known = deadline_chance(late, 100 * [100.0, 200.0], horizon=960.0)
    assert (known.chance.at_least, known.likelihood) == (False, "almost certain")
    bound = deadline_chance(late, 100 * [100.0, math.inf], horizon=960.0)
    assert (bound.chance.at_least, bound.chance.probability, bound.likelihood) == (True, 0.5, None)
    assert bound.chance.low == pytest.approx(estimate_chance(100, 200).low)
    assert bound.chance.high == 1.0


def test_a_deadline_with_a_comma_for_its_point_is_refused_with_the_point():
    with pytest.raises(ScenarioError, match=r"write 22\.5 d: a point, not a comma; "):
        read_deadline("22,5 d", CALENDAR)
