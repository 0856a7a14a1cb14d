"""The loop of our own does what SimPy's does: the same things, at the same moments, in the same order."""

from heapq import heappush
from pathlib import Path

import pytest
import simpy
from every_key_scenario import FILE as EVERY_KEY
from hypothesis import given, settings
from hypothesis import strategies as st
from simpy.events import NORMAL

from simulation.construction import compile_plan, simulate
from simulation.construction.plan.steps import END
from simulation.construction.site import site as construction_site
from simulation.construction.site.event_loop import Environment
from simulation.construction.trace.record import make_record
from simulation.scenario import load_scenario


class PlainAlarm:
    """An alarm as an event of SimPy's, a new one whenever its process goes to sleep."""

    def ring(self, value):
        self.event.succeed(value)


class PlainSimpy(simpy.Environment):
    """SimPy's own environment, loop and processes; where one of ours yields a step, it waits for a timeout of SimPy's."""

    def alarm(self):
        return PlainAlarm()

    def process(self, generator):
        return super().process(self.awaiting(generator))

    def awaiting(self, generator):
        answer = None
        while True:
            try:
                awaited = generator.send(answer)
            except StopIteration:
                return
            if isinstance(awaited, PlainAlarm):
                awaited.event = simpy.Event(self)
                answer = yield awaited.event
            else:
                answer = yield self.end_of(awaited) if isinstance(awaited, tuple) else awaited

    def end_of(self, step):
        """Return a timeout that ends when the step does, to the bit: its end is not always now and the hours until then."""
        timeout = simpy.Event(self)
        timeout._ok, timeout._value = True, step
        heappush(self._queue, (step[END], NORMAL, next(self._eid), timeout))
        return timeout


CONFIGS = Path(__file__).resolve().parents[3] / "configs"


def steps(run):
    """Return the steps of a run, each with the number of the one that let it start."""
    numbers = {id(step): number for number, step in enumerate(run.site.trace)}
    return [(*step[:2], numbers.get(id(step[2])), *step[3:]) for step in run.site.trace]


@pytest.mark.parametrize("scenario", ["first_look", "railed_strip", "night_and_heat", "every_key"])
def test_a_run_on_plain_simpy_has_the_same_steps_to_the_bit(scenario, monkeypatch):
    plan = compile_plan(load_scenario(EVERY_KEY if scenario == "every_key" else CONFIGS / f"{scenario}.toml"))
    for number in range(2):
        here = simulate(plan, number)
        with monkeypatch.context() as plain:
            plain.setattr(construction_site, "Environment", PlainSimpy)
            there = simulate(plan, number)
        assert type(there.site.env).run is simpy.Environment.run
        assert len(here.site.trace) > 100
        assert steps(here) == steps(there)
        assert make_record(here) == make_record(there)


delays = st.sampled_from([0.0, 0.1, 0.25, 1.0])
actions = st.one_of(
    st.tuples(st.just("pause"), delays),
    st.tuples(st.just("step"), delays),
    st.tuples(st.just("wait"), st.integers(0, 3)),
    st.tuples(st.just("fire"), st.integers(0, 3)),
    st.tuples(st.just("wait at most"), st.integers(0, 3)),
    st.tuples(st.just("start"), delays),
    st.tuples(st.just("sleep"), st.just(0.0)),
    st.tuples(st.just("ring"), st.integers(0, 3)),
)


def what_happens(environment, programs):
    """Return who did what and when, of processes that pause, wait for others, sleep until others wake them, and start others."""
    env = environment()
    events = [env.event() for _ in range(4)]
    fired = {}
    seen = []
    alarms, asleep = [env.alarm() for _ in programs], set()

    def pausing(name, delay):
        seen.append((env.now, name, "starts"))
        yield env.timeout(delay)
        seen.append((env.now, name, "has paused"))

    def working(name, program):
        for number, (action, detail) in enumerate(program):
            got = None
            if action == "pause":
                got = yield env.timeout(detail, (name, number))
            elif action == "step":
                got = yield (env.now, env.now + detail, name, number)
            elif action == "start":
                env.process(pausing(f"{name}.{number}", detail))
            elif action == "fire" and not events[detail].triggered:
                events[detail].succeed((name, number))
                fired[detail] = env.now
            elif action == "wait" and fired.get(detail, -1.0) < env.now:  # not while it is about to happen
                got = yield events[detail]
            elif action == "wait at most" and not events[detail].triggered:
                yield events[detail] | env.timeout(0.25)
                got = events[detail].triggered
            elif action == "sleep":
                asleep.add(name)
                got = yield alarms[name]
            elif action == "ring" and detail in asleep:
                asleep.remove(detail)
                alarms[detail].ring((name, number))
            seen.append((env.now, name, number, got))

    for name, program in enumerate(programs):
        env.process(working(name, program))
    env.run()
    return seen


@given(st.lists(st.lists(actions, max_size=8), min_size=1, max_size=5))
@settings(max_examples=200)
def test_processes_that_wait_for_each_other_go_on_in_the_order_of_simpy(programs):
    assert what_happens(Environment, programs) == what_happens(PlainSimpy, programs)
