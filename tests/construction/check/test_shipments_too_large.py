"""What is warned of shipments that are written with more pallets than are to come."""

import pytest
from scenarios import SHORT, parse_scenario

from simulation.construction.check.warnings import find_warnings
from simulation.field import take_off

SHIP = '[[supply.shipments]]\npallets = {}\ncomes = "8 h"\n'
TRUCKS = '[[supply.trucks]]\ncount = 1\nhaul = "1 h"\nreturn = "1 h"\n'


def said_of(*pallets, more=""):
    scenario = parse_scenario(SHORT.replace("on_hand = 12", "on_hand = 2") + more + "".join(map(SHIP.format, pallets)))
    to_come = take_off(scenario).comes - 2
    return to_come, [str(one) for one in find_warnings(scenario) if one.key.startswith("supply.shipments")]


@pytest.mark.parametrize(("more", "how"), [("", ""), (TRUCKS, " or fewer: what it is to bring, no truck or flight brings")])
def test_a_shipment_of_more_pallets_than_come_is_named_with_what_it_brings(more, how):
    to_come, said = said_of(1800, more=more)
    assert said == [
        f"supply.shipments.1.pallets: 1,800 pallets are more than the {to_come} to come: it brings {to_come}; "
        f"write {to_come}{how}"
    ]
    assert said_of(to_come, more=more)[1] == []


def test_those_before_it_count():
    to_come, (said,) = said_of(3, 900)
    assert said.startswith("supply.shipments.2.pallets: 900 pallets are more than")
    assert f"and shipments before it bring 3 of them: it brings {to_come - 3}; write {to_come - 3}" in said
