"""Published and recomputed waiting lines at the edges: crews call for pallets, forklifts bring them, and one waits for the other.

Q3, Q4 and Q8 of the checks. Pallets and rows are the customers, the product's forklifts and crews the servers; no line is written
here. States are averaged over the trace after a stated warm-up, in independent runs of a fixed seed, and each answer
agrees with its exact value within 4 standard errors, which are held below the stated share of the value.
"""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from reduced_fields import agrees, exponential, scenario

from simulation.construction import compile_plan, simulate
from simulation.construction.plan.steps import EDGE, END, FEED, KIND, ROW, START

RUN_COUNT = 12


def seen(plan, warm_up, measure):
    """Return what `measure` reads from trips and rows between warm-up and horizon: for each of its numbers, one a run."""
    found = []
    for run_number in range(RUN_COUNT):
        run = simulate(plan, run_number)
        trips, rows = ([step for step in run.site.trace if step[KIND] == kind] for kind in (FEED, ROW))
        found.append(measure(trips, rows, warm_up, plan.horizon))
        run.dismiss()
    return np.array(found).T


def busy(steps, since, until):
    """Return the mean number of steps under way."""
    return sum(max(0.0, min(step[END], until) - max(step[START], since)) for step in steps) / (until - since)


# --- Q3: four laying edges that call for a pallet -------------------------------------------------------------------------------


def waits_and_use(trips, rows, since, until):
    """Return the mean hours from an edge's running out to the start of the trip that helps it, and the forklifts at work."""
    waits = []
    for edge in range(4):
        called = [0.0, *(row[END] for row in rows if row[EDGE] == edge)]
        helped = [trip[START] for trip in trips if trip[EDGE] == edge]
        waits += [start - call for call, start in zip(called, helped, strict=False) if start >= since]
    assert min(waits) >= 0  # no trip begins before its laying edge has run out
    return np.mean(waits), busy(trips, since, until)


@pytest.mark.parametrize(
    ("forklifts", "wait", "use", "hours"),
    # Standard errors reached: .9 % and .8 % of the waits, .3 % and .1 % of the use.
    [(1, 1.9449, 0.6017, 500.0), pytest.param(2, 0.1247, 0.3310, 2500.0, marks=pytest.mark.slow)],
)
def test_q3_four_edges_that_call_every_15_minutes_and_are_served_in_3_wait_as_known(forklifts, wait, use, hours):
    # Recomputed (R): four customers of a finite source, 15 min away and 3 min served, both exponential. In a scenario two pallets
    # or more fit beside a laying edge, so that the next is called for while one is in use; here there is room for that one alone.
    plan = compile_plan(
        scenario(
            rows=round(5 * hours),
            areas=("north", "east", "south", "west"),
            crews=("red", "blue", "green", "grey"),
            place=exponential(15 / 60),
            forklifts=forklifts,
            handle=exponential(1.5 / 60),  # a pallet is picked up and set down: 3 min a trip
            horizon=f"{20 + hours} h",
        )
    )
    plan = replace(plan, forklifts=replace(plan.forklifts, places=1))
    waits, at_work = seen(plan, 20.0, waits_and_use)
    agrees(60 * waits, wait, 0.012)
    agrees(at_work / forklifts, use, 0.005)


# --- Q4: a forklift and a crew in series, few places between ----------------------------------------------------------------


def throughput_and_use(trips, rows, since, until):
    """Return the rows laid in an hour, and the shares of the time in which the forklift and the crew are at work."""
    laid = sum(since < row[END] <= until for row in rows)
    return laid / (until - since), busy(trips, since, until), busy(rows, since, until)


@pytest.mark.parametrize("between", [0, *(pytest.param(more, marks=pytest.mark.slow) for more in (1, 2)), 4])
def test_q4_two_stations_in_series_with_b_places_between_pass_b_plus_2_of_b_plus_3(between):
    # Hunt 1956, recomputed (R): (b + 2)/(b + 3) of the common exponential rate. There the first station may finish a job and hold
    # it until there is room; the board starts only a trip that can end, so the places beside an edge are b + 2, the pallet in use
    # included. Standard errors reached: .3 % of each; the first three values stand 6 % apart and more.
    exact = (between + 2) / (between + 3)
    plan = compile_plan(
        scenario(
            rows=11_000,
            place=exponential(1),
            handle=exponential(0.5),
            places=between + 2,
            horizon="10050 h",
        )
    )
    passed, bringing, laying = seen(plan, 50.0, throughput_and_use)
    agrees(passed, exact, 0.004)
    # At rate 1 either station is at work for as many hours as jobs pass; it rests in one of b + 3 equally likely states.
    agrees(bringing, exact, 0.004)
    agrees(laying, exact, 0.004)


# --- Q8: pallets that come at random to a crew ------------------------------------------------------------------------------


def pallets_waiting(trips, rows, since, until):
    """Return the mean number of pallets staged and not yet opened, that of rows in work, and the mean hours between arrivals."""
    came = [trip[END] for trip in trips if trip[END] <= until]
    opened = [row[START] for row in rows] + [until] * (len(came) - len(rows))
    hours = sum(max(0.0, min(start, until) - max(arrival, since)) for arrival, start in zip(came, opened, strict=True))
    return hours / (until - since), busy(rows, since, until), np.mean([b - a for a, b in pairwise(came)])


@pytest.mark.parametrize(
    ("service", "published", "hours"),
    # Standard errors reached: 1.4 %, 1.2 % and 1.6 % of the pallets waiting; .3 % of the rows in work; .2 % of the gaps.
    [
        pytest.param(exponential(0.75), 2.25, 30_000.0, marks=pytest.mark.slow),
        pytest.param('{ mean = "0.75 h", scatter = "erlang-2" }', 1.6875, 20_000.0, marks=pytest.mark.slow),
        ('"0.75 h"', 1.125, 15_000.0),
    ],
    ids=["exponential", "erlang-2", "constant"],
)
def test_q8_pallets_that_come_at_random_wait_as_pollaczek_and_khinchine_say(service, published, hours):
    # Recomputed (R): Lq = ρ² (1 + c²) / (2 (1 − ρ)) with ρ = .75 and c² = 1, 1/2 and 0. A forklift that never rests and whose
    # trips are exponential sets pallets down at random, one an hour; the crew takes .75 h for each.
    squared = {2.25: 1.0, 1.6875: 0.5, 1.125: 0.0}[published]
    assert 0.75**2 * (1 + squared) / (2 * 0.25) == pytest.approx(published)
    warm_up = 500.0
    plan = compile_plan(
        scenario(
            rows=round(1.1 * (warm_up + hours)),
            place=service,
            handle=exponential(0.5),
            places=100_000,
            horizon=f"{warm_up + hours} h",
        )
    )
    waiting, laying, apart = seen(plan, warm_up, pallets_waiting)
    agrees(waiting, published, 0.02)
    agrees(laying, 0.75, 0.005)
    agrees(apart, 1.0, 0.004)
