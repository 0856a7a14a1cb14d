"""How a record of weather and the chain fitted to it compare, as a picture: by month, by week, and by dry spells.

The record is grey bars or a thick grey line, the model a thin black one with marks: they are told apart without colour.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from simulation.present import wording
from simulation.present.figure import GREY, INK, LARGE, PLAIN, SMALL, lines_within, save_figure
from simulation.present.own_files import write_whole
from simulation.questions.weather.block import weather_block
from simulation.questions.weather.tables import weather_answer, weather_record

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure
    from numpy import float64, intp
    from numpy.typing import NDArray

    from simulation.questions.weather.study import WeatherFit

_WIDTH, _HEIGHT = 10.0, 4.4
#: Width of a thick line, in points.
_THICK = 3.0


def draw_weather(found: WeatherFit) -> Figure:
    """Return the picture."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    figure = Figure(figsize=(_WIDTH, _HEIGHT))
    FigureCanvasAgg(figure)
    axes = figure.subplots(1, 3, gridspec_kw={"left": 0.07, "right": 0.98, "top": 0.70, "bottom": 0.22, "wspace": 0.3})
    _months(axes[0], found)
    _weeks(axes[1], found)
    _spells(axes[2], found)
    handles, labels = axes[0].get_legend_handles_labels()
    figure.legend(handles, labels, loc="upper right", bbox_to_anchor=(0.985, 0.835), ncols=2, frameon=False, fontsize=SMALL)
    inches = _WIDTH - 0.4
    title = lines_within(f"Weather of {Path(found.named.file).name}: record and fitted chain", LARGE, inches, bold=True)[0]
    figure.text(0.02, 0.97, title, fontsize=LARGE, fontweight="bold", va="top")
    figure.text(0.02, 0.905, "\n".join(lines_within(weather_answer(found)[0], PLAIN, inches)[:2]), fontsize=PLAIN, va="top")
    sample = f"In-sample: {wording.counted(found.days, 'day')}, fitted and compared. " if found.in_sample else ""
    trust = f"{sample}Model: {found.records} drawn records of the same dates. What the record does not know is left out of both."
    figure.text(0.02, 0.03, "\n".join(lines_within(trust, SMALL, inches)), fontsize=SMALL, va="bottom")
    return figure


def _months(axes: Axes, found: WeatherFit) -> None:
    places = np.arange(12)
    axes.bar(places, [100 * one for one in found.recorded.by_month], color=GREY, alpha=0.6, width=0.7, label="record")
    axes.plot(
        places,
        [100 * one for one in found.drawn.by_month],
        color=INK,
        marker="o",
        markersize=4,
        linewidth=1.0,
        label="fitted chain",
    )
    for month in sorted(set(range(12)) - found.months):
        place: dict[str, Any] = {"rotation": 90, "ha": "center", "va": "bottom", "transform": axes.get_xaxis_transform()}
        axes.text(month, 0.03, "no record", color=INK, fontsize=SMALL, **place)
    axes.set_xticks(places, list("JFMAMJJASOND"))
    axes.set_xlabel("month")
    axes.set_xlim(-0.7, 11.7)
    axes.set_ylabel(f"wet {found.unit}s, %")
    axes.set_ylim(bottom=0)


def _weeks(axes: Axes, found: WeatherFit) -> None:
    for spread, recorded in ((found.recorded, True), (found.drawn, False)):
        values, shares = _at_most(spread.weeks)
        axes.step(values, 100 * shares, where="post", **_line(recorded))
    axes.set_xlabel(f"wet {found.unit}s in a week, at most")
    axes.set_ylabel("weeks, %")
    axes.set_ylim(0, 102)
    axes.set_xlim(left=0)


def _spells(axes: Axes, found: WeatherFit) -> None:
    longest = 1
    for spread, recorded in ((found.recorded, True), (found.drawn, False)):
        values, shares = _at_most(spread.dry_spells)
        if len(values):
            axes.step(values, np.maximum(100 * (1 - shares), 1e-9), where="post", **_line(recorded))
            longest = max(longest, int(values[-1]) if recorded else 1)
    axes.set_yscale("log")
    axes.set_ylim(0.3, 130)
    axes.set_yticks([1, 10, 100], ["1", "10", "100"])
    axes.set_xlim(0, 1.15 * longest)
    axes.set_xlabel(f"dry spell longer than, {found.unit}s")
    axes.set_ylabel("dry spells, %")


def _line(recorded: bool) -> dict[str, Any]:
    return {"color": GREY, "linewidth": _THICK, "alpha": 0.6} if recorded else {"color": INK, "linewidth": 1.0}


def _at_most(values: NDArray[intp]) -> tuple[NDArray[intp], NDArray[float64]]:
    """Return values and the share of them that is no greater."""
    found, counts = np.unique(values, return_counts=True)
    return found, counts.cumsum() / max(len(values), 1)


#: What is written into a folder.
FILES = ("weather.svg", "weather.png", "weather.toml", "weather.json")


def write_weather(found: WeatherFit, folder: Path, force: bool = False) -> list[Path]:
    """Write the picture, the block for a scenario and all figures into a folder, and return their paths.

    Raises
    ------
    OSError
        If the folder or a file in it cannot be written, or is not to be replaced: see `own_files.write_whole`.
    """
    return write_whole(folder, lambda draft: _save(found, draft), "weather", force)


def _save(found: WeatherFit, folder: Path) -> list[Path]:
    pictures = save_figure(lambda: draw_weather(found), folder / "weather", describe_weather(found))
    block, record = (folder / name for name in FILES[2:])
    block.write_text(weather_block(found.fit), encoding="utf-8")
    record.write_text(json.dumps(weather_record(found), indent=2) + "\n", encoding="utf-8")
    return [*pictures, block, record]


def describe_weather(found: WeatherFit) -> str:
    """Return the picture in a sentence, for readers who do not see it."""
    return (
        f"{found.named.file}, record against fitted chain: wet {found.unit}s by month, wet {found.unit}s of a week, and lengths "
        f"of dry spells. {' '.join(weather_answer(found))}"
    )
