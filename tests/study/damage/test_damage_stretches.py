"""What is said of an area falls on its stretches, whole, wherever ramps and touchdown zones lie."""

import pytest
from scenarios import LEAST, make_scenario

from simulation.field import make_rows
from simulation.study.damage.damage_stay import STRETCH, list_stretches


@pytest.mark.parametrize("touchdown", ["40 ft", "145 ft", "150 ft"])
@pytest.mark.parametrize("ramps", [False, True])
def test_rates_of_the_stretches_sum_to_what_is_said_of_the_area(touchdown, ramps):
    area = {"name": "strip", "length": "300 ft", "width": "72 ft", "end_ramps": ramps}
    damage = {"per_day": 0.3, "per_1000_landings": 5.0, "landings": 40.0, "touchdown": touchdown, "touchdown_share": 0.7}
    scenario = make_scenario(LEAST, area=[area], damage=damage)
    stretches = list_stretches(scenario.damage, make_rows(scenario.area[0], scenario.mat))
    ramp = 10.0 if ramps else 0.0
    assert [one.low for one in stretches] == pytest.approx([ramp, *(one.high for one in stretches[:-1])])
    assert stretches[-1].high == 300.0 - ramp
    assert max(one.high - one.low for one in stretches) <= STRETCH + 1e-9
    assert sum(one.a_day for one in stretches) == pytest.approx(0.3)
    assert sum(one.by_landings for one in stretches) == pytest.approx(0.2)
    zone = min(scenario.damage.touchdown, 150.0 - ramp)
    ends = [one for one in stretches if one.high <= ramp + zone + 1e-9]
    inside = 0.5 * (0.7 if zone < 150.0 - ramp else 1.0)
    assert sum(one.by_landings for one in ends) == pytest.approx(0.2 * inside)
