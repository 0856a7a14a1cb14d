"""Both sites of a move: no mat is lost, more stock makes nothing later, and what need not be moved is as good as on hand."""

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from scenarios import LEAST, make_scenario

from simulation.construction import simulate
from simulation.construction.plan.plan_parts import Arrival
from simulation.construction.plan.steps import END
from simulation.questions.move.answer import move_answer
from simulation.questions.move.on_the_way import GOOD
from simulation.questions.move.second_site import plan_second
from simulation.questions.move.sentences import middle, move_headline, move_lines, split_words, stock_words
from simulation.questions.move.study import move
from simulation.questions.studies.answer import studies_answer
from simulation.replicate.repeating import repeat
from simulation.replicate.store import Store, StoreError
from simulation.scenario import ScenarioError
from simulation.study.run_context import RunContext

QUICK = {"time": "1 h"}


def first(**tables):
    tables = {"supply": {"on_hand": 80}, "weather": {"model": "none"}, **tables}
    return make_scenario(LEAST, **tables)


def second(on_hand=20, **tables):
    tables = {"supply": {"on_hand": on_hand}, "weather": {"model": "none"}, "leg": QUICK, "top": {"seed": 9}, **tables}
    return make_scenario(LEAST, **tables)


def moved(here=None, there=None, runs=4):
    return move(here or first(), there or second(), RunContext(runs=runs, workers=1))


def test_full_and_half_mats_are_kept_through_both_sites():
    result = moved(here=first(take_up={"scrap": 0.05}), there=second(on_hand=30, leg={"load": 7, "arrives": 0.6, "time": "3 h"}))
    for run in result.asked.runs:
        for kind, full in enumerate((True, False)):
            up = {state: count for (state, whole), count in run.taken.mats.items() if whole == full}
            assert sum(up.values()) == result.laid[kind]
            sent = sum(pallet[kind] for load in run.way.loads for pallet in load.pallets)
            lost = sum(pallet[kind] for load in run.way.loads if load.lost for pallet in load.pallets)
            assert sent == up[GOOD]
            assert run.way.mats()[kind] == sent - lost
    assert any(load.lost for run in result.asked.runs for load in run.way.loads)


def test_a_move_without_a_way_of_what_is_up_already_is_laying_with_all_on_hand_to_the_digit():
    here = first(top={"starts": "2031-03-01T06:00:00"}, take_up={"scrap": 0.0, "to_repair": 0.0})
    result = moved(here, second(leg={"time": "0 h", "load": 1}))
    plan = replace(plan_second(result.second), seed=result.seeds[1])
    for number, run in enumerate(result.asked.runs):
        there = tuple(pallet for load in run.way.loads for pallet in load.pallets)
        supply = replace(plan.supply, arrivals=(Arrival(-1.0, there),))
        laid = simulate(replace(plan, supply=supply), number).site.reached[plan.ready]
        assert laid[END] - result.asked.shift == result.asked.without[number]


def test_a_way_that_takes_longer_opens_the_second_site_later_by_no_more():
    short, long = (moved(there=second(leg={"time": hours})).asked.without for hours in ("10 h", "58 h"))
    assert np.all(long > short)
    assert np.all(long - short <= 48.0 + 24.0)


def test_more_stock_makes_nothing_later():
    result = moved(there=second(on_hand=5), runs=12)
    middles = [middle(row.without) for row in (result.asked, *result.stocks)]
    assert all(more <= less + 0.5 for less, more in pairwise(middles))
    assert middles[-1] < middles[0]


def test_a_load_that_is_lost_is_made_up_by_an_order_that_comes_later():
    sure, unsure = (moved(there=second(leg={"arrives": share, "time": "3 h", "load": 20})).asked for share in (1.0, 0.3))
    assert sure.ordered == 0.0 and unsure.ordered > 0.5
    assert middle(unsure.without) >= middle(sure.without) + 4 * 24.0  # five days of resupply


def test_no_more_loads_leave_on_a_day_than_may():
    result = moved(there=second(leg={"load": 10, "per_day": 1, "time": "1 h"}))
    for run in result.asked.runs:
        days = [math.floor((load.leaves + 6.0) / 24.0 + 1e-9) for load in run.way.loads]
        assert len(days) == len(set(days)) > 3


def test_crews_that_come_from_the_first_site_lay_no_row_before_it_is_up():
    result = moved(there=second(on_hand=60, leg={"time": "1 h", "crews": ["red"], "people_time": "10 h"}))
    assert result.splits == ()
    for run in result.asked.runs:
        begun = min(hour for hour, _ in run.laid.covered) - result.asked.shift
        assert begun > run.taken.rows_up + 10.0


def test_forklifts_that_come_from_the_first_site_carry_nothing_before_the_last_pallet_has_left_it():
    result = moved(there=second(on_hand=60, leg={"time": "1 h", "forklifts": 3, "people_time": "10 h"}))
    for run in result.asked.runs:
        assert min(hour for hour, _ in run.laid.covered) - result.asked.shift > run.taken.in_yard + 10.0


def test_a_second_site_that_needs_more_than_will_ever_come_is_refused_by_kind():
    long = {"area": [{"name": "strip", "length": "400 ft", "width": "66 ft"}]}
    with pytest.raises(ScenarioError, match=r"more is needed than will ever come: [\d,]+ full mats and [\d,]+ half"):
        moved(there=second(on_hand=2, **long))
    assert moved(there=second(on_hand=40, **long), runs=1).runs == 1


def test_other_mats_are_refused():
    with pytest.raises(ScenarioError, match=r"mat.full: 10 ft here and 12 ft at the first site: these are other mats"):
        moved(there=second(mat={"full": "10 ft", "half": "5 ft"}, area=[{"name": "strip", "length": "200 ft", "width": "60 ft"}]))


def test_each_way_is_what_the_files_say_when_it_is_written_into_them():
    result = moved(runs=6)
    stocked = result.stocks[1]
    on_hand = stocked.way.second.supply.on_hand
    assert stocked.way.keys == f"supply.on_hand = {on_hand} here"
    assert moved(there=second(on_hand=on_hand), runs=6).asked.without.tolist() == stocked.without.tolist()


def test_both_files_with_one_seed_have_luck_of_their_own():
    result = moved(there=second(top={"seed": first().seed}), runs=1)
    assert result.seeds == (first().seed, first().seed + 1)
    assert move(first(), second(), RunContext(runs=1, seed=5, workers=1)).seeds == (5, 6)


def test_what_is_said_agrees_with_the_table(monkeypatch):
    for module in ("simulation.questions.move.sentences", "simulation.stats.paired_difference"):
        monkeypatch.setattr(f"{module}.FEWEST", 10)
    result = moved(there=second(on_hand=5), runs=12)
    assert f"{middle(result.asked.without) / 24:.1f} days (P50)" in move_headline(result)
    gain = [row for row in result.stocks if row.way.name in stock_words(result)]
    assert gain and f"{-result.against(gain[0]).value / 24:.1f} days sooner" in stock_words(result)
    assert split_words(result) in move_lines(result)
    stands = [run.taken.most[0] for run in result.asked.runs]
    said = f"the yard of the first site never holds more than {sorted(stands)[9]} pallets at once in four runs of five"
    assert any(said in line for line in move_lines(result))


def test_a_few_runs_call_no_way_better():
    few = moved(there=second(on_hand=5), runs=3)
    assert "Fewer than 20 runs do not say" in move_lines(few)[-1]
    changes = [few.against(row) for row in few.stocks]
    assert any(change.value for change in changes)
    assert all(change.low is None or change.low == change.high == 0.0 for change in changes)
    (ways,) = [
        block
        for part in move_answer(few).pages[0].parts
        for block in part.blocks
        if "change of P50" in getattr(block, "columns", ())
    ]
    assert all(" to " not in row[3] or row[3] == "+0.0 (+0.0 to +0.0)" for row in ways.rows)


def test_a_second_site_that_is_never_done_says_so():
    result = moved(there=second(top={"horizon": "1 day", "seed": 9}, leg={"time": "20 day"}, supply={"on_hand": 5}), runs=2)
    assert "raise its horizon" in move_headline(result)


def test_what_is_ordered_makes_up_for_what_is_missing_with_the_spares_of_the_site():
    spared = second(on_hand=20, leg={"arrives": 0.5, "time": "3 h", "load": 10}, supply={"on_hand": 20, "spares": 0.1})
    result = moved(there=spared, runs=6)
    holds = spared.mat.pallet_full, spared.mat.pallet_half
    for run in result.asked.runs:
        pallets = 20 + sum(count for _, count in run.way.ordered)
        has = [run.way.mats()[kind] + pallets * holds[kind] for kind in (0, 1)]
        assert all(has[kind] >= 1.1 * result.needs[kind] for kind in (0, 1))
        less = [run.way.mats()[kind] + (pallets - 1) * holds[kind] for kind in (0, 1)]
        assert not run.way.ordered or any(less[kind] < 1.1 * result.needs[kind] for kind in (0, 1))
    assert any(run.way.ordered for run in result.asked.runs)


def test_a_second_site_that_starts_after_all_has_come_says_that_its_start_makes_the_days_without_a_field():
    late, alike = moved(there=second(top={"starts": "2031-05-02T06:00:00", "seed": 9})), moved()
    earlier = moved(there=second(top={"starts": "2031-04-22T06:00:00", "seed": 9}))
    assert late.asked.starts_later == 30 * 24.0 and ", 30.0 of them before the second site starts" in move_headline(late)
    assert "Fri 2 May 2031, 30.0 days after the first site closes; all loads are there before it (P50), so" in move_lines(late)[1]
    assert middle(earlier.asked.without) < middle(late.asked.without) - 9 * 24.0
    assert alike.asked.starts_later == 0 and not any("starts" in line for line in (move_headline(alike), *move_lines(alike)[1:]))


def test_where_crews_come_from_the_first_site_the_answer_says_why_no_split_is_tried():
    result = moved(there=second(leg=QUICK | {"crews": ["red"]}), runs=2)
    assert move_answer(result).pages[0].parts[1].title.startswith("More stock: days")
    assert any("crew red comes from the first site when it is up (leg.crews)." in line for line in move_lines(result))
    assert move_answer(moved(runs=2)).pages[0].parts[1].title.startswith("Other splits of people")


@pytest.mark.slow
def test_two_workers_move_a_field_to_the_digit_as_one_does():
    """Packing of a run's record is the same in process, so each test above covers it."""
    one, two = (move(first(), second(), RunContext(runs=8, workers=workers)) for workers in (1, 2))
    assert rows_of(one) == rows_of(two)


def rows_of(result):
    return result.asked.runs, [row.reached for row in (result.asked, *result.splits, *result.stocks)]


def test_a_second_ask_does_no_run_and_reads_all_of_them_again_to_the_bit(tmp_path):
    done, told = [], []
    here, there = first(take_up={"scrap": 0.05}), second(leg={"load": 7, "arrives": 0.6, "time": "3 h"})

    def ask(runs, laid=there, **more):
        context = {"workers": 1, "folder": tmp_path, "progress": lambda there, _: done.append(there), "tell": told.append}
        return move(here, laid, RunContext(runs=runs, **context | more))

    fresh = ask(3)
    assert done[-1] == 3
    done.clear()
    assert rows_of(ask(3)) == rows_of(fresh) == rows_of(ask(3, folder=None, progress=None))
    assert not done and told == [f"3 runs of this study are kept in {tmp_path} already"]
    more = ask(4)
    assert done == [4] and more.asked.runs[:3] == fresh.asked.runs
    done.clear()
    ask(1, second(leg={"load": 7, "arrives": 0.6, "time": "4 h"}))
    ask(1, seed=7)
    assert done == [1, 1]


def test_a_kept_move_is_listed_by_what_it_is_and_repeat_leaves_it_to_move(tmp_path):
    move(first(), second(top={"title": "New strip"}), RunContext(runs=1, workers=1, folder=tmp_path))
    with Store(tmp_path, reading=True) as store:
        manifests = store.manifests()
    (table,) = studies_answer(tmp_path, manifests).pages[0].parts[0].blocks
    assert table.rows[0][0] == f"{first().title} moved to New strip"
    with pytest.raises(StoreError, match="there is no study yet"):
        repeat(tmp_path)
    with pytest.raises(StoreError, match=r"study 1 is of .* moved to New strip; ask that again"):
        repeat(tmp_path, 1)
