"""How do pallets come: by truck, by flight, under a limit, and again when they do not suffice?"""

import math
from collections import Counter, defaultdict

import pytest
from scenarios import strip
from small_runs import in_every_random_field, random_run, run, steps

from simulation.construction.actors.delivery import next_day
from simulation.construction.plan.steps import ACTOR, BECAUSE, END, KIND, LOAD, NUMBER, START, WORK
from simulation.construction.trace.chain import hours_by_cause, losses
from simulation.questions.replay.forklift_jobs import list_consignments

TRUCK = {"count": 1, "pallets": 12, "load": "1 h", "haul": "2 h", "return": "90 min"}


def test_a_truck_loads_drives_is_unloaded_and_drives_back():
    done = run(strip(supply={"on_hand": 0, "total": 30}, supply__trucks=[TRUCK]))
    mine = [step for step in done.site.trace if step[ACTOR] >= 0 and done.actors[step[ACTOR]].kind == "truck"]
    names = ["loading at the port", "haul", "trucks returning"]
    expected = [step for trip in zip(*(steps(done, name) for name in names), strict=True) for step in trip]
    assert mine == expected
    assert [step[WORK] for step in mine] == [1.0, 2.0, 1.5] * 3
    assert [step[NUMBER] for step in mine] == [0, 0, 0, 1, 1, 1, 2, 2, 2]
    unloading = steps(done, "unloading")
    assert [way_back[BECAUSE] for way_back in steps(done, "trucks returning")] == unloading


def test_the_last_load_is_what_is_left_at_the_port():
    done = run(strip(supply={"on_hand": 0, "total": 30}, supply__trucks=[TRUCK]))
    assert [step[WORK] for step in steps(done, "unloading")] == pytest.approx([0.6, 0.6, 0.3], rel=0.05)  # 12, 12 and 6 pallets
    assert done.stock.incoming == done.stock.to_come == 0


def test_trucks_of_two_fleets_share_what_is_at_the_port():
    slow = {**TRUCK, "count": 2, "pallets": 5, "haul": "4 h"}
    done = run(strip(supply={"on_hand": 0, "total": 60}, supply__trucks=[TRUCK, slow]))
    loads = Counter(done.actors[step[ACTOR]].name for step in steps(done, "loading at the port"))
    assert set(loads) == {"1.1", "2.1", "2.2"}
    assert sum(done.stock.through_gate.values()) == 60
    assert done.stock.supplied == 60


def test_flights_land_by_their_timetable_whether_or_not_the_last_load_is_off():
    flights = [{"pallets": 10, "first": "5 h", "every": "2 h"}]
    done = run(strip(supply={"on_hand": 0, "total": 30}, supply__flights=flights, forklifts={"count": 1, "handle": "10 min"}))
    landings = steps(done, "waiting for the next flight")
    assert [step[END] for step in landings] == pytest.approx([5.0, 7.0, 9.0])
    assert landings[1][BECAUSE] is landings[0]
    assert steps(done, "unloading")[0][END] > 7.0


def port_of(done):
    """Return, by local day, the pallets of the trucks that came to the yard, counted from the trace: all loads are full ones."""
    midnight = done.site.plan.supply.midnight
    pallets = {fleet.key: fleet.pallets for fleet in done.site.plan.supply.fleets}
    days = defaultdict(int)
    for step in steps(done, "haul"):
        fleet = done.actors[step[ACTOR]].name.partition(".")[0]
        days[math.floor((step[END] - midnight) / 24 + 1e-6) + 1] += pallets[f"supply.trucks.{fleet}"]
    return dict(days)


@pytest.mark.parametrize("starts", ["06:00:00", "02:54:00", "15:57:00", "23:59:59", "00:00:00"])
def test_port_and_road_let_no_more_pallets_through_a_day_than_they_can(starts):
    # Local midnight is where a day begins, and a truck that waited for it may not count for the day before.
    truck = {**TRUCK, "count": 8, "pallets": 4, "load": "10 min", "haul": "10 min", "return": "10 min"}
    area = [{"name": "strip", "length": "400 ft", "width": "72 ft"}]
    supply = {"on_hand": 0, "total": 120, "per_day_limit": 4}
    done = run(strip(top={"starts": f"2031-04-02T{starts}"}, area=area, supply=supply, supply__trucks=[truck]))
    assert set(port_of(done).values()) == {4}
    assert port_of(done) == done.stock.through_gate


def test_a_limit_on_the_day_holds_for_flights_and_trucks_together():
    truck = {**TRUCK, "pallets": 5, "load": "0 min"}
    flights = [{"pallets": 5, "first": "0 h", "every": "6 h"}]
    supply = {"on_hand": 0, "total": 40, "per_day_limit": 10, "spares": 0.0}
    area = [{"name": "strip", "length": "160 ft", "width": "72 ft"}]
    done = run(strip(area=area, supply=supply, supply__trucks=[truck], supply__flights=flights))
    assert max(done.stock.through_gate.values()) == 10
    assert sum(done.stock.through_gate.values()) == 40
    assert len(done.stock.through_gate) == 4


@in_every_random_field
def test_the_gate_counts_every_load_and_keeps_its_limit(text):
    done = random_run(text)
    stock, supply = done.stock, done.site.plan.supply
    if supply.per_day_limit is not None:
        assert all(pallets <= supply.per_day_limit for pallets in stock.through_gate.values())
    left = supply.total - supply.on_hand - stock.to_come
    waiting = sum(fleet.pallets * fleet.count for fleet in supply.fleets) + sum(flight.pallets for flight in supply.flights)
    assert left - waiting <= sum(stock.through_gate.values()) <= left
    if not supply.flights and not stock.to_come:
        brought = len(steps(done, "haul"))
        by_truck = sum(stock.through_gate.values()) - sum(
            len(load.luck) for load in done.board.arrived if done.actors[load.came[ACTOR]].kind == "shipment"
        )
        assert brought <= by_truck <= brought * max((fleet.pallets for fleet in supply.fleets), default=0)


@in_every_random_field
def test_on_no_local_day_do_more_pallets_come_than_the_limit(text):
    done = random_run(text)
    plan, came = done.site.plan.supply, Counter()
    if plan.per_day_limit is None:
        return
    for load in done.board.arrived:
        if done.actors[load.came[ACTOR]].kind != "resupply":
            came[math.floor((load.came[END] - plan.midnight) / 24 + 1e-6)] += len(load.luck)
    assert all(pallets <= plan.per_day_limit for pallets in came.values())


def test_the_day_after_a_rest_day_brings_no_more_than_any_other():
    # Thirteen hours of way: who leaves in the afternoon comes the day after, and before a day of rest two days later.
    truck = {**TRUCK, "count": 10, "pallets": 4, "load": "10 min", "haul": "13 h", "return": "10 min"}
    tables = strip(
        area=[{"name": "strip", "length": "400 ft", "width": "72 ft"}],
        supply={"on_hand": 0, "total": 120, "per_day_limit": 12},
        supply__trucks=[truck],
        shifts__all={"hours": ["06:00-18:00"], "rest_every": 3},
    )
    days = port_of(run(tables))
    assert max(days.values()) == 12
    assert sum(days.values()) == 120


def held_up(first_through):
    truck = {**TRUCK, "count": 4, "pallets": 5, "load": "0 min", "haul": "1 h", "return": "1 h"}
    flights = [{"pallets": 3, "first": "12 h", "every": "5 h"}]
    area = [{"name": "strip", "length": "160 ft", "width": "72 ft"}]
    supply = {"on_hand": 0, "total": 40, "per_day_limit": 10, "spares": 0.0, "first_through": first_through}
    done = run(strip(area=area, supply=supply, supply__trucks=[truck], supply__flights=flights))
    landed = [load.arrives for load in list_consignments(done) if done.actors[load.actor].kind == "flight"]
    return landed[:2], done.stock.through_gate


def test_flights_land_in_time_because_trucks_leave_them_room_unless_nobody_does():
    landings, days = held_up("flights")
    assert landings == pytest.approx([12.0, 17.0])
    assert days[0] == 6
    landings, days = held_up("as they come")
    assert landings == pytest.approx([12.0, 18.0])  # local midnight: a truck and the first flight leave no room for it
    assert days[0] == 8
    assert max(days.values()) <= 10


def test_trucks_leave_room_for_the_flights_still_to_land_on_a_day_and_for_no_others():
    truck = {**TRUCK, "pallets": 5, "load": "0 min", "haul": "3 h"}
    flights = [{"pallets": 5, "first": "1 h", "every": "24 h"}]
    supply = {"on_hand": 0, "total": 20, "per_day_limit": 10, "spares": 0.0}
    done = run(strip(supply=supply, supply__trucks=[truck], supply__flights=flights))
    assert [step[END] for step in steps(done, "haul")][:1] == [3.0]  # the flight of this day has landed, that of the next waits
    assert done.stock.through_gate[0] == 10


def test_hours_at_the_limit_in_which_no_truck_drives_are_not_the_limits():
    truck = {**TRUCK, "count": 4, "pallets": 5, "load": "0 min", "haul": "1 h", "return": "1 h"}
    area = [{"name": "strip", "length": "160 ft", "width": "72 ft"}]
    supply = {"on_hand": 0, "total": 40, "per_day_limit": 10, "spares": 0.0}
    done = run(strip(area=area, supply=supply, supply__trucks=[truck], shifts__haul={"hours": ["06:00-18:00"]}))
    waits = steps(done, "port's daily limit")
    assert waits
    clock = done.site.clocks["haul"]
    for step in waits:
        # It waits in the hours of the haul, until it would come on the next morning: then it drives into the evening.
        assert sum(losses(step, done.site.clocks).values()) == pytest.approx(
            step[END] - step[START] - clock.worked(step[START], step[END])
        )
    hours = hours_by_cause(done.site.reached[0], done)
    assert math.fsum(hours.values()) == pytest.approx(done.site.reached[0][END])


@pytest.mark.parametrize("places", [1, 2])
def test_no_more_trucks_are_loaded_at_once_than_there_are_places(places):
    truck = {**TRUCK, "count": 4, "pallets": 4, "haul": "30 min", "return": "30 min"}
    supply = {"on_hand": 0, "total": 32, "loading_places": places}
    done = run(strip(area=[{"name": "strip", "length": "100 ft", "width": "72 ft"}], supply=supply, supply__trucks=[truck]))
    loading = steps(done, "loading at the port")
    for step in loading:
        assert sum(one[START] <= step[START] < one[END] for one in loading) <= places
    assert len(loading) == 8
    assert [done.actors[step[ACTOR]].name for step in loading[:4]] == ["1.1", "1.2", "1.3", "1.4"]  # in the order of waiting
    late = loading[places]
    assert (late[START], late[BECAUSE]) == (1.0, loading[0])  # who waits for a place waits for the loading of another
    assert done.stock.to_come == 0


def test_a_landing_that_the_limit_puts_off_shifts_no_other():
    flights = [{"pallets": 6, "first": "0 h", "every": "10 h"}]
    done = run(strip(supply={"on_hand": 0, "total": 24, "per_day_limit": 11}, supply__flights=flights))
    # Local midnight is 18 h after the start, then every 24 h; a flight a day is let through.
    assert [load.arrives for load in list_consignments(done)] == pytest.approx([0.0, 18.0, 42.0, 66.0])
    flights = [{"pallets": 6, "first": "0 h", "every": "8 h"}]
    done = run(strip(supply={"on_hand": 0, "total": 30, "per_day_limit": 12}, supply__flights=flights))
    # The one at 16 is put off to midnight, the one at 24 lands at 24.
    assert [load.arrives for load in list_consignments(done)] == pytest.approx([0.0, 8.0, 18.0, 24.0, 42.0])


def test_after_a_day_of_rest_trucks_and_flights_together_keep_the_limit_and_flights_land_in_time():
    truck = {**TRUCK, "count": 6, "pallets": 4, "load": "10 min", "haul": "13 h", "return": "10 min"}
    tables = strip(
        area=[{"name": "strip", "length": "400 ft", "width": "72 ft"}],
        supply={"on_hand": 0, "total": 120, "per_day_limit": 20, "spares": 0.0},
        supply__trucks=[truck],
        supply__flights=[{"pallets": 4, "first": "8 h", "every": "8 h"}],
        shifts__all={"hours": ["06:00-18:00"], "rest_every": 3},
    )
    done, came = run(tables), Counter()
    for load in done.board.arrived:
        came[done.stock.day(load.came[END])] += len(load.luck)
    assert max(came.values()) == 20
    assert sum(came.values()) > 100
    landings = [load.arrives for load in list_consignments(done) if done.actors[load.actor].kind == "flight"]
    assert len(landings) > 6
    assert landings == pytest.approx([8.0 + 8.0 * number for number in range(len(landings))])


def test_a_landing_put_off_is_the_timetables_up_to_its_hour_and_the_limits_from_then_on():
    flights = [{"pallets": 6, "first": "0 h", "every": "10 h"}]
    supply = {"on_hand": 0, "total": 24, "per_day_limit": 11}
    done = run(strip(supply=supply, supply__flights=flights, shifts__haul={"hours": ["08:00-10:00"]}))
    waits = {
        name: [step[END] - step[START] for step in steps(done, name)]
        for name in ("waiting for the next flight", "port's daily limit")
    }
    assert waits == {
        "waiting for the next flight": pytest.approx([0.0, 10.0, 2.0, 0.0]),
        "port's daily limit": pytest.approx([8.0, 22.0, 24.0]),
    }
    last = steps(done, "port's daily limit")[-1]
    hours = hours_by_cause(last, done)
    assert {name: hours[name] for name in sorted(hours)} == pytest.approx(
        {"port's daily limit": 54.0, "waiting for the next flight": 12.0}
    )


@pytest.mark.parametrize("hours", [["00:00-24:00"], ["06:00-12:00", "13:00-18:00"], ["20:00-04:00"]])
def test_a_truck_waits_no_longer_than_until_it_would_come_a_day_later(hours):
    rain = {"wet_spell": "3 h", "dry_spell": "20 h", "rain_stops": ["haul"]}
    done = run(strip(shifts__haul={"hours": hours, "rest_every": 3, "lighting": True}, weather=rain))
    stock, clock = done.stock, done.site.clocks["haul"]
    for number in range(200):
        hour, haul = 0.71 * number, (0.0, 0.3, 2.0, 6.0, 13.0)[number % 5]
        leaves, day = next_day(stock, clock, hour, haul), stock.day(clock.finish(hour, haul))
        assert leaves > hour
        assert stock.day(clock.finish(leaves, haul)) > day
        assert stock.day(clock.finish(leaves - 1e-6, haul)) == day
        assert leaves == halved(stock, clock, hour, haul)  # to the bit: asked only where it is in doubt


def halved(stock, clock, hour, haul):
    """Return what `next_day` does by halving alone."""
    day = stock.day(clock.finish(hour, haul))
    early, late = hour, stock.midnight_after(day)
    for _ in range(50):
        middle = 0.5 * (early + late)
        comes = clock.finish(middle, haul)
        early, late = (early, middle) if math.isinf(comes) or stock.day(comes) > day else (middle, late)
    return late


@pytest.mark.parametrize("hours", [["00:00-24:00"], ["06:00-18:00"]])
def test_a_truck_that_waits_asks_its_clock_few_questions(hours):
    done = run(strip(shifts__haul={"hours": hours}))

    class Counting:
        asked = 0

        def finish(self, start, work):
            self.asked += 1
            return done.site.clocks["haul"].finish(start, work)

        def worked(self, start, end):
            self.asked += 1
            return done.site.clocks["haul"].worked(start, end)

    clock = Counting()
    for number in range(100):
        next_day(done.stock, clock, 0.71 * number, 2.0)
    assert clock.asked < 20 * 100  # 53 each by halving alone


def test_trucks_keep_the_shift_of_the_haul():
    done = run(strip(supply={"on_hand": 0, "total": 30}, supply__trucks=[TRUCK], shifts__haul={"hours": ["06:00-08:00"]}))
    loading, haul = steps(done, "loading at the port")[0], steps(done, "haul")[0]
    assert (loading[END], haul[END]) == (1.0, 25.0)  # an hour of the way today, the other tomorrow


def test_what_is_ordered_again_comes_after_the_time_that_it_takes_and_passes_no_gate():
    supply = {"on_hand": 21, "total": 21, "spares": 0.0, "resupply": "50 h", "per_day_limit": 1}
    done = run(strip(laying={"damaged_mats": 0.2}, supply=supply))
    orders = steps(done, "resupply")
    assert orders
    assert all(step[END] - step[START] == pytest.approx(50.0) for step in orders)
    assert done.stock.through_gate == {}
    assert done.site.reached[0] is not None


def test_loads_are_drawn_by_truck_and_trip():
    uneven = {**TRUCK, "count": 2, "haul": {"mean": "2 h", "scatter": 0.4}}
    done = run(strip(supply={"on_hand": 0, "total": 60}, supply__trucks=[uneven]))
    hauls = [step[WORK] for step in steps(done, "haul")]
    assert len(set(hauls)) == len(hauls)
    assert [step[KIND] for step in done.site.trace[1:3]] == [LOAD, LOAD]
