"""How do the benchmarks look? Speeds of all contestants as dots on one axis, and what size, runs and workers cost."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from bench_table import FLOOR, LINES, THIS, Cost, Memory, Results, Scaling, Timing

from simulation.present.pictures.figure import GREY, INK, LARGE, NIGHT, PLAIN, SMALL, STYLE

if TYPE_CHECKING:
    from matplotlib.axes import Axes

WIDTH, HEIGHT = 8.4, 9.6


def save_picture(results: Results, path: Path) -> None:
    """Write the picture beside `path` as SVG and PNG."""
    import matplotlib
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    with matplotlib.rc_context(STYLE):
        figure = Figure(figsize=(WIDTH, HEIGHT))
        FigureCanvasAgg(figure)
        figure.text(0.02, 0.985, "Benchmarks", fontsize=LARGE, fontweight="bold", verticalalignment="top")
        said = "Medians of rounds in which all took their turns, on one core where two are not named. Further right is faster."
        figure.text(0.02, 0.961, said, fontsize=SMALL, verticalalignment="top")
        _speeds(figure.add_axes((0.335, 0.535, 0.575, 0.385)), results.timings)
        _time(figure.add_axes((0.09, 0.315, 0.375, 0.14)), results.costs)
        _timeouts(figure.add_axes((0.60, 0.315, 0.375, 0.14)), results.costs)
        _memory(figure.add_axes((0.09, 0.06, 0.375, 0.15)), results.memory)
        _workers(figure.add_axes((0.60, 0.06, 0.375, 0.15)), results.scaling)
        figure.savefig(path.with_suffix(".svg"), metadata={"Date": None})
        figure.savefig(path.with_suffix(".png"), dpi=150)


def _speeds(axes: Axes, timings: list[Timing]) -> None:
    # Dots, not bars: on a logarithmic axis a bar has no beginning.
    looks: dict[str, dict[str, Any]] = {
        THIS: {"color": INK, "marker": "o", "markersize": 8.0},
        FLOOR: {"color": INK, "marker": "D", "markersize": 6.5, "markerfacecolor": "white"},
    }
    others = {"color": GREY, "marker": "s", "markersize": 6.0}
    axes.set_xscale("log")
    place, places, names = 0.0, [], []
    for line, (title, _) in LINES.items():
        axes.text(
            -0.02,
            place,
            title,
            transform=axes.get_yaxis_transform(),
            fontsize=PLAIN,
            fontweight="bold",
            horizontalalignment="right",
            verticalalignment="center",
        )
        place += 1.0
        for one in (one for one in timings if one.line == line):
            axes.axhline(place, color=NIGHT, linewidth=1.0, zorder=0)
            axes.plot([one.median], [place], linestyle="none", zorder=3, **looks.get(one.name, others))
            value = f"{one.median:,.0f}" if one.median >= 10 else f"{one.median:.1f}"
            axes.annotate(
                value,
                (one.median, place),
                xytext=(8, 0),
                textcoords="offset points",
                fontsize=SMALL,
                verticalalignment="center",
                bbox={"facecolor": "white", "edgecolor": "none", "pad": 1.0},
            )
            places.append(place)
            names.append(one.name)
            place += 1.0
        place += 0.3
    axes.set_yticks(places, names)
    axes.tick_params(axis="y", length=0)
    axes.set_ylim(place - 0.4, -0.6)
    axes.set_xlim(min(one.median for one in timings) / 1.5, max(one.median for one in timings) * 2.0)
    axes.xaxis.set_major_formatter(lambda value, _: f"{value:,.0f}")
    axes.set_xlabel("runs a second (each mark is ten times the one before)")


def _title(axes: Axes, text: str) -> None:
    axes.set_title(text, fontsize=PLAIN, fontweight="bold", loc="left")


def _time(axes: Axes, costs: list[Cost]) -> None:
    _title(axes, "Time of a run, by field size")
    axes.plot([one.feet for one in costs], [one.median_seconds * 1e3 for one in costs], color=INK, marker="o", markersize=4.5)
    axes.set_xlabel("length of the runway, ft")
    axes.set_ylabel("ms a run")
    _from_zero(axes)


def _timeouts(axes: Axes, costs: list[Cost]) -> None:
    _title(axes, "Cost per pallet, by field size")
    axes.plot([one.feet for one in costs], [one.median_timeouts for one in costs], color=INK, marker="o", markersize=4.5)
    axes.set_xlabel("length of the runway, ft")
    axes.set_ylabel("bare timeouts")
    _from_zero(axes)


def _memory(axes: Axes, memory: list[Memory]) -> None:
    _title(axes, "Peak memory, by runs")
    runs = [one.runs for one in memory]
    axes.plot(runs, [one.peak for one in memory], color=INK, marker="o", markersize=4.5)
    axes.plot(runs, [one.results for one in memory], color=GREY, marker="s", markersize=4.0, linestyle=(0, (4, 3)))
    for value, word in ((memory[-1].peak, "whole process"), (memory[-1].results, "its table of results")):
        axes.annotate(
            word, (runs[-1], value), xytext=(0, 7), textcoords="offset points", fontsize=SMALL, horizontalalignment="right"
        )
    axes.set_xlabel("runs")
    axes.set_ylabel("MiB")
    _from_zero(axes)


def _workers(axes: Axes, scaling: Scaling) -> None:
    _title(axes, "A second worker")
    bars = [("1 worker", scaling.one, ""), ("2 workers", scaling.two, f", {scaling.gain:.2f} times")]
    for place, (_, speed, gain) in enumerate(bars):
        axes.barh(place, speed, height=0.6, facecolor=INK if place else NIGHT, edgecolor=INK, linewidth=0.8)
        axes.annotate(
            f"{speed:.0f}{gain}",
            (speed, place),
            xytext=(4, 0),
            textcoords="offset points",
            fontsize=SMALL,
            verticalalignment="center",
        )
    axes.set_yticks(range(len(bars)), [name for name, _, _ in bars])
    axes.tick_params(axis="y", length=0)
    axes.set_ylim(1.6, -0.6)
    axes.set_xlim(0.0, max(scaling.one, scaling.two) * 1.5)
    axes.set_xlabel("runs a second")


def _from_zero(axes: Axes) -> None:
    from matplotlib.ticker import MaxNLocator

    axes.set_xlim(left=0.0, right=axes.get_xlim()[1])
    axes.set_ylim(0.0, axes.get_ylim()[1] * 1.25)
    axes.xaxis.set_major_locator(MaxNLocator(5, steps=[1, 2, 3, 5, 10]))
    axes.xaxis.set_major_formatter(lambda value, _: f"{value:,.0f}")
