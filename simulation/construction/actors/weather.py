"""The weather of a run, written to its trace spell by spell; what it allows reaches the actors through their clocks."""

from __future__ import annotations

from simulation.conditions.sky.rain import BLOCK
from simulation.construction.plan.steps import DRY_SPELL, END, WET_SPELL
from simulation.construction.site.event_loop import Process
from simulation.construction.site.site import Site


def weather(site: Site, actor: int) -> Process:
    """Go through wet and dry spells, as far as they are drawn; one that goes on beyond that is written in pieces."""
    sky, because, now, number = site.sky, site.zero, site.env.now, 0
    while True:
        if sky.drawn <= now:
            sky.reach(now + BLOCK)
        while number < len(sky.spells) and sky.spells[number][1] <= now:
            number += 1
        start, end = sky.spells[number] if number < len(sky.spells) else (sky.drawn, sky.drawn)
        kind, now = (DRY_SPELL, start) if start > now else (WET_SPELL, end)
        because = yield site.begin(kind, now - because[END], because, actor, -1, number)
