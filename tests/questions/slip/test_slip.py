"""What comes late costs its whole delay where all waits for it, and less where there is slack."""

import math
from dataclasses import replace

import pytest
from fields import TRUCK, bound, by_crew, by_haul

from simulation.questions.slip.delays import delayable_items, read_delays
from simulation.questions.slip.sentences import costliest, row_line, slip_lines
from simulation.questions.slip.study import slip
from simulation.scenario import ScenarioError, parse_scenario
from simulation.study.run_context import RunContext

RUNS = 20


@pytest.mark.parametrize("since", ["0 h", "5 h"])
def test_where_nothing_but_the_supply_drives_every_delivery_late_by_a_day_costs_a_day(since):
    found = slip(by_haul(since=since), RunContext(runs=RUNS, workers=1, deadline="30 h"), what=["supply"], by="1 h,1 day..3 day")
    assert [one.trial.delay.hours for one in found.rows] == [1.0, 24.0, 48.0, 72.0]
    for one in found.rows:
        for change in (one.against.p50, one.against.p80, one.against.mean):
            assert (change.value, change.low, change.high) == pytest.approx((one.trial.delay.hours,) * 3, abs=1e-6)
    assert [one.outcome.chance.probability for one in found.rows] == [1.0, 0.0, 0.0, 0.0]
    assert [one.against.chance.value for one in found.rows] == [0.0, -1.0, -1.0, -1.0]
    assert slip_lines(found)[0].startswith(
        "Every delivery 3 days late: the 80 % date moves 72.0 hours later (95 % interval: no spread), day for day; "
        "ready by 30 h: in 0 of 20 runs instead of 20, -100 points (95 % interval: no spread)."
    )


def half_on_hand(**more):
    """A crew that lays the 12 pallets on hand in 6.5 hours, while one truck brings the other 12 after three."""
    return bound(laying={"place": "10 min"}, supply={"on_hand": 12}, supply__trucks=[{**TRUCK, **more}])


def test_what_comes_while_there_is_slack_costs_only_what_goes_beyond_it():
    found = slip(half_on_hand(), RunContext(runs=RUNS, workers=1), what=["supply"], by="2 h,10 h")
    # Four teams place 156 mats of ten minutes before the first pallet is missed.
    slack = 156 / 4 / 6 - 3.0
    short, long = found.rows
    assert short.identical
    assert short.against.p80.value == pytest.approx(0.0, abs=1e-9)
    assert long.against.p80.value == pytest.approx(10.0 - slack, abs=1e-3)
    assert "% of the delay; the rest is absorbed" in slip_lines(found)[0]


def test_the_delay_of_what_nobody_waits_for_changes_no_run():
    found = slip(by_crew(), RunContext(runs=RUNS, workers=1), what=["forklift"], by="1 day")
    assert found.rows[0].identical
    assert slip_lines(found)[0] == "One forklift 1 day late: no difference, no run of 20 is ready at another hour."


def test_a_crew_alone_that_comes_late_costs_the_delay_hour_for_hour():
    found = slip(by_crew(), RunContext(runs=RUNS, workers=1), what=["crew.red"], by="12 h..48 h:12 h")
    assert [one.against.p80.value for one in found.rows] == pytest.approx([12.0, 24.0, 36.0, 48.0], abs=1e-6)


def test_what_comes_after_the_horizon_is_said_to_lie_beyond_it():
    found = slip(by_crew(), RunContext(runs=RUNS, workers=1), what=["crew.red"], by="70 day")
    assert found.rows[0].against.p80.value is None
    said = slip_lines(found)
    assert said[0] == "Crew red 70 days late: the 80 % date lies after the last day simulated; 20 of 20 runs not ready by then."
    assert said[1] == (
        "Not there before the end of the 60 days simulated, as if never: crew red when 70 days late; write a later horizon, "
        "or a shorter delay."
    )
    assert found.rows[0].trial.parts_beyond == 1


def test_of_two_that_go_past_the_last_day_simulated_the_one_that_more_of_its_own_runs_do_costs_most():
    found = slip(by_crew(), RunContext(runs=RUNS, workers=1), what=["crew.red"], by="70 day")
    (all_late,) = found.rows
    one_late = replace(all_late, outcome=replace(all_late.outcome, hours=(math.inf, 30.0, 31.0, 32.0)))
    assert row_line(found, one_late).endswith("1 of 4 runs not ready by then.")
    assert costliest([one_late, all_late]) is all_late


def test_what_the_scenario_itself_brings_after_the_horizon_is_named():
    found = slip(by_crew(crew={"from": "61 day"}), RunContext(runs=2, workers=1), what=["crew.red"], by="1 day")
    assert found.never_there == ("crew red",)
    said = slip_lines(found)
    assert said[0] == "Crew red 1 day late: the 80 % date lies after the last day simulated, as it does without the delay."
    assert said[1] == "By the current plan, crew red: not there before the end of the 60 days simulated, as if never."


@pytest.mark.parametrize(
    ("text", "hours"),
    [
        ("1 day", [24.0]),
        ("1 day,2 day,5 day", [24.0, 48.0, 120.0]),
        ("5 day, 1 day", [24.0, 120.0]),
        ("1 day..5 day", [24.0, 48.0, 72.0, 96.0, 120.0]),
        ("1 day .. 2.5 day", [24.0, 48.0]),
        ("12 h..48 h:12 h", [12.0, 24.0, 36.0, 48.0]),
        ("1 day..3 day,2 day,90 min", [1.5, 24.0, 48.0, 72.0]),
    ],
)
def test_delays_are_read_as_lists_and_as_ranges(text, hours):
    assert [one.hours for one in read_delays(text)] == pytest.approx(hours)


def test_whole_days_are_told_in_days_and_all_else_in_hours():
    assert [one.text for one in read_delays("1 h,90 min,12 h,1 day,36 h,2 day")] == [
        "1 hour",
        "1.5 hours",
        "12 hours",
        "1 day",
        "36 hours",
        "2 days",
    ]


@pytest.mark.parametrize(
    ("text", "complaint"),
    [
        ("", '"" is no delay'),
        ("2", '"2" is no delay'),
        ("1 kg", '"1 kg" is no delay'),
        ("0 h", '"0 h" is not late'),
        ("-1 day", '"-1 day" is not late'),
        ("1 day,", '"" is no delay'),
        ("5 day..1 day", "5 day..1 day runs backwards"),
        ("1 h..9 day:1 min", "holds 12,900 delays"),
        ("1 day..20 day,30 day..50 day", "41 delays are too many"),
    ],
)
def test_a_delay_that_cannot_be_read_is_refused_in_one_line(text, complaint):
    with pytest.raises(ScenarioError) as refused:
        read_delays(text)
    assert refused.value.file == "by"
    assert complaint in str(refused.value)
    assert "\n" not in str(refused.value)


def changes(scenario, name, hours=24.0):
    (late,) = delayable_items(scenario, (name,))
    return [str(change) for change in late.later(hours)]


MUCH = """
[[area]]
name = "strip"
length = "96 ft"
width = "72 ft"
[[crew]]
name = "red"
people = 12
areas = ["strip"]
from = "6 h"
[[crew]]
name = 'blue "b".1'
people = 12
areas = ["strip"]
[forklifts]
count = 3
from = ["1 h"]
[supply]
[[supply.trucks]]
count = 1
haul = "1 h"
return = "1 h"
from = "2 h"
[[supply.flights]]
pallets = 12
first = "8 h"
[grading]
done = 0.5
"""


def test_a_delay_is_added_to_what_the_scenario_says():
    scenario = parse_scenario(MUCH)
    assert changes(scenario, "supply") == ["supply.trucks.1.from=26.0 h", "supply.flights.1.first=32.0 h"]
    assert changes(scenario, "supply.flights.1") == ["supply.flights.1.first=32.0 h"]
    assert changes(scenario, "grading") == ["grading.from=24.0 h"]
    assert changes(scenario, "forklift") == ['forklifts.from=["1.0 h", "0.0 h", "24.0 h"]']
    assert changes(scenario, "forklifts") == ['forklifts.from=["25.0 h", "24.0 h", "24.0 h"]']
    assert changes(scenario, "crew.red") == ["crew.red.from=30.0 h"]
    assert len(changes(scenario, "crews")) == 2


def test_every_delay_of_every_thing_can_be_simulated_whatever_its_name():
    found = slip(
        parse_scenario(MUCH),
        RunContext(runs=2, workers=1),
        what=['crew.blue "b".1', "crews", "supply", "forklifts", "grading"],
        by="1 day",
    )
    assert [one.trial.late.name for one in found.rows] == ['crew.blue "b".1', "crews", "supply", "forklifts", "grading"]


def test_by_default_every_kind_of_thing_comes_late_once():
    names = [one.name for one in delayable_items(parse_scenario(MUCH))]
    assert names == ["supply", "grading", "forklift", "crew.red", 'crew.blue "b".1']
    assert [one.name for one in delayable_items(by_crew())] == ["forklift", "crew.red"]


@pytest.mark.parametrize(
    ("name", "complaint"),
    [
        ("supply", "nothing is delivered: all pallets are on hand"),
        ("grading", "no ground is left to grade"),
        ("crew.rde", 'nothing called "crew.rde" can come late; did you mean crew.red?'),
    ],
)
def test_what_is_not_there_cannot_come_late(name, complaint):
    with pytest.raises(ScenarioError) as refused:
        delayable_items(by_crew(), (name,))
    assert refused.value.file == "what"
    assert complaint in str(refused.value)


def test_a_shipment_is_asked_for_by_its_name_and_a_refusal_knows_it():
    ships = [{"name": name, "pallets": 1, "comes": "1 h"} for name in ("barge", "tug")]
    one = bound(supply={"on_hand": 12}, supply__trucks=[TRUCK], supply__shipments=ships)
    assert [late.name for late in delayable_items(one, ("tug", "shipment barge", "supply.shipments.2"))] == [
        "supply.shipments.2",
        "supply.shipments.1",
    ]
    with pytest.raises(ScenarioError, match="did you mean barge"):
        delayable_items(one, ("bargee",))
