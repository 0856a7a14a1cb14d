"""Briefs of small fields, from real builds of a millisecond each, for the tests of what a brief says and how it looks."""

import sys
from functools import cache
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))

from short_strip import SHORT

from simulation.analysis.briefing import Asked, brief
from simulation.report.brief import brief_of
from simulation.report.brief_html import html_of
from simulation.report.pictures import pictures_of, s_curve_of
from simulation.scenario import parse_scenario

#: Stands where a title and an area's name do.
EVIL = "<script>window.ran = true</script>"
EVIL_STRIP = SHORT.replace('"Short strip"', f'"{EVIL}"').replace('"strip"', f'"{EVIL}"')
_STRETCH = '[[milestone]]\nname = "stretch {0}"\nstretch = {{ area = "strip", to = "{0} ft" }}\nready = {1}\n'
MANY_MILESTONES = SHORT.replace('length = "40 ft"', 'length = "80 ft"').replace("on_hand = 12", "on_hand = 24") + "".join(
    _STRETCH.format(feet, str(feet == 80).lower()) for feet in range(2, 82, 2)
)
#: Its horizon lies within the spread of its builds.
UNFINISHED = SHORT.replace("seed = 11", 'seed = 11\nhorizon = "26 h"')


@cache
def findings(text=SHORT, builds=120, deadline="28 h", full=False):
    """Return what is found of a scenario: the forecast alone, or everything with 20 builds of each plan."""
    asked = Asked(20, full, None if full else (), full)
    return brief(parse_scenario(text, "short.toml"), builds, workers=1, deadline=deadline, asked=asked)


@cache
def briefed(*asked, **named):
    """Return the brief of what is found; all pictures only where everything is asked for."""
    found = findings(*asked, **named)
    further = pictures_of(found.forecast) if named == {"full": True} else ()
    return brief_of(found, (s_curve_of(found.forecast), *further), Path("reports/short"))


@cache
def page_of(*asked, **named):
    return html_of(briefed(*asked, **named))
