"""Where more of who leads the chain buys nothing, it is said, with what to look at instead; else nothing is."""

from types import SimpleNamespace

import pytest

from simulation.analysis.ideas import Kind
from simulation.report.leader_words import leader_line
from simulation.scenario import Change


def tried(name, address, kind=Kind.MORE, earns=False, earns_mean=False, alike=False):
    what_if = SimpleNamespace(name=name, kind=kind, changes=(Change(address, "+1"),))
    return SimpleNamespace(what_if=what_if, earns=earns, earns_mean=earns_mean, alike=alike)


class Found(SimpleNamespace):
    def best(self, *kinds):
        return next((one for one in self.tried if one.what_if.kind in kinds and one.earns), None)

    def best_mean(self, *kinds):
        return next((one for one in self.tried if one.what_if.kind in kinds and one.earns_mean), None)


def said(leader, *changes):
    holders = (SimpleNamespace(name=leader),) if leader else ()
    return leader_line(Found(leading=SimpleNamespace(holders=holders), tried=changes), f"the {leader}")


TRUCK, HAUL = tried("one more truck", "supply.trucks.1.count"), tried("shorter haul", "supply.trucks.*.haul", Kind.QUICKER)
LIFT = tried("one more forklift", "forklifts.count", earns=True)


def test_a_leader_of_which_more_moves_nothing_is_not_where_to_look():
    (line,) = said("supply", TRUCK, HAUL, LIFT)
    assert line == (
        "More of what leads the chain, the supply (one more truck; shorter haul), moves nothing that these builds can tell: "
        "look at one more forklift."
    )


def test_where_no_build_is_moved_that_is_said_and_where_nothing_helps_nothing_is_recommended():
    (line,) = said("supply", tried("one more truck", "supply.trucks.1.count", alike=True))
    assert line == "More of what leads the chain, the supply (one more truck), moves no build."


@pytest.mark.parametrize(
    ("leader", "changes"),
    [
        ("forklifts", (TRUCK, LIFT)),
        ("supply", (TRUCK, tried("shorter haul", "supply.trucks.*.haul", Kind.QUICKER, earns_mean=True))),
        ("supply", (LIFT,)),
        ("closing work", (TRUCK, LIFT)),
        ("", (TRUCK,)),
    ],
)
def test_where_more_of_it_helps_or_was_not_tried_nothing_is_said(leader, changes):
    assert said(leader, *changes) == []
