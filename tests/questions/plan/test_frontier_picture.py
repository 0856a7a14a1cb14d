"""The picture of people against what is made best names its knee, inside the picture wherever it lies."""

from dataclasses import replace

import pytest
from scenarios import SHORT

from simulation.questions.plan.limits import Limits
from simulation.questions.plan.picture import draw_frontier
from simulation.questions.plan.space import read_choices
from simulation.questions.plan.study import best_plan
from simulation.scenario import parse_scenario
from simulation.study.run_context import RunContext


@pytest.mark.parametrize("place", [1, -1])
def test_the_knee_is_named_with_its_people_inside_the_picture(place):
    scenario = parse_scenario(SHORT)
    result = best_plan(scenario, RunContext(runs=8, workers=1), Limits(people=60), read_choices(scenario, ["forklifts.count=2"]))
    _, value, _ = result.frontier[place]
    result = replace(result, margin=max(0.0, value - result.value) + 1e-9)
    assert result.knee is not None
    figure = draw_frontier(result)
    figure.canvas.draw()
    (label,) = figure.axes[0].texts
    assert label.get_text() == f"knee: {result.knee} people"
    box, frame = label.get_window_extent(), figure.axes[0].get_window_extent()
    assert frame.x0 <= box.x0 and box.x1 <= frame.x1
    assert frame.y0 <= box.y0 and box.y1 <= frame.y1
