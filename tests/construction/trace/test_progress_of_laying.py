"""How far was the field laid, and when?"""

import math
from dataclasses import replace

import pytest
from scenarios import strip
from small_runs import in_every_random_field, plan_of, random_run, run, steps

from simulation.construction import simulate
from simulation.construction.plan.steps import EDGE, END, NUMBER, START
from simulation.construction.trace.progress import PERCENTS
from simulation.construction.trace.record import columns, make_record
from simulation.scenario import parse_scenario

#: With this, placing alone takes time: mats are placed one row at a time, 40 s each, at an efficiency of one half.
ONE_BY_ONE = {"rows_in_work": 1, "pick_up": "0 s"}
PAIR = 13 * 40 / 3600 / 0.5


def times_of(done):
    record = dict(zip(columns(done.site.plan), make_record(done), strict=True))
    return [record[f"progress.{percent}"] for percent in range(0, 101, 5)]


def test_the_times_of_a_run_that_can_be_added_up_by_hand():
    done = run(strip(laying=ONE_BY_ONE))
    first, *later = times_of(done)
    assert first == steps(done, "forklift trips")[0][END]
    # 5 % are two of 40 rows, one pallet. A key strip is set after row 5, a check of 6 min follows every tenth row.
    by_hand = [first + pairs * PAIR + 0.25 * (pairs >= 3) + 0.1 * (pairs // 5) for pairs in range(1, 21)]
    assert later == pytest.approx(by_hand)


def test_what_counts_is_square_feet_and_not_rows():
    areas = [{"name": "strip", "length": "80 ft", "width": "72 ft"}, {"name": "pad", "length": "80 ft", "width": "36 ft"}]
    done = run(strip(area=areas, crew=[{"name": "red", "people": 12, "areas": ["strip", "pad"]}]))
    strip_laid = max(step[END] for step in steps(done, "laying rows") if step[EDGE] == 0)
    times = dict(zip(PERCENTS, times_of(done), strict=True))
    assert times[65] <= strip_laid < times[70]  # two thirds of the field


@in_every_random_field
def test_each_time_is_the_end_of_the_first_step_by_which_so_much_was_laid(text):
    done = random_run(text)
    scenario, plan = parse_scenario(text), done.site.plan
    width = [scenario.area[edge.area].width for edge in plan.edges]
    field = sum(area.width * area.length for area in scenario.area)

    def laid(moment):
        rows = dict.fromkeys(range(len(width)), 0)
        for step in ended:
            if step[END] <= moment:
                rows[step[EDGE]] = max(rows[step[EDGE]], step[NUMBER])
        return sum(width[edge] * count for edge, count in rows.items()) * scenario.mat.row_depth / field

    ended = steps(done, "laying rows")
    first, *times = times_of(done)
    assert first == min(step[START] for step in ended)
    assert times == sorted(times)
    assert first < times[0]
    ends = {step[END] for step in ended}
    for percent, moment in zip(range(5, 101, 5), times, strict=True):
        assert moment in ends
        assert laid(moment) >= percent / 100 - 1e-9
        assert laid(math.nextafter(moment, 0.0)) < percent / 100 - 1e-9
    whole_field = done.site.reached[-1]
    assert times[-1] <= whole_field[START]  # its final sweep, inspection and marking begins when everything is laid


def test_what_was_not_laid_before_the_horizon_has_no_time():
    first, *times = times_of(simulate(replace(plan_of(strip(laying=ONE_BY_ONE)), horizon=1.5), 0))
    assert first < 1.0
    assert all(
        math.isfinite(one) for one in times[:4]
    )  # eight rows: 4 pairs and the key strip take 1.41 h, the next ends at 1.8 h
    assert all(one == math.inf for one in times[4:])
    assert set(times_of(simulate(replace(plan_of(strip()), horizon=0.01), 0))) == {math.inf}


def test_what_is_not_laid_when_the_last_milestone_is_reached_has_no_time():
    areas = [{"name": name, "length": "80 ft", "width": "72 ft"} for name in ("strip", "pad")]
    milestone = [{"name": "strip open", "areas": ["strip"], "closing": "1 h", "ready": True}]
    done = run(strip(area=areas, crew=[{"name": "red", "people": 12, "areas": ["strip", "pad"]}], milestone=milestone))
    times = dict(zip(PERCENTS, times_of(done), strict=True))
    assert times[50] < done.site.reached[0][END] < times[100] == math.inf
    assert all(one <= done.site.reached[0][END] for one in times.values() if one < math.inf)
