"""How much work is announced before it is begun."""

import pytest

from simulation.study.runner import in_words


@pytest.mark.parametrize(
    ("runs", "seconds", "words"),
    [
        (1, 0.1, "1 run, a few seconds"),
        (400, 9.0, "400 runs, a few seconds"),
        (431, 12.3, "about 430 runs, 12 seconds"),
        (11_640, 118.0, "about 12,000 runs, 2 minutes"),
        (9_990, 89.0, "about 10,000 runs, 89 seconds"),
        (100_000, 7_300.0, "100,000 runs, 2 hours"),
        (100_000, 200_000.0, "100,000 runs, 2 days"),
    ],
)
def test_runs_and_time_are_said_to_two_digits(runs, seconds, words):
    assert in_words(runs, seconds) == words
