"""The end of a milestone: when its last row is laid and checked, it is swept, inspected and marked."""

from __future__ import annotations

from collections.abc import Generator
from typing import Any

from simulation.construction.plan.steps import CLOSING, Step
from simulation.construction.site.site import Site

Process = Generator[Any, Any, Any]


def close(site: Site, milestone: int, actor: int, because: Step) -> Process:
    """Do the final sweep, inspection and marking of a milestone; when it was the last one, the run is over."""
    site.reached[milestone] = yield site.begin(CLOSING, site.plan.milestones[milestone].closing, because, actor, -1, milestone)
    if all(step is not None for step in site.reached) and not site.over.triggered:
        site.over.succeed()


def horizon(site: Site) -> Process:
    """End the run by the last day simulated, done or not."""
    yield site.env.timeout(site.plan.horizon)
    if not site.over.triggered:
        site.over.succeed()
