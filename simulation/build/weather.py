"""The weather of a build, written to its trace spell by spell; what it allows reaches the actors through their clocks."""

from __future__ import annotations

from collections.abc import Generator
from typing import Any

from simulation.build.site import Site
from simulation.build.steps import DRY_SPELL, WET_SPELL

Process = Generator[Any, Any, Any]


def weather(site: Site, actor: int) -> Process:
    """Go through the spells that the sky draws, one after the other."""
    sky, because, number = site.sky, site.zero, 0
    while True:
        # A spell is known whole when the sky is drawn past its end.
        while len(sky.spells) <= number or sky.spells[number][1] >= sky.drawn:
            sky.reach(sky.drawn + 1.0)
        start, end = sky.spells[number]
        if start > site.env.now:
            because = yield site.begin(DRY_SPELL, start - site.env.now, because, actor, -1, number)
        because = yield site.begin(WET_SPELL, end - site.env.now, because, actor, -1, number)
        number += 1
