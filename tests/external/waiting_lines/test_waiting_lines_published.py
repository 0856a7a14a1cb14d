"""Published and recomputed waiting lines, each as a scenario that reduces to it: trucks, forklifts and crews are the servers.

Q1, Q2, Q5, Q6 and Q7 of the checks, from scenario text to finished runs; no line is written here. Every answer is compared
with its exact value within 4 standard errors, which come from independent runs of a fixed seed and are held below
the stated share of the value, so that a wrong model cannot hide behind noise.
"""

import math

import numpy as np
import pytest
from reduced_fields import SIGMAS, agrees, exponential, finishing_times, scenario
from scipy import stats

from simulation.construction import compile_plan, simulate
from simulation.construction.plan.steps import END, HAUL, KIND, LOAD, START, UNLOAD, WAY_BACK

SLOW = pytest.mark.slow

# --- trucks as customers, forklifts as servers ------------------------------------------------------------------------------


def finite_source(customers, run_time, service, servers):
    """Return the mean number running, the mean number waiting and the chance of nobody at the servers (Palm's formula)."""
    ratio = service / run_time
    terms = []
    for n in range(customers + 1):
        ways = math.perm(customers, n) * ratio**n
        terms.append(ways / (math.factorial(n) if n <= servers else math.factorial(servers) * servers ** (n - servers)))
    chances = np.array(terms) / sum(terms)
    number = np.arange(customers + 1)
    return customers - number @ chances, np.maximum(number - servers, 0) @ chances, chances[0]


#: Hours left out at the start of each run, when every truck sets out from the port.
WARM_UP = 20.0
RUN_COUNT = 12


def trucks(count, load, haul, back):
    fleet = f'count = {count}\npallets = 1\nload = "{load} h"\nhaul = {haul}\nreturn = {back}\n'
    return f"[[supply.trucks]]\n{fleet}"


def busy_trucks_and_forklifts(fleet, forklifts, service, long=800.0):
    """Return the mean numbers of trucks away and of forklifts unloading and the loads an hour, of each run.

    The ground is never graded, so forklifts have nothing to do but unload; unloading a load of one pallet takes two handlings.
    """
    until = WARM_UP + long
    plan = compile_plan(
        scenario(
            graded=0.0,
            on_hand=0,
            total=1_000_000,
            horizon=f"{until} h",
            forklifts=forklifts,
            handle=exponential(service / 2),
            trucks=fleet,
        )
    )
    seen = []
    for run_number in range(RUN_COUNT):
        run = simulate(plan, run_number)
        hours = dict.fromkeys((LOAD, HAUL, WAY_BACK, UNLOAD), 0.0)
        loads = 0
        for step in run.site.trace:
            if step[KIND] in hours and step[END] > WARM_UP:
                hours[step[KIND]] += min(step[END], until) - max(step[START], WARM_UP)
                loads += step[KIND] == UNLOAD and step[END] <= until
        run.dismiss()
        unloading = hours.pop(UNLOAD)
        seen.append((sum(hours.values()) / long, unloading / long, loads / long))
    return np.array(seen).T


@SLOW
@pytest.mark.parametrize(
    ("forklifts", "running", "waiting", "hours", "share"),
    # Standard errors reached: .06 % and .02 % of the trucks running, .9 % and 1.9 % of those waiting, .2 % of nobody there.
    [(1, 4.360, 0.20347, 800.0, 0.01), (2, 4.535, 0.01127, 2000.0, 0.03)],
)
def test_q1_five_trucks_away_20_and_served_2_minutes_wait_as_published(forklifts, running, waiting, hours, share):
    # Heizer & Render (4.36 and 4.54 running, T); to five digits recomputed by the formula (R).
    away, service = 20 / 60, 2 / 60
    exact = finite_source(5, away, service, forklifts)
    assert exact[0] == pytest.approx(running, abs=6e-4)
    assert exact[1] == pytest.approx(waiting, abs=6e-6)
    away_now, unloading, _ = busy_trucks_and_forklifts(trucks(5, 0, exponential(away), '"0 h"'), forklifts, service, hours)
    agrees(away_now, exact[0], 0.002)
    agrees(5 - away_now - unloading, exact[1], share)
    if forklifts == 1:  # one server rests exactly when nobody is there
        assert exact[2] == pytest.approx(0.56395, abs=6e-6)
        agrees(1 - unloading, exact[2], 0.005)


@pytest.mark.parametrize(
    ("count", "loads"),
    [pytest.param(4, 5.760, marks=SLOW), pytest.param(5, 6.617, marks=SLOW), (6, 7.210)],
)
def test_q2_four_to_six_trucks_away_458_and_loaded_126_thousandths_of_an_hour_bring_the_known_loads(count, loads):
    # Recomputed (R). Standard error reached: .4 %; the three values stand 9 % apart and more.
    exact = finite_source(count, 0.458, 0.126, 1)[0] / 0.458
    assert exact == pytest.approx(loads, abs=6e-4)
    away_now, _, brought = busy_trucks_and_forklifts(trucks(count, 0, exponential(0.458), '"0 h"'), 1, 0.126, 400.0)
    agrees(brought, exact, 0.006)
    agrees(away_now, exact * 0.458, 0.006)


def test_q2_the_loads_do_not_depend_on_how_the_way_is_split_and_scattered():
    # .233 + .050 + .175 h, the cycle of check H8, only the first of them scattered: a finite source is insensitive to the law
    # of the time away, so the loads of five trucks are those above (R).
    cycle = trucks(5, 0.050, exponential(0.233), '"0.175 h"')
    agrees(busy_trucks_and_forklifts(cycle, 1, 0.126, 400.0)[2], 6.617, 0.006)


# --- trades in series and side by side, and breakdowns ----------------------------------------------------------------------


@pytest.mark.parametrize(("jobs", "published", "runs"), [pytest.param(1, None, 8000, marks=SLOW), (10, 13.5239, 1500)])
def test_q5_a_forklift_and_a_crew_in_series_finish_n_exponential_jobs_as_known(jobs, published, runs):
    # n (1 + 2 C(2n, n)/4^n), recomputed (R): each pallet is one trip of 1 h and then one row of 1 h.
    # Standard errors reached: .8 % for one job, .7 % for ten.
    exact = jobs * (1 + 2 * math.comb(2 * jobs, jobs) / 4**jobs)
    if published:
        assert exact == pytest.approx(published, abs=6e-5)
    agrees(finishing_times(runs, rows=jobs, handle=exponential(0.5), place=exponential(1)), exact, 0.01)


@SLOW
@pytest.mark.parametrize(("rows", "published"), [(1, None), (10, 11.762)])
def test_q6_two_edges_of_k_exponential_rows_are_both_done_as_known(rows, published):
    # k (1 + C(2k, k)/4^k), recomputed (R): a centre-out strip, one crew on each laying edge, every pallet there at once.
    # Standard errors reached: .8 % for one row, .3 % for ten.
    exact = rows * (1 + math.comb(2 * rows, rows) / 4**rows)
    if published:
        assert exact == pytest.approx(published, abs=6e-4)
    both = finishing_times(8000, rows=2 * rows, crews=("red", "blue"), start="centre-out", place=exponential(1))
    agrees(both, exact, 0.01)


def delay_is_at_most(hours):
    """Return the chance that repairs of mean 4 h, at .05 an hour over 40 h of work, take at most so long: a Poisson mixture."""
    repairs = np.arange(1, 60)
    return stats.poisson.pmf(0, 2) + stats.poisson.pmf(repairs, 2) @ stats.gamma.cdf(hours, repairs, scale=4)


@SLOW
def test_q7_a_job_of_40_hours_with_breakdowns_takes_48_with_the_known_spread():
    # E = L (1 + λ/μ), Var = 2 L λ/μ², recomputed (R). Standard errors reached over 12,000 runs: .15 % of the mean, 2 % of the
    # variance (fourth cumulant 2 × 24 × 4⁴), .003 of the chance of no delay, .14 h of P80.
    runs = 12_000
    hours = finishing_times(
        runs, handle='"20 h"', breakdown_every=exponential(20), repair=exponential(4)
    )  # one pallet is picked up and set down once: one trip of 40 h
    agrees(hours, 48.0, 0.01)
    spread_of_variance = math.sqrt((2 * 24 * 4**4 + 2 * 64**2) / runs)
    assert spread_of_variance < 0.03 * 64
    assert abs(np.var(hours, ddof=1) - 64) < SIGMAS * spread_of_variance

    none = stats.poisson.pmf(0, 2)
    assert none == pytest.approx(0.1353, abs=6e-5)
    assert abs(np.mean(hours < 40 + 1e-6) - none) < SIGMAS * math.sqrt(none * (1 - none) / runs)

    p80 = 13.68
    assert delay_is_at_most(p80) == pytest.approx(0.8, abs=2e-4)
    density = (delay_is_at_most(p80 + 0.01) - delay_is_at_most(p80 - 0.01)) / 0.02
    error = math.sqrt(0.16 / runs) / density
    assert error < 0.01 * (40 + p80)
    assert abs(np.quantile(hours, 0.8) - (40 + p80)) < SIGMAS * error


def test_q7_breakdowns_come_by_hours_of_operation_added_up_over_all_trips():
    # Ten trips of 4 h, sound for 15 h each time: two breakdowns in 40 h, wherever the trips begin and end (R).
    hours = finishing_times(1, rows=10, handle='"2 h"', breakdown_every='"15 h"', repair='"4 h"')
    assert hours[0] == pytest.approx(48.0, abs=1e-6)
