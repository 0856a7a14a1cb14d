"""How many pallets of half mats alone a take-off counts, where full and half mats are packed apart."""

import pytest
from scenarios import LITTLE, make_scenario, strip

from simulation.field import take_off
from simulation.questions.takeoff.answer import takeoff_answer

#: 24 pallets of 11 full and 2 half mats hold 264 and 48: 22 pallets of 12 full ones and 2 of 24 half ones.
AREA = [{"name": "strip", "length": "80 ft", "width": "72 ft"}]
TRUCK = {"count": 2, "pallets": 4, "load": "20 min", "haul": "30 min", "return": "20 min"}


def asked(half_mats, **supply):
    supply = {"on_hand": 0, "total": 24, "half_mats": half_mats} | supply
    scenario = make_scenario(strip(area=AREA, supply=supply, supply__trucks=[TRUCK]))
    return takeoff_answer(scenario, take_off(scenario))


@pytest.mark.parametrize("order", ["first", "last"])
def test_the_pallets_of_half_mats_are_told_by_number(order):
    answer = asked(order)
    assert answer.lines[1] == (
        f"Full and half mats are packed apart, half mats {order} (supply.half_mats): of the 24 pallets to come 22 hold full "
        "mats, 2 half mats alone."
    )
    assert answer.record["packed_apart"] == {"full": 22, "half": 2, "both": 0, "half_first": order == "first"}


def test_each_shipment_is_packed_for_itself_and_what_is_on_hand_holds_both():
    # Of 24 pallets 4 are here, 8 on a ship: 88 full and 16 half mats are 7 pallets of full mats and one of 4 and 16. Trucks
    # bring 12: 11 and 1.
    ship = {"pallets": 8, "comes": "30 h", "discharge": "6 min", "lot": 4}
    assert asked("first", on_hand=4, shipments=[ship]).record["packed_apart"] == {
        "full": 18,
        "half": 1,
        "both": 1,
        "half_first": True,
    }


def test_nothing_is_said_where_every_pallet_holds_the_same():
    scenario = make_scenario(LITTLE)
    answer = takeoff_answer(scenario, take_off(scenario))
    assert "packed_apart" not in answer.record and not [line for line in answer.lines if "packed" in line]
