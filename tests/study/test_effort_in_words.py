"""How much work is announced before it is begun."""

import pytest

from simulation.study.effort import in_words


@pytest.mark.parametrize(
    ("builds", "seconds", "words"),
    [
        (1, 0.1, "1 build, a few seconds"),
        (400, 9.0, "400 builds, a few seconds"),
        (431, 12.3, "about 430 builds, 12 seconds"),
        (11_640, 118.0, "about 12,000 builds, 2 minutes"),
        (9_990, 89.0, "about 10,000 builds, 89 seconds"),
        (100_000, 7_300.0, "100,000 builds, 2 hours"),
        (100_000, 200_000.0, "100,000 builds, 2 days"),
    ],
)
def test_builds_and_time_are_said_to_two_digits(builds, seconds, words):
    assert in_words(builds, seconds) == words
