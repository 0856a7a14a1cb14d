"""What of the second file a move does not read is said, and only that."""

from scenarios import LEAST, make_scenario

from simulation.questions.move.not_read import not_read
from simulation.questions.move.second_site import plan_second

TRUCK = [{"count": 1, "haul": "1 h", "return": "1 h"}]
SHIP = [{"name": "barge", "pallets": 8, "comes": "9 h"}]
NEEDS = [{"name": "gear", "each": "1 h", "after": [{"shipment": "barge"}]}]


def second(on_hand=20, leg=None, **tables):
    supply = {"on_hand": on_hand, **tables.pop("supply", {})}
    leg = {"leg": leg or {"time": "1 h"}} if leg != {} else {}
    return make_scenario(LEAST, supply=supply, **leg, **tables)


def said_of(scenario):
    return [str(one) for one in not_read(scenario)]


def test_a_second_file_of_which_all_is_read_says_nothing():
    assert said_of(second()) == []
    assert said_of(second(supply={"total": 30, "trucks": TRUCK, "shipments": SHIP, "half_mats": "first"})) == []


def test_a_leg_that_is_not_written_says_what_stands_in_its_place():
    (said,) = said_of(second(leg={}))
    assert said.startswith("leg: is missing, so planning values say how mats come: loads of 60 pallets by road, and all arrive")


def test_carriers_that_bring_nothing_are_named_and_a_shipment_that_a_task_needs_comes_all_the_same():
    supply = {"trucks": TRUCK, "shipments": SHIP}
    (said,) = said_of(second(supply=supply))
    assert said == (
        "supply.trucks: [[supply.trucks]], [[supply.shipments]] bring no pallets in a move, since no more than on_hand "
        "is its own; write total, all pallets of its own with those on hand, or leave it"
    )
    (said,) = said_of(second(supply=supply, task=NEEDS))
    assert "; barge comes for its tasks alone; " in said


def test_half_mats_are_not_said_to_change_nothing_because_no_pallet_is_to_come():
    (said,) = said_of(second(supply={"half_mats": "first"}))
    assert said.startswith("supply.half_mats: is not read in a move: pallets by the leg hold what comes up")


def test_a_shipment_alone_brings_what_is_its_own():
    assert plan_second(second(supply={"total": 28, "shipments": SHIP})).supply.kept == (8,)
