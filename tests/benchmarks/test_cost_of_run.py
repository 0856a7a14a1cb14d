"""What a run costs, as a ratio to what the engine alone takes in the same process: a machine's pace cancels."""

import time
from pathlib import Path

import bench_forecast
import simpy

from simulation.construction import compile_plan, simulate
from simulation.construction.site import site as construction_site
from simulation.scenario import load_scenario

PLAN = compile_plan(load_scenario(Path(__file__).resolve().parents[2] / "configs" / "first_look.toml"))


def seconds(what, *arguments):
    began = time.process_time()
    what(*arguments)
    return time.process_time() - began


def runs(count=10):
    for number in range(count):
        simulate(PLAN, number).dismiss()


def test_a_run_costs_less_in_its_own_loop_than_in_plain_simpy(monkeypatch):
    runs()
    own, plain = [], []
    for _ in range(7):  # in turns, and the least of each: what else runs does not count
        own.append(seconds(runs))
        with monkeypatch.context() as patch:
            patch.setattr(construction_site, "Environment", simpy.Environment)
            plain.append(seconds(runs))
    assert min(own) < 0.95 * min(plain)  # 0.80 to 0.87 when it was written


def test_a_timeout_in_the_loop_of_a_run_costs_less_than_half_of_simpys():
    from simulation.construction.site.event_loop import Environment

    def wait(environment):
        env = environment()

        def process():
            for _ in range(20_000):
                yield env.timeout(1.0)

        env.process(process())
        env.run()

    own, plain = ([seconds(wait, environment) for _ in range(7)] for environment in (Environment, simpy.Environment))
    assert min(own) < 0.6 * min(plain)  # 0.30 when it was written


def test_the_shipped_scenario_costs_what_the_benchmark_promises():
    plan = compile_plan(load_scenario(bench_forecast.FIELD))
    bench_forecast.one_run(plan, range(3))
    ratios = [row for row in bench_forecast.cost(rounds=3, timeouts=30_000, runs=3) if row[0].startswith("timeouts per pallet")]
    assert float(ratios[0][1]) < 16.0
