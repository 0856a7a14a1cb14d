"""How did the work go beside what was forecast? The old band, what really happened drawn over it, and the new band."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from simulation.present.pictures.day_axis import SHORTEST_NIGHT, draw_days, shade
from simulation.present.pictures.figure import GREY, INK, NIGHT, SMALL, axes_at, blank, draw_words
from simulation.present.words import wording
from simulation.questions.update.sentences import where_we_stand
from simulation.study.calendar import make_calendar

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from simulation.questions.forecast.progress_fan import ProgressFan
    from simulation.questions.update.study import UpdateResult

#: Inches: the picture, and the place of the axes in it.
WIDTH, HEIGHT = 8.4, 5.9
_LEFT, _BOTTOM, _AXES_WIDTH, _AXES_HEIGHT = 0.8, 1.75, 5.6, 3.1
#: Grey of the new band.
_NOW = "#b4b4b4"


def draw_update(result: UpdateResult) -> Figure:
    """Return the picture."""
    from matplotlib.patches import Patch

    figure = blank(WIDTH, HEIGHT)
    axes = axes_at(figure, _LEFT, _BOTTOM, _AXES_WIDTH, _AXES_HEIGHT)
    calendar, end = make_calendar(result.now.scenario), _in_view(result)
    axes.set_xlim(0.0, end / 24.0)
    axes.set_ylim(0.0, 102.0)
    shaded = shade(axes, calendar.off_shift(0.0, end, SHORTEST_NIGHT), 0.0, end)
    _draw_band(axes, result.fan_then, (0.0, 0.0), 2.0 * end, "then, P10 to P90", {"facecolor": "none", "hatch": "////"})
    if result.log.state is not None:
        _draw_band(axes, result.fan_now, (result.moment, result.done), 2.0 * end, "now, P10 to P90", {"facecolor": _NOW})
        _draw_middle(axes, result.fan_now, result.moment, result.done)
        lived = result.log.state.lived
        days, shares = [at / 24.0 for at, _ in lived], [100.0 * share for _, share in lived]
        axes.plot(days, shares, color=INK, linewidth=2.2, zorder=6, label="what was laid")
        axes.plot(days[-1:], shares[-1:], marker="o", markersize=6, color=INK, zorder=7, linestyle="")
    deadline = result.now.deadline
    if deadline is not None and deadline.hours < end:
        axes.axvline(deadline.hours / 24.0, color=INK, linewidth=1.0, linestyle=(0, (1, 2)), zorder=5, label="deadline")
    axes.set_ylabel("area laid, % of the field")
    draw_days(axes, calendar, 0.0, end)
    handles, labels = axes.get_legend_handles_labels()
    if shaded:
        handles.append(Patch(facecolor=NIGHT, edgecolor=GREY, linewidth=0.5))
        labels.append("nobody lays")
    axes.legend(
        handles, labels, loc="lower left", bbox_to_anchor=(1.0, 0.0), frameon=False, fontsize=SMALL, handlelength=2.2,
        labelspacing=0.5,
    )  # fmt: skip
    note = (
        "Bands hold the middle 80 % of the runs; they are calculated at every 5 % of area and joined by straight lines. What was "
        "laid is drawn evenly over each shift of the log. They do not cover wrong inputs or a wrong model."
    )
    draw_words(figure, _LEFT, conclude_update(result), where_we_stand(result), note)
    return figure


def conclude_update(result: UpdateResult) -> str:
    """Return what the picture says first."""
    if result.reached:
        return f"Ready after {wording.days(result.now.p80.value)} days; P80 was {wording.days(result.then.p80.value)}"
    if result.log.state is None:
        return "Nothing is logged yet"
    now, then = (wording.days(outcome.p50.value) for outcome in (result.now, result.then))
    return f"Half of the runs are ready in {now} days, where it was {then}"


def describe_update(result: UpdateResult) -> str:
    """Return the picture in sentences, for readers who do not see it."""
    return (
        f"Area laid against days: the band of the forecast from the start, what was laid by the log, and the band from there. "
        f"{where_we_stand(result)} P80 of readiness was {wording.days(result.then.p80.value)} days from the start, and is "
        f"{wording.days(result.now.p80.value)} days now."
    )


def _in_view(result: UpdateResult) -> float:
    fans = (result.fan_then, result.fan_now)
    times = [hour for fan in fans for each in (fan.p10, fan.p50, fan.p90) for hour in each if math.isfinite(hour)]
    return 1.05 * max([*times, result.moment, 1.0])


def _draw_band(axes: Axes, fan: ProgressFan, since: tuple[float, float], far: float, label: str, look: dict[str, Any]) -> None:
    low, high = (_border(times, fan.percents, since, far) for times in (fan.p10, fan.p90))
    if len(low) < 2 or len(high) < 2:
        return
    days, percents = zip(*low, *reversed(high), strict=True)
    axes.fill(days, percents, edgecolor=GREY, linewidth=0, zorder=2 if since[0] == 0.0 else 3, label=label, **look)
    for border in (low, high):
        axes.plot([at for at, _ in border], [percent for _, percent in border], color=GREY, linewidth=0.6, zorder=3)


def _border(
    times: tuple[float, ...], percents: tuple[int, ...], since: tuple[float, float], far: float
) -> list[tuple[float, float]]:
    """Return one edge of a band from a moment and share on; where too few runs came to a part, it goes level out of view."""
    moment, share = since
    known = [(at / 24.0, float(percent)) for at, percent in zip(times, percents, strict=True) if moment <= at < math.inf]
    if moment:
        known.insert(0, (moment / 24.0, 100.0 * share))
    if any(math.isinf(at) for at in times) and known:
        known.append((far / 24.0, known[-1][1]))
    return known


def _draw_middle(axes: Axes, fan: ProgressFan, since: float, done: float) -> None:
    known = [(at / 24.0, percent) for at, percent in zip(fan.p50, fan.percents, strict=True) if since <= at < math.inf]
    line = [(since / 24.0, 100.0 * done), *known]
    axes.plot(
        [at for at, _ in line], [percent for _, percent in line], color=INK, linewidth=1.3, linestyle=(0, (5, 3)), zorder=4,
        label="now, P50",
    )  # fmt: skip
