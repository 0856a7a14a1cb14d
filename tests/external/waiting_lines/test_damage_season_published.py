"""A season of damage against the finite-source queue that operations textbooks tabulate (Q1; T 4.36 and 4.54, R exact)."""

import pytest

from simulation.chance import Streams
from simulation.study.damage.damage_season import Stretch, spend_season

#: Five machines, each running 20 h on average and mended in 2 h on average, both exponential.
RUN, SERVICE, MACHINES = 20.0, 2.0, 5
HOURS = 300_000.0


@pytest.mark.parametrize(
    ("at_once", "running", "queue", "untouched"),
    [(1, 4.360, 0.20347, 0.56395), (2, 4.535, 0.01127, None)],
)
def test_stretches_that_fail_and_are_mended_by_turns_are_the_machine_repair_model(at_once, running, queue, untouched):
    streams = Streams(17, 0)
    stretches = [Stretch(0.0, 1.0, 24.0 / RUN, 0.0) for _ in range(MACHINES)]
    luck = [streams.stream("damage season", str(number)) for number in range(MACHINES)]
    service = streams.stream("service")
    season = spend_season(
        stretches, lambda *_: (1, SERVICE * service.standard_exponential()), luck, HOURS, at_once=at_once
    )  # fmt: skip
    # Standard errors of so many repairs, from repeated runs: 0.005 running, 0.004 and 0.0005 waiting, 0.002 untouched.
    assert season.whole / HOURS == pytest.approx(running, abs=0.015)
    assert season.waiting / HOURS == pytest.approx(queue, abs=0.012 if at_once == 1 else 0.0015)
    if untouched is not None:
        assert season.untouched / HOURS == pytest.approx(untouched, abs=0.006)
        assert season.closed / HOURS == pytest.approx(1 - untouched, abs=0.006)


def test_one_stretch_is_closed_for_the_share_of_its_cycle_that_mending_takes():
    season = spend_season([Stretch(0, 1, 24 / RUN, 0.0)], lambda *_: (2, 5.0), [Streams(3, 0).stream("x")], HOURS)
    assert season.closed / HOURS == pytest.approx(5 / 25, abs=0.005)
    assert season.mats == 2 * season.repairs


def test_nobody_lands_on_a_closed_strip_so_landings_damage_it_only_while_it_is_open():
    def spend(a_day, by_landings):
        stretches = [Stretch(0, 1, a_day, by_landings) for _ in range(2)]
        luck = [Streams(5, 0).stream("x", str(number)) for number in range(2)]
        return spend_season(stretches, lambda *_: (1, 12.0), luck, HOURS)

    # Two stretches of 1/24 h⁻¹ each: one is mended in 12 h, meanwhile the other is safe; so the cycle is 12 + 12 hours.
    assert spend(0.0, 1.0).closed / HOURS == pytest.approx(0.5, abs=0.01)
    assert spend(0.0, 1.0).waiting == 0.0
    assert spend(1.0, 0.0).waiting > 0.0


def test_what_is_damaged_is_open_until_the_next_inspection():
    season = spend_season([Stretch(0, 1, 1.0, 0.0)], lambda *_: (1, 2.0), [Streams(7, 0).stream("x")], HOURS, inspect_every=6.0)
    # A cycle ends 2 h after an inspection; from there a time of mean 24 h, rounded up to whole inspections: 4 h to the first of
    # them, then each 6 h with chance exp(-6/24). Share closed = 2 / mean cycle.
    import math

    survive, first = math.exp(-6 / 24), math.exp(-4 / 24)
    cycle = 2 + 4 + first * 6 / (1 - survive)
    assert season.closed / HOURS == pytest.approx(2 / cycle, abs=0.002)
