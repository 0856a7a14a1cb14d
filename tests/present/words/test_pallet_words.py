"""Every number of pallets is the sum to order or a part of it, and what the scenario plans is held against it."""

import re

import pytest
from scenarios import SHORT

from simulation.field import take_off
from simulation.present.words.pallet_words import lopsided_in_words, parts_of, planned_in_words, to_order_in_words
from simulation.questions.takeoff.answer import takeoff_answer
from simulation.questions.takeoff.record import takeoff_record
from simulation.scenario import Change, load_scenario, parse_scenario, vary
from simulation.scenario.reading.reading import shipped

SCENARIOS = ("first_look", "night_and_heat", "railed_strip", "relief_strip")


def numbers(text):
    return [int(one.replace(",", "")) for one in re.findall(r"(?<![\w.])\d[\d,]*(?! %)(?![\w.]*%)", text)]


@pytest.mark.parametrize("name", SCENARIOS)
def test_the_parts_of_what_is_to_be_ordered_add_up_to_it_in_numbers_and_in_words(name):
    scenario = load_scenario(shipped(name))
    quantities = take_off(scenario)
    found = quantities.to_order
    assert found.total == sum(count for _, count in parts_of(found)) == quantities.ordered.total_pallets
    whole, *parts = numbers(to_order_in_words(quantities))
    assert whole == sum(parts) == found.total
    assert found.mats == quantities.order.pallets
    record = takeoff_record(quantities, scenario)["to_order"]
    assert record["total"] == record["needed"] + record["spares"] + sum(count for _, count in record["others"])


@pytest.mark.parametrize("name", SCENARIOS)
def test_what_is_on_hand_and_what_is_delivered_add_up_to_what_is_planned(name):
    scenario = load_scenario(shipped(name))
    quantities = take_off(scenario)
    planned, on_hand, deliveries, *_ = numbers(planned_in_words(quantities))
    assert planned == on_hand + deliveries == quantities.comes
    assert quantities.loads.pallets == deliveries + quantities.to_order.beside


@pytest.mark.parametrize(("planned", "more"), [(12, 1), (30, 19)])
def test_more_planned_than_to_order_is_said_with_how_many(planned, more):
    changes = [Change("supply.total", str(planned)), Change("supply.on_hand", str(planned))]
    words = planned_in_words(take_off(vary(parse_scenario(SHORT), changes)))
    assert f"{more} more than the 11 of mats to order" in words


def test_fewer_planned_than_to_order_is_said_with_the_spares_that_are_left():
    scenario = parse_scenario(SHORT)
    need = take_off(scenario).to_order.needed
    few = [Change("supply.on_hand", str(need)), Change("supply.total", str(need))]
    assert "1 fewer than the 11 of mats to order, which leaves no spare" in planned_in_words(take_off(vary(scenario, few)))
    many = [*few, Change("supply.spares", "0.5"), Change("supply.total", str(need + 1)), Change("supply.on_hand", str(need + 1))]
    assert "which leaves 1 spare pallet." in planned_in_words(take_off(vary(scenario, many)))


def test_a_scenario_that_says_no_total_plans_what_is_to_be_ordered():
    scenario = vary(parse_scenario(SHORT), [Change("supply.on_hand", "11")])
    assert "11 in deliveries" not in planned_in_words(take_off(scenario))
    assert planned_in_words(take_off(scenario)).startswith(
        "The scenario plans 11 pallets of mats, 11 on hand at the start and 0 in deliveries: the mats to order, spares included."
    )


@pytest.mark.parametrize("pools", ["field", "areas"])
def test_pallets_that_come_for_their_half_mats_alone_are_said_with_a_mix_whose_order_is_that_of_its_own_take_off(pools):
    scenario = vary(load_scenario(shipped("railed_strip")), [Change("supply.pools", pools)])
    quantities = take_off(scenario)
    (said,) = lopsided_in_words(quantities)
    extra, mats, ordered, more, full, half, in_all = numbers(said)
    assert mats == quantities.order.pallets
    assert ordered == mats * scenario.mat.pallet_full == quantities.total("full") + more
    assert extra < mats / 2
    other = take_off(vary(scenario, [Change("mat.pallet_full", str(full)), Change("mat.pallet_half", str(half))]))
    assert in_all == other.to_order.total < quantities.to_order.total - 100
    assert "come for their half mats alone" in said
    assert said in " ".join(takeoff_answer(scenario, quantities).lines)


def test_where_full_mats_decide_and_few_half_ones_are_left_over_nothing_is_said_of_the_mix():
    assert lopsided_in_words(take_off(load_scenario(shipped("first_look")))) == []


def test_full_mats_too_may_decide_and_the_other_mix_holds_more_of_them():
    many = [Change("mat.pallet_full", "6"), Change("mat.pallet_half", "12")]
    quantities = take_off(vary(load_scenario(shipped("first_look")), many))
    (said,) = lopsided_in_words(quantities)
    assert "come for their full mats alone" in said
    assert quantities.lopsided.full > 6
