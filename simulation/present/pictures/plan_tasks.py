"""Where on the plan of a field are tasks done? A mark in the middle of the ground of each, several at one spot once."""

from __future__ import annotations

from typing import TYPE_CHECKING

from simulation.construction.plan.tasks import place_of, task_plans
from simulation.present.pictures.figure import INK

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.lines import Line2D

    from simulation.field import Placed
    from simulation.scenario import Scenario


def draw_tasks(axes: Axes, scenario: Scenario, placed: dict[str, Placed]) -> None:
    """Draw the marks; a task beside the field has none."""
    for area, station in dict.fromkeys((plan.area, plan.station) for plan in task_plans(scenario) if plan.area >= 0):
        x, y = placed[scenario.area[area].name].point(station, 0.0)
        mark = task_mark()
        mark.set_data([x], [y])
        mark.set_gid("task")
        axes.add_line(mark)


def task_mark() -> Line2D:
    """Return the mark, as a legend shows it."""
    from matplotlib.lines import Line2D

    return Line2D(
        [], [], color=INK, marker="h", markersize=8.0, markerfacecolor="white", linestyle="", label="ground of tasks", zorder=5
    )


def say_tasks(scenario: Scenario) -> str:
    """Return where tasks are done, to follow a sentence on the plan; nothing where there are none."""
    said = [f"{task.name} at {where}" for task in scenario.task if (where := place_of(scenario, task)) is not None]
    return f"; tasks: {', '.join(said)}" if said else ""
