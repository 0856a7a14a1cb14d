"""What reading and questioning a scenario costs grows with its size, not with the square of it."""

import time

import pytest

from simulation.construction import find_warnings
from simulation.scenario import parse_scenario


def field(areas=1, crews=1, length=300):
    names = [f"a{number}" for number in range(areas)]
    parts = [f'[[area]]\nname = "{name}"\nlength = "{length} ft"\nwidth = "24 ft"\n' for name in names]
    parts += [f'[[crew]]\nname = "c{number}"\npeople = 18\nareas = {names}\n' for number in range(crews)]
    return "".join(["[supply]\non_hand = 80\n", *parts])


def cost(**size):
    """The least of five times in seconds of this process, so that what else runs does not count."""

    def once():
        began = time.process_time()
        find_warnings(parse_scenario(field(**size)))
        return time.process_time() - began

    return min(once() for _ in range(5))


@pytest.mark.parametrize(("small", "large"), [({"areas": 8}, {"areas": 64}), ({"crews": 8}, {"crews": 64})])
def test_eight_times_as_many_cost_far_less_than_their_square(small, large):
    cost(**small)
    assert cost(**large) < 25 * cost(**small)  # their square would be 64 times


def test_a_field_eight_times_as_long_costs_no_more_than_that():
    assert cost(length=12_000) < 8 * cost(length=1_500)
