"""The end of a milestone: when its last row is laid and checked, it is swept, inspected and marked."""

from __future__ import annotations

from simulation.conditions import sweep_clock
from simulation.construction.plan.steps import CLOSING, Step
from simulation.construction.site.event_loop import Process
from simulation.construction.site.site import Site


def close(site: Site, milestone: int, actor: int, because: Step) -> Process:
    """Do the final sweep, inspection and marking of a milestone, and have its temporary ends made; the last one ends the run."""
    hours, clock = site.plan.milestones[milestone].closing, sweep_clock(site.clocks)
    since = None if site.plan.state is None else site.plan.state.swept_since[milestone]
    if since is not None and because is site.zero:  # it was under way when the run began
        hours = max(0.0, hours - site.clocks[clock].worked(since, site.env.now))
    between = any(site.areas[area].flown for area in site.plan.milestones[milestone].areas)
    begin = site.flying.between(clock) if between else site.begin_on(clock)
    done = yield begin(CLOSING, hours, because, actor, -1, milestone)
    if site.ends is not None:
        done = yield from site.ends.stand(milestone, done)
    site.reached[milestone] = done
    site.flying.begin_with(milestone)
    if site.ends is not None:
        site.ends.release(done)
    if all(step is not None for step in site.reached) and not site.over.triggered:
        site.over.succeed()


def horizon(site: Site, ends: float) -> Process:
    """End the run where it is to be left, done or not; at once where all was reached before it began."""
    if any(step is None for step in site.reached):
        yield site.env.timeout(max(0.0, ends - site.env.now))
    if not site.over.triggered:
        site.over.succeed()
