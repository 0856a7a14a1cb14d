"""People against what is made best: a knee is named only where fewer are measurably worse, and inside the picture."""

from dataclasses import replace

import pytest
from matplotlib.text import Text
from scenarios import SHORT

from simulation.questions.plan.limits import Limits
from simulation.questions.plan.picture import draw_frontier
from simulation.questions.plan.sentences import plan_lines
from simulation.questions.plan.space import read_choices
from simulation.questions.plan.study import best_plan
from simulation.questions.plan.worded.people_sentences import frontier_title
from simulation.scenario import parse_scenario
from simulation.stats.group_sequential import Effect
from simulation.stats.paired_difference import Difference
from simulation.study.run_context import RunContext

#: Of three plans with fewer people than the best, the fewest first: ten hours later, two, and none.
SURELY = (Difference(10.0, 9.0, 11.0), Difference(2.0, 1.5, 2.5), Difference(0.0, -0.5, 0.5))
UNKNOWN = Difference(6.0, -2.0, 14.0)


@pytest.fixture(scope="module")
def found():
    scenario = parse_scenario(SHORT)
    result = best_plan(scenario, RunContext(runs=4, workers=1), Limits(people=60), read_choices(scenario, ["forklifts.count=2"]))
    return replace(result, margin=3.0)


def with_people(found, changes):
    """Return what was found, with plans of fewer people beside it that change so much."""
    like = found.rows[0]
    people = range(found.best.people - len(changes), found.best.people)
    rows = [
        replace(
            like,
            kind="people",
            plan=replace(like.plan, people=count, name=f"{count} people"),
            change=change,
            effect=Effect.MEASURABLE if change.measurable else Effect.TOO_CLOSE,
            identical=False,
        )
        for count, change in zip(people, changes, strict=True)
    ]
    return replace(found, rows=tuple(rows))


def say_people(result):
    return next(line for line in plan_lines(result) if line.startswith("People: "))


def test_the_knee_is_where_fewer_people_are_measurably_worse_by_more_than_matters(found):
    result = with_people(found, SURELY)
    assert result.knee == found.best.people - 2
    assert say_people(result).startswith(f"People: the knee is at {result.knee} (")


def test_no_knee_is_named_where_what_fewer_people_cost_is_not_known(found):
    result = with_people(found, (SURELY[0], UNKNOWN))
    assert result.knee is None and result.enough == found.best.people
    ten, two = (found.best.people - fewer for fewer in (2, 1))
    said = say_people(result)
    assert said.startswith(f"People: these runs show no knee; with {two} too close to call and with {ten} 10.0 hours later, ")
    both = say_people(with_people(found, (UNKNOWN, UNKNOWN)))
    assert both == f"People: these runs show no knee; with {two} and {ten} too close to call."
    unsettled = f"what {two} people cost is not settled; {ten} are measurably later, by 10.0 hours"
    assert frontier_title(result) == f"These runs show no knee: {unsettled}."


def test_fewer_people_cost_only_where_so_many_and_every_fewer_are_measurably_worse(found):
    most = found.best.people
    later, little = Difference(9.0, 7.0, 12.0), Difference(1.0, 0.5, 4.0)
    result = with_people(found, (SURELY[0], later, UNKNOWN))
    assert frontier_title(result).endswith(
        f"what {most - 1} people cost is not settled; {most - 2} and fewer are measurably later, {most - 2} by 9.0 hours."
    )
    result = with_people(found, (UNKNOWN, SURELY[0], later))
    assert result.knee is None and result.worse_from is None
    assert frontier_title(result).endswith(f"what fewer than {most} people cost is not settled.")
    result = with_people(found, (SURELY[0], little))
    assert frontier_title(result).endswith(f"no knee: {most - 1} and fewer are measurably later, {most - 1} by 1.0 hour.")
    result = with_people(found, (SURELY[0], later, SURELY[2]))
    knee = f"People: the knee is at {most - 1} (too close to call: forklifts.count as written); "
    assert say_people(result) == f"{knee}{most - 2} and fewer are measurably later, {most - 2} by 9.0 hours."
    assert frontier_title(result).startswith(
        f"The knee is at {most - 1} people on site: {most - 2} and fewer are measurably later"
    )


def test_where_the_fewest_tried_are_enough_that_is_said(found):
    result = with_people(found, SURELY[1:])
    assert result.knee is None
    assert say_people(result) == f"People: even {found.best.people - 2}, the fewest tried, cost no more than half a shift."


#: As a field of three weeks has them, in hours: the bar of the third reaches high up beside the knee.
NEAR = (
    Difference(273.0, 154.0, 312.0),
    Difference(103.0, 72.0, 120.0),
    Difference(82.0, 58.0, 110.0),
    Difference(12.0, 10.0, 62.0),
    Difference(1.0, -1.0, 2.0),
)


@pytest.mark.parametrize("changes", [SURELY, SURELY[:1], NEAR])
def test_the_knee_is_named_with_its_people_inside_the_picture(found, changes):
    result = with_people(found, changes)
    figure = draw_frontier(result)
    figure.canvas.draw()
    (label,) = figure.axes[0].texts
    assert label.get_text() == f"knee: {result.knee} people"
    box, frame = Text.get_window_extent(label), figure.axes[0].get_window_extent()
    assert frame.x0 <= box.x0 and box.x1 <= frame.x1
    assert frame.y0 <= box.y0 and box.y1 <= frame.y1
    for line in figure.axes[0].get_lines()[1:]:  # bars and points, but for the line through them
        assert not box.overlaps(line.get_window_extent())
