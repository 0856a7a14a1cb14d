"""Does every change that is tried of work that has begun start from the same field, with what was learned of it?"""

import pytest
from log_of_run import log_of_run
from scenarios import LITTLE, make_scenario

from simulation.construction import begins_at, compile_plan, simulate
from simulation.construction.plan.steps import ROW
from simulation.construction.trace.balance import balances
from simulation.questions.slip.delays import delayable_items
from simulation.scenario import Change, LogError, SiteLog, begin_by, read_team, vary
from simulation.study.changes.variations import variations


def begun(at=20.0):
    scenario = make_scenario(LITTLE)
    return begin_by(scenario, SiteLog("log.csv", log_of_run(scenario, simulate(compile_plan(scenario), 1, until=at), at)))


@pytest.mark.parametrize(
    "change", [("forklifts.count", "3"), ("forklifts.count", "1"), ("supply.trucks.1.count", "1"), ("crew.red.people", "20")]
)
def test_a_change_begins_from_the_same_field_and_loses_no_mat(change):
    scenario = begun()
    plan, other = compile_plan(scenario), compile_plan(vary(scenario, [Change(*change)]))
    assert [edge.laid for edge in other.state.edges] == [edge.laid for edge in plan.state.edges]
    assert other.learned == plan.learned
    done = simulate(other, 0)
    assert done.site.reached[-1] is not None
    assert all(mats.accounted == mats.supplied for mats in balances(done))


def test_crews_in_the_place_of_others_begin_where_nobody_stood():
    ((_, plain), (_, other)) = variations(begun(), [], [read_team("1x30")], run_count=2)
    plan = compile_plan(other)
    assert set(plan.state.crews) <= {-1, *compile_plan(plain).state.crews}
    assert simulate(plan, 0).site.reached[-1] is not None


def test_a_change_of_what_lies_there_is_refused():
    with pytest.raises(LogError, match="makes another field"):
        compile_plan(vary(begun(), [Change("area.strip.start", '"one-end"')]))


def test_a_delay_counts_from_the_moment_on_for_what_is_there_already():
    scenario = begun()
    assert begins_at(scenario) == 20.0
    (crew,) = delayable_items(scenario, ("crew.red",))
    assert [str(change) for change in crew.later(24.0)] == ["crew.red.from=44.0 h"]


def test_an_area_that_was_begun_before_what_it_joins_is_laid_on_from_there():
    text = "date,shift,crew,area,side,rows\n2031-04-02,06:00-12:00,red,strip,low,4\n2031-04-02,06:00-12:00,blue,pad,,6\n"
    plan = compile_plan(begin_by(make_scenario(LITTLE), SiteLog("log.csv", text)))
    done = simulate(plan, 0)
    assert done.site.reached[-1] is not None
    assert min(step[7] for step in done.site.trace if step[4] == ROW and step[6] == 2) > 6


def test_a_truck_on_the_road_brings_its_load_though_the_fleet_stays_away_afterwards():
    scenario = begun(3.0)
    state = compile_plan(scenario).state
    assert any(one.pallets for fleet in state.trucks for one in fleet)
    done = simulate(compile_plan(vary(scenario, [Change("supply.trucks.1.from", '"30 h"')])), 0)
    assert all(mats.accounted == mats.supplied for mats in balances(done))
