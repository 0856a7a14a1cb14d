"""A shipment that has not come by a log comes later: on a date that the log states, or on one of those that are left to it."""

import pytest
from scenarios import SHORT, make_scenario

from simulation.construction import compile_plan, dates_missed, simulate, tell_log
from simulation.construction.plan.steps import END, KIND, SHIPMENT
from simulation.scenario import Change, LogError, SiteLog, begin_by, vary

#: The start is at 06:00 on 2 April: nobody has laid a row by 22:00 of the next day, 40 h later.
HEAD = "date,shift,crew,people,rows,hours worked,pallets received,under way\n"
SHIP = {"pallets": 12, "comes": "30 h", "discharge": "6 min", "lot": 5}


def field(**ship):
    supply = {"on_hand": 0, "total": 12, "shipments": [SHIP | ship]}
    return make_scenario(SHORT, supply=supply, weather={"model": "none"}, top={"horizon": "60 day"})


def begun(said="", **ship):
    return begin_by(field(**ship), SiteLog("log.csv", f"{HEAD}2031-04-03,22:00,,,,,,{said}\n", "2031-04-03T22:00"))


def lands(scenario, runs):
    plan = compile_plan(scenario)
    done = (simulate(plan, number) for number in range(runs))
    return [next(step for step in run.site.trace if step[KIND] == SHIPMENT)[END] for run in done]


def test_one_that_missed_its_date_comes_on_the_next_with_its_chance_and_on_none_before():
    # 30 h is over, so it comes at 78 h in three runs of five, at 126 h in three of five of the others.
    hours = lands(begun(chance=0.6, again="48 h"), 300)
    assert set(hours) <= {30.0 + 48.0 * date for date in range(1, 12)}
    assert sum(hour == 78.0 for hour in hours) / 300 == pytest.approx(0.6, abs=3 * (0.24 / 300) ** 0.5)
    assert sum(hour == 126.0 for hour in hours) / 300 == pytest.approx(0.24, abs=3 * (0.18 / 300) ** 0.5)


@pytest.mark.parametrize("scenario", [field(chance=0.6, again="48 h"), begun(chance=0.6, again="48 h")])
def test_how_many_dates_it_missed_is_known_without_the_run(scenario):
    plan = compile_plan(scenario)
    missed = [dates_missed(plan, number, plan.seed)["supply.shipments.1"] for number in range(30)]
    assert [30.0 + 48.0 * count for count in missed] == lands(scenario, 30)
    assert len(set(missed)) > 1


def test_an_uncertain_date_that_is_not_over_stays_as_it_was_drawn_and_one_that_is_over_becomes_one_of_the_others():
    uncertain = {"comes": {"p10": "20 h", "p90": "60 h", "scatter": 0.2}}
    plain, now = lands(field(**uncertain), 300), lands(begun(**uncertain), 300)
    assert sum(hour > 40.0 for hour in plain) > 80 and all(hour > 40.0 for hour in now)
    assert all(after == before for after, before in zip(now, plain, strict=True) if before > 40.0)
    left = sorted(hour for hour in plain if hour > 40.0)
    drawn = sorted(after for after, before in zip(now, plain, strict=True) if before <= 40.0)
    middle = left[len(left) // 2]
    assert sum(hour <= middle for hour in drawn) / len(drawn) == pytest.approx(0.5, abs=0.12)


def test_the_date_that_a_log_states_holds_and_what_is_put_off_besides_counts_from_it():
    stated = begun("shipment 1 due 2031-04-05 06:00", comes={"p10": "20 h", "p90": "60 h"})
    assert lands(stated, 3) == [72.0] * 3
    slipped = vary(stated, [Change("supply.shipments.1.put_off", '"24 h"')])
    assert lands(slipped, 2) == [96.0] * 2
    unsure = lands(begun("shipment 1 due 2031-04-05 06:00", chance=0.5, again="48 h"), 200)
    assert set(unsure) <= {72.0 + 48.0 * date for date in range(12)}
    assert sum(hour == 72.0 for hour in unsure) / 200 == pytest.approx(0.5, abs=0.11)


def test_one_that_is_put_off_further_comes_so_much_later_than_it_would_have():
    late = begun(comes={"p10": "20 h", "p90": "60 h"})
    before, after = lands(late, 20), lands(vary(late, [Change("supply.shipments.1.put_off", '"24 h"')]), 20)
    assert [hour - 24.0 for hour in after] == pytest.approx(before)


def test_one_that_was_sure_to_have_come_comes_at_once_and_the_log_is_told_to_say_when_it_will():
    sure = begun()
    assert lands(sure, 2) == [40.0] * 2
    (said,) = [line for line in tell_log(sure).taken if line.startswith("shipment 1")]
    assert said.startswith("shipment 1 has not come: it is taken to come at once; write when it will under way")
    assert not [line for line in tell_log(begun("shipment 1 due 2031-04-05 06:00")).taken if line.startswith("shipment 1")]
    (said,) = [line for line in tell_log(begun(chance=0.5, again="1 day")).taken if line.startswith("shipment 1")]
    assert "one of its dates after the moment" in said


@pytest.mark.parametrize(
    ("said", "wrong"),
    [
        ("shipment 2 due 2031-04-05 06:00", "there is no shipment 2; there are 1"),
        ("shipment 1 due 2031-04-03 06:00", "shipment 1 was due before the line ends"),
        ("\n2031-04-02,12:00,,,,,,shipment 1 due 2031-04-03 06:00", "shipment 1 was due by then, and nothing came of it"),
    ],
)
def test_a_date_that_cannot_be_is_named(said, wrong):
    with pytest.raises(LogError) as error:
        compile_plan(begun(said))
    assert wrong in str(error.value.mistakes[0])
