"""Briefs of small fields, from real runs of a millisecond each, for the tests of what a brief says and how it looks."""

from functools import cache
from pathlib import Path

import pytest
from scenarios import SHORT

from simulation.present.renderers.page import render_page
from simulation.questions.brief.answer import brief_answer
from simulation.questions.brief.study import Asked, brief
from simulation.questions.conditions.study import losses_of
from simulation.questions.forecast.drawn.figures import forecast_pictures, plan_of, s_curve_picture
from simulation.scenario import parse_scenario
from simulation.study.run_context import RunContext

#: Stands where a title and an area's name do.
EVIL = "<script>window.ran = true</script>"
EVIL_STRIP = SHORT.replace('"Short strip"', f'"{EVIL}"').replace('"strip"', f'"{EVIL}"')
_STRETCH = '[[milestone]]\nname = "stretch {0}"\nstretch = {{ area = "strip", to = "{0} ft" }}\nready = {1}\n'
MANY_MILESTONES = SHORT.replace('length = "40 ft"', 'length = "80 ft"').replace("on_hand = 12", "on_hand = 24") + "".join(
    _STRETCH.format(feet, str(feet == 80).lower()) for feet in range(2, 82, 2)
)
#: Its horizon lies within the spread of its runs.
UNFINISHED = SHORT.replace("20 day", "26 h")


@cache
def findings(text=SHORT, runs=120, deadline="28 h", full=False, plans=False):
    """Return what is found of a scenario: the forecast alone; everything, with 20 runs of each plan; or plans alone, with 5."""
    asked = Asked(20 if full else 5, full, None if full or plans else (), full or plans)
    return brief(parse_scenario(text, "short.toml"), RunContext(runs=runs, workers=1, deadline=deadline), asked=asked)


@cache
def briefed(*asked, **named):
    """Return the brief of what is found; all pictures, and the conditions, only where everything is asked for."""
    found = findings(*asked, **named)
    forecast, whole = found.forecast, named == {"full": True}
    further = forecast_pictures(forecast) if whole else ()
    plan = (plan_of(forecast.scenario),) if whole or named.get("plans") else ()
    losses = losses_of(forecast, 20) if whole else None
    return brief_answer(found, (s_curve_picture(forecast), *further, *plan), Path("reports/short"), losses)


@cache
def page_of(*asked, **named):
    """Return the brief as a page; pictures are drawn only into the plainest and into that of everything."""
    drawn = not asked and named in ({}, {"full": True})
    with pytest.MonkeyPatch.context() as patch:
        if not drawn:
            patch.setattr("simulation.present.renderers.page.render_image", blank_image)
        return render_page(briefed(*asked, **named))


def blank_image(_, kind, *__):
    """Return a picture in the place of one that takes long to draw and that nobody looks at."""
    assert kind == "svg"
    return b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 84 61"/>'
