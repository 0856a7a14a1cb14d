"""Crews that are slower than the scenario holds: does the log of a third of the job say so, and by how much?"""

from datetime import timedelta

import numpy as np
from log_of_run import log_of_run
from scenarios import make_scenario, strip

from simulation.construction import compile_plan, simulate
from simulation.construction.plan.steps import END
from simulation.scenario.reading.reading import begin_by, vary
from simulation.scenario.types.change import Change
from simulation.scenario.types.texts.site_log_text import SiteLog

HELD = strip(
    area=[{"name": "strip", "length": "1200 ft", "width": "72 ft"}],
    laying={
        "pick_up": {"p10": "15 s", "p90": "35 s", "scatter": 0.3, "shared_by": "crews"},
        "place": {"p10": "30 s", "p90": "60 s", "scatter": 0.3, "shared_by": "crews"},
        "efficiency": {"low": 0.3, "mode": 0.45, "high": 0.65},
    },
    supply={"on_hand": 700},
    forklifts={"count": 4},
    weather={"model": "none"},
)


def test_the_middle_of_an_update_is_within_a_tenth_once_a_third_is_laid_by_crews_three_tenths_slower():
    held = make_scenario(HELD)
    slower = vary(held, [Change("laying.efficiency", "x0.7")])
    missed, would_have = [], []
    for world in range(5):
        plan = compile_plan(slower)
        ready = simulate(plan, world, seed=404).site.reached[plan.ready][END]
        at = int(3600 * ready / 3) / 3600
        run = simulate(plan, world, seed=404, until=at)
        moment = (held.starts + timedelta(hours=at)).isoformat(timespec="seconds")
        begun = compile_plan(begin_by(held, SiteLog("log.csv", log_of_run(slower, run, at), moment)))
        blind = compile_plan(held)
        hours, before = (
            [simulate(one, number, seed=5).site.reached[one.ready][END] for number in range(24)] for one in (begun, blind)
        )
        missed.append(np.median(hours) / ready - 1.0)
        would_have.append(np.median(before) / ready - 1.0)
    assert np.abs(missed).max() < 0.1
    assert np.abs(missed).mean() < 0.35 * np.abs(would_have).mean()
