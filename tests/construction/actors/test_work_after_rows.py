"""Is a milestone closed only when ramps are backfilled and tie-downs drilled, and what does that cost?"""

import pytest
from scenarios import strip
from small_runs import plan_of, run, steps

from simulation.construction.plan.steps import BECAUSE, END, NUMBER, START, WORK
from simulation.construction.trace.chain import hours_by_cause

RAMPS = {"name": "strip", "length": "80 ft", "width": "72 ft", "end_ramps": True}
STANDS = {"name": "strip", "length": "80 ft", "width": "72 ft", "stands": {"count": 2, "tie_downs": 6, "drill": "10 min"}}


def ready(done, milestone=0):
    return done.site.reached[milestone][END]


def test_each_ramp_is_backfilled_when_its_rows_are_laid_and_checked_and_before_the_field_is_closed():
    done = run(strip(area=[RAMPS], grading={"backfill": "20 h"}))
    first, last = steps(done, "backfilling ramps")
    rows = steps(done, "laying rows")
    assert first[BECAUSE] is next(step for step in rows if step[NUMBER] == 10)  # five rows in the trench, checked with the tenth
    assert last[BECAUSE] is rows[-1]
    (closing,) = steps(done, "final sweep, inspection and marking")
    assert closing[START] == max(first[END], last[END])
    assert ready(done) == pytest.approx(ready(run(strip(area=[RAMPS]))) + 20.0)
    assert hours_by_cause(done.site.reached[0], done)["backfilling ramps"] == 20.0


def test_backfilling_keeps_the_hours_of_grading():
    tables = strip(area=[RAMPS], grading={"backfill": "4 h"})
    tables["shifts.grading"] = {"hours": ["06:00-07:00"], "lighting": True}
    for step in steps(run(tables), "backfilling ramps"):
        assert step[WORK] == 4.0
        assert step[END] - step[START] > 3 * 24.0


def test_a_stretch_that_holds_no_ramp_does_not_wait_for_one():
    def stretch(low, high):
        return {"name": f"{low}", "stretch": {"area": "strip", "from": f"{low} ft", "to": f"{high} ft"}, "closing": "0 h"}

    milestones = [stretch(0, 40), stretch(10, 40), {"name": "all", "areas": ["strip"], "ready": True}]
    done = run(strip(area=[RAMPS], grading={"backfill": "20 h"}, milestone=milestones))
    first = steps(done, "backfilling ramps")[0]
    assert ready(done, 0) == first[END]
    assert ready(done, 1) < first[END]


def test_without_a_time_written_ramps_are_backfilled_in_the_closing_work():
    assert plan_of(strip(area=[RAMPS])).follows == ()
    assert not steps(run(strip(area=[RAMPS])), "backfilling ramps")


def test_tie_downs_are_drilled_after_the_last_row_and_before_the_apron_is_closed():
    done = run(strip(area=[STANDS]))
    first, second = steps(done, "drilling tie-downs")
    assert first[BECAUSE] is steps(done, "laying rows")[-1]
    assert (first[WORK], second[WORK]) == pytest.approx((1.0, 1.0))  # six holes of ten minutes at each stand
    assert steps(done, "final sweep, inspection and marking")[0][START] == second[END]


def test_two_drills_halve_the_time_and_more_holes_multiply_it():
    for more, hours in (({"drills": 2}, 0.5), ({"holes": 3}, 3.0)):
        done = run(strip(area=[{**STANDS, "stands": {**STANDS["stands"], **more}}]))
        assert [step[WORK] for step in steps(done, "drilling tie-downs")] == pytest.approx([hours] * 2)


def test_a_milestone_of_other_areas_does_not_wait_for_the_drilling():
    slow = {**STANDS, "name": "apron", "stands": {"count": 2, "drill": "5 h"}}
    areas = [{"name": "strip", "length": "40 ft", "width": "72 ft"}, slow]
    milestones = [{"name": "strip", "areas": ["strip"]}, {"name": "all", "areas": ["strip", "apron"], "ready": True}]
    crew = [{"name": "red", "people": 12, "areas": ["apron", "strip"]}]
    done = run(strip(area=areas, crew=crew, milestone=milestones))
    assert [gate.parts for gate in done.site.plan.gates if gate.milestone >= 0] == [1, 3]
    first, second = steps(done, "drilling tie-downs")
    assert first[START] < ready(done, 0) < second[END]
    assert ready(done, 1) == second[END] + 8.0
