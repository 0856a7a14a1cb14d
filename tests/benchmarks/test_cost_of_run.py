"""What a run costs, as a ratio to what the engine alone takes in the same process: a machine's pace cancels."""

import time

import bench_forecast
import simpy

from simulation.construction import compile_plan
from simulation.construction.plan.steps import END
from simulation.construction.site.event_loop import Environment
from simulation.scenario import load_scenario


def seconds(what, *arguments):
    began = time.process_time()
    what(*arguments)
    return time.process_time() - began


def test_a_step_costs_less_than_half_of_a_timeout_of_simpys():
    def steps(env):
        step = (0.0, 0.0)
        for _ in range(20_000):
            step = yield (step[END], step[END] + 1.0)

    def timeouts(env):
        for _ in range(20_000):
            yield env.timeout(1.0)

    def run(environment, process):
        env = environment()
        env.process(process(env))
        env.run()

    ours, simpys = [], []
    for _ in range(7):  # in turns, and the least of each: what else runs does not count
        ours.append(seconds(run, Environment, steps))
        simpys.append(seconds(run, simpy.Environment, timeouts))
    assert min(ours) < 0.5 * min(simpys)  # 0.25 when it was written


def test_the_shipped_scenario_costs_what_the_benchmark_promises():
    plan = compile_plan(load_scenario(bench_forecast.FIELD))
    bench_forecast.one_run(plan, range(3))
    ratios = [row for row in bench_forecast.cost(rounds=3, timeouts=30_000, runs=3) if row[0].startswith("timeouts per pallet")]
    assert float(ratios[0][1]) < 16.0
