"""Mats that have lain before are set aside as damaged ones are, and more of them are ordered."""

import math

import pytest
from scenarios import LITTLE, make_scenario

from simulation.construction import compile_plan, simulate
from simulation.construction.trace.balance import balances
from simulation.field import take_off
from simulation.scenario import ScenarioError

NEW = {"laying": {"damaged_mats": 0.0}}


def scenario(**used):
    return make_scenario(LITTLE, **NEW, used_mats=used) if used else make_scenario(LITTLE, **NEW)


def rejected(field, runs=20):
    plan = compile_plan(field)
    return [simulate(plan, run).stock for run in range(runs)]


def test_the_share_set_aside_is_that_of_bent_and_scrap_less_what_was_straightened():
    field = scenario(share=0.8, bent=0.10, scrap=0.05, straightened=0.4)
    stocks = rejected(field)
    aside = sum(stock.rejected_full + stock.rejected_half for stock in stocks)
    laid = sum(stock.need_full + stock.need_half for stock in stocks)
    expected = 0.8 * (0.05 + 0.10 * 0.6)
    assert aside / laid == pytest.approx(expected, abs=4 * math.sqrt(expected * (1 - expected) / laid))
    assert not any(stock.rejected_full for stock in rejected(scenario(), 3))


def test_used_mats_and_damage_set_mats_aside_independently():
    both = make_scenario(LITTLE, laying={"damaged_mats": 0.1}, used_mats={"bent": 0.0, "scrap": 0.2})
    one = make_scenario(LITTLE, laying={"damaged_mats": 1 - 0.9 * 0.8})
    assert [stock.rejected_full for stock in rejected(both, 5)] == [stock.rejected_full for stock in rejected(one, 5)]


def test_the_order_makes_up_for_what_cannot_be_laid():
    new, used = take_off(scenario()).to_order, take_off(scenario(bent=0.08, scrap=0.02)).to_order
    assert (used.needed, used.spares) == (new.needed, new.spares)
    assert used.used > 0 and new.used == 0
    per_kind = take_off(scenario(bent=0.08, scrap=0.02))
    mat = scenario().mat
    needs = [(per_kind.total("full"), mat.pallet_full), (per_kind.total("half"), mat.pallet_half)]
    assert used.mats == max(math.ceil(need * (1.0 + used.share) / 0.9 / on) for need, on in needs)


def test_no_mat_appears_or_disappears():
    run = simulate(compile_plan(scenario(bent=0.2, scrap=0.1)), 0)
    for balance in balances(run):
        assert balance.supplied == balance.accounted


def test_a_share_that_can_rise_above_half_is_refused():
    with pytest.raises(ScenarioError, match=r"used_mats.scrap: can rise above 0.5"):
        scenario(scrap=0.6)
