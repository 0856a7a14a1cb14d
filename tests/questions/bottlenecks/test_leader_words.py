"""Where easing the main cause gains nothing, it is said, with what to look at instead; else nothing is."""

from types import SimpleNamespace

import pytest

from simulation.questions.bottlenecks.idea import Kind
from simulation.questions.bottlenecks.leader_words import leader_lines
from simulation.scenario import Change
from simulation.stats.group_sequential import Effect


def tried(name, address, kind=Kind.MORE, earns=False, earns_mean=False, identical=False):
    trial = SimpleNamespace(name=name, kind=kind, changes=(Change(address, "+1"),))
    return SimpleNamespace(trial=trial, earns=earns, earns_mean=earns_mean, identical=identical, effect=Effect.NO_MATTER)


class Found(SimpleNamespace):
    def best(self, *kinds):
        return next((one for one in self.rows if one.trial.kind in kinds and one.earns), None)

    def best_mean(self, *kinds):
        return next((one for one in self.rows if one.trial.kind in kinds and one.earns_mean), None)


def said(leaders, *changes, second_leads=1):
    counts = (5, second_leads, 0)
    holders = tuple(
        SimpleNamespace(name=name, leads=SimpleNamespace(count=count))
        for name, count in zip(leaders.split(), counts, strict=False)
    )
    found = Found(leading=SimpleNamespace(holders=holders), rows=changes)
    return leader_lines(found, lambda one: f"the {one.name}")


TRUCK, HAUL = tried("one more truck", "supply.trucks.1.count"), tried("shorter haul", "supply.trucks.*.haul", Kind.QUICKER)
LIFT = tried("one more forklift", "forklifts.count", earns=True)


def test_a_leader_of_which_more_moves_nothing_is_not_where_to_look():
    (line,) = said("supply", TRUCK, HAUL, LIFT)
    assert line == (
        "Easing the main cause (the supply: one more truck; shorter haul) makes no difference that matters to the 80 % date: "
        "look at one more forklift."
    )


def test_where_no_run_is_moved_that_is_said_and_where_nothing_helps_nothing_is_recommended():
    (line,) = said("supply", tried("one more truck", "supply.trucks.1.count", identical=True))
    assert line == "Easing the main cause (the supply: one more truck) changes no run."


@pytest.mark.parametrize(
    ("leader", "changes"),
    [
        ("forklifts", (TRUCK, LIFT)),
        ("supply", (TRUCK, tried("shorter haul", "supply.trucks.*.haul", Kind.QUICKER, earns_mean=True))),
        ("supply", (LIFT,)),
        ("final sweep, inspection and marking", (TRUCK, LIFT)),
        ("", (TRUCK,)),
    ],
)
def test_where_more_of_it_helps_or_was_not_tried_nothing_is_said(leader, changes):
    assert said(leader, *changes) == []


def test_of_what_comes_second_it_is_said_too_where_it_is_named_as_second():
    changes = (TRUCK, HAUL, LIFT)
    line = "Easing the second cause (the supply: one more truck; shorter haul) makes no difference that matters to the 80 % date."
    assert said("forklifts supply grading", *changes) == [line]
    assert said("forklifts supply grading", *changes, second_leads=0) == []
    assert len(said("supply supply", *changes)) == 2


def test_what_is_done_otherwise_is_no_more_of_a_crew_but_may_be_where_to_look():
    otherwise = tried("green lays pad as well", "crew.green.areas", Kind.OTHERWISE, earns=True)
    more = tried("one more crew", "crew.red 2")
    (line,) = said("crews", more, otherwise)
    assert line == (
        "Easing the main cause (the crews: one more crew) makes no difference that matters to the 80 % date: look at green "
        "lays pad as well."
    )


def test_what_can_be_done_is_looked_at_before_a_trouble_that_nobody_can_take_away():
    dry = tried("no rain", "weather.model", Kind.WITHOUT, earns=True)
    by_mean = tried("one more forklift", "forklifts.count", earns_mean=True)
    assert said("supply", TRUCK, dry, by_mean)[0].endswith(": look at one more forklift.")
    assert said("supply", TRUCK, dry)[0].endswith(": look at no rain.")
