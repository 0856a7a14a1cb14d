"""What comes back of a field by its drawing alone: as many mats as lie, on the fewest pallets that hold them."""

import math

import pytest
from scenarios import LITTLE, make_scenario

from simulation.field import take_off
from simulation.field.coming_back import count_coming_back


def test_all_that_lies_comes_back_by_state_on_whole_pallets_of_one_size():
    scenario = make_scenario(LITTLE, take_up={"to_repair": 0.04, "scrap": 0.01})
    found, laid, mat = count_coming_back(scenario), take_off(scenario), scenario.mat
    assert (found.full, found.half, found.square_feet) == tuple(map(laid.total, ("full", "half", "square_feet")))
    assert [one.state for one in found.by_state] == ["good", "to be repaired", "scrap"]
    assert [one.full / found.full for one in found.by_state] == pytest.approx([0.95, 0.04, 0.01])
    holds = 2 * mat.pallet_full + mat.pallet_half
    for one in found.by_state:
        assert one.pallets == math.ceil(one.full / (holds // 2)) + math.ceil(one.half / holds)
        assert one.mass == pytest.approx((one.full + one.half / 2) * mat.mass + one.pallets * mat.dunnage)
    assert found.loads.by[0].loads == math.ceil(found.pallets / scenario.supply.trucks[0].pallets)


def test_areas_that_stay_do_not_come_back():
    scenario = make_scenario(LITTLE, take_up={"areas": ["pad"]})
    assert count_coming_back(scenario).square_feet == 40 * 96
