"""Who does the final sweep, inspection and marking? Whichever crew is on shift, by day or by night."""

import pytest
from scenarios import strip
from small_runs import kind, run

from simulation.construction.plan.steps import END, KIND, START

DAY, NIGHT = {"hours": ["06:00-18:00"]}, {"hours": ["19:00-24:00", "00:30-05:00"], "lighting": True}
#: Hours from a start at 06:00 at which neither is on.
IDLE = ((12.0, 13.0), (18.0, 18.5), (23.0, 24.0))


def sweep(*shifts, closing, day=DAY):
    """Return when the last row ends, and begin and end of the sweep, for crews of these shifts; None keeps the common hours."""
    crews = [
        {"name": f"crew {number}", "people": 12, "areas": ["strip"], **({"shift": shift} if shift else {})}
        for number, shift in enumerate(shifts)
    ]
    ready = {"name": "open", "areas": ["strip"], "closing": f"{closing} h", "ready": True}
    done = run(strip(crew=crews, shifts__all=None, shifts__laying=day, milestone=[ready]))
    last = max(step[END] for step in done.site.trace if step[KIND] == kind("laying rows"))
    (swept,) = [step for step in done.site.trace if step[KIND] == kind("final sweep, inspection and marking")]
    return last, swept[START], swept[END]


def test_a_night_crew_alone_sweeps_in_its_own_night():
    last, begins, ends = sweep(NIGHT, closing=1)
    assert (begins, ends) == (last, pytest.approx(last + 1.0))
    assert 13.0 < ends % 24 < 23.0  # 19:00 to 05:00, from a start at 06:00


def test_a_sweep_goes_on_with_the_next_crew_and_stops_only_while_nobody_is_on():
    _, begins, ends = sweep(None, NIGHT, closing=20)

    idle = sum(max(0.0, min(ends, day + high) - max(begins, day + low)) for day in (0, 24, 48) for low, high in IDLE)
    assert ends - begins == pytest.approx(20.0 + idle)


def test_crews_that_keep_the_common_hours_sweep_in_these():
    _, begins, ends = sweep(None, None, closing=13)
    nights = ends // 24 - begins // 24
    assert ends - begins == pytest.approx(13.0 + 12.0 * nights)
    assert nights >= 1
