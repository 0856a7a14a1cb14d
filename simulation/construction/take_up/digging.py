"""End ramps are dug out, by the grading gangs, while the middle of the field comes up."""

from __future__ import annotations

from simulation.construction.plan.steps import DIG_OUT, LATE_START
from simulation.construction.plan.take_up_plan import SectionPlan
from simulation.construction.site.event_loop import Process
from simulation.construction.site.site import Site
from simulation.construction.take_up.coming_up import ComingUp


def dig(site: Site, field: ComingUp, sections: list[SectionPlan], actor: int) -> Process:
    """Dig the end ramps of some sections out, one after the other, and let the crews go on that wait for them."""
    because, efficiency = site.zero, site.levels["grading.efficiency"]
    if site.plan.gangs_since > site.env.now:
        because = yield site.pause(LATE_START, site.plan.gangs_since, site.zero, actor)
    for section in sections:
        luck = field.luck.each("dig_out", f"{section.edge} {section.rows[0]}")
        for number, hours in zip(range(section.ramps), luck, strict=False):
            because = yield site.begin(DIG_OUT, hours / efficiency, because, actor, section.edge, number)
        field.dug.add(section)
        waits = field.ramp_waits.pop(section, None)
        if waits is not None:
            waits.succeed(because)
