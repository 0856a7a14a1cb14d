"""Changes are told so that their digits do not contradict them."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from invented_runs import invented_runs, invented_scenario

from simulation.present.file_names import file_stem
from simulation.present.words.change_format import (
    DAYS,
    HOURS,
    NO_SPREAD,
    POINTS,
    as_it_is,
    chance_in_words,
    choose_format,
    on_time_change,
    whole,
)
from simulation.stats.chances import estimate_chance
from simulation.stats.paired_difference import Difference
from simulation.study.outcomes import summarise_outcome

ENDS = st.lists(st.floats(-200, 200), min_size=3, max_size=3).map(sorted)


@given(ENDS, st.booleans())
def test_nothing_has_no_sign_and_no_interval_has_ends_that_read_alike(ends, points):
    low, value, high = ends
    value, interval = (POINTS if points else HOURS).cells(Difference(value, low, high))
    assert value.strip("()").lstrip("+-").strip("0.") or value.strip("()") == ("0" if points else "0.0")
    first, _, last = interval.partition(" to ")
    assert interval == NO_SPREAD or first != last


@given(ENDS)
def test_what_is_measurable_never_reads_as_zero(ends):
    low, value, high = ends
    change = Difference(value, low, high)
    cell, interval = HOURS.cells(change)
    assert cell.startswith("(") == (not change.measurable)
    if change.measurable:
        assert "0.0" not in (cell, *interval.split(" to "))


def test_an_interval_below_zero_is_told_by_its_size_where_the_sentence_says_which_way():
    assert HOURS.in_brackets(Difference(-2.0, -3.0, -1.0), turned=True) == "95 % interval 1.0 to 3.0"
    assert HOURS.of(-1.0) == "1.0 hour"
    assert HOURS.of(0.01) == "less than 0.1 hours"
    assert HOURS.ends(Difference(1.0, -1.0, 2.0), "later", "earlier") == "95 % interval 1.0 hour earlier to 2.0 hours later"


def test_a_short_construction_is_told_in_hours_a_long_one_in_days():
    assert choose_format(71.0) is HOURS
    assert choose_format(73.0) is choose_format(math.inf) is DAYS
    assert (HOURS.of(1.0), DAYS.of(36.0), DAYS.of(-0.1, False)) == ("1.0 hour", "1.5 days", "0.0 days")
    assert DAYS.interval(Difference(1.0, None, None)) == "-"
    assert (POINTS.text(-0.001), POINTS.interval(Difference(-0.001, -0.1, 0.2))) == ("0", "-10 to +20")


@pytest.mark.parametrize(("share", "text"), [(0.0, "0 %"), (0.001, "<1 %"), (0.5, "50 %"), (0.999, ">99 %"), (1.0, "100 %")])
def test_seldom_is_not_never(share, text):
    assert whole(share) == text


def test_few_runs_are_counted_and_bear_no_likelihood_word():
    assert chance_in_words(estimate_chance(18, 20)) == "in 18 of 20 runs (95 % interval 68 to 99 %)"
    assert chance_in_words(estimate_chance(90, 100)) == "90.0 % (95 % interval 82.4 to 95.1 %), very likely"


def test_a_chance_that_does_not_move_is_told_as_before():
    still = Difference(0.0, 0.0, 0.0)
    assert (
        on_time_change("9 d", estimate_chance(180, 200), estimate_chance(180, 200), still)
        == "ready by 9 d as before, 90 % (very likely)"
    )
    assert (
        on_time_change("9 d", estimate_chance(9, 20), estimate_chance(9, 20), still) == "ready by 9 d as before, in 9 of 20 runs"
    )
    untold = on_time_change("9 d", estimate_chance(180, 200), estimate_chance(181, 200), Difference(0.005, -0.01, 0.02))
    assert untold == ("ready by 9 d: 90 % (very likely) as before, no measurable change (points: 95 % interval -1 to +2)")
    told = on_time_change("9 d", estimate_chance(5, 20), estimate_chance(9, 20), Difference(0.2, 0.05, 0.35))
    assert told == "ready by 9 d: in 9 of 20 runs instead of 5, +20 points (95 % interval +5 to +35)"


def test_files_are_named_by_what_was_asked_and_stay_short():
    assert file_stem("slip") == "slip"
    assert file_stem("slip", ["supply"]) == "slip_supply"
    assert file_stem("slip", ["supply.trucks.1", 'crew.blue "b"/..']) == "slip_supply-trucks-1_crew-blue-b"
    long = [file_stem("slip", [f"crew.{'x' * 80}{end}"]) for end in "ab"]
    assert len(set(long)) == 2
    assert max(map(len, long)) < 60


def test_a_quantile_that_has_no_limit_on_either_side_is_not_said_to_have_no_spread():
    outcome = summarise_outcome("few", invented_scenario(), invented_runs(invented_scenario(), 2), None)
    assert (outcome.p80.low, outcome.p80.high) == (None, None)
    assert NO_SPREAD not in as_it_is(outcome)
    assert "no limit to no limit with so few runs" in as_it_is(outcome)
