"""Which files does a report leave behind? `summary.json`, `runs.csv`, the S-curve and other pictures as SVG and PNG."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from simulation.present.answer import Figure
from simulation.present.own_files import write_whole
from simulation.present.record import as_json
from simulation.present.spreadsheet import format_frame
from simulation.questions.forecast.pictures import FURTHER, S_CURVE, s_curve_picture
from simulation.questions.forecast.record import forecast_record
from simulation.questions.forecast.study import Forecast

if TYPE_CHECKING:
    import pandas as pd


_SUMMARY, _RUNS = "summary.json", "runs.csv"


def report_files(pictures: bool) -> list[str]:
    """Return the names of the files of a forecast, with its further pictures or without."""
    drawn = [S_CURVE, *(FURTHER if pictures else ())]
    return [_SUMMARY, _RUNS, *(f"{name}.{ending}" for name in drawn for ending in ("svg", "png"))]


def write_report(forecast: Forecast, folder: Path, further: Sequence[Figure] = (), force: bool = False) -> list[Path]:
    """Write the files of a forecast into a folder, which is made where it is missing, and return their paths.

    Parameters
    ----------
    forecast : Forecast
    folder : Path
    further : sequence of Figure
        Beside the S-curve; see `forecast_pictures`.
    force : bool
        Whether files that no forecast wrote are replaced.

    Raises
    ------
    OSError
        If the folder or a file in it cannot be written, or is not to be replaced: see `own_files.write_whole`.
    """

    def write(draft: Path) -> list[Path]:
        summary, runs = draft / _SUMMARY, draft / _RUNS
        summary.write_text(as_json(forecast_record(forecast)) + "\n", encoding="utf-8")
        runs.write_text(format_frame(_reached(forecast.runs)), encoding="utf-8")
        drawn = [picture.save(draft) for picture in (s_curve_picture(forecast), *further)]
        return [summary, runs, *(file for files in drawn for file in files)]

    return write_whole(folder, write, "forecast", force)


def _reached(runs: pd.DataFrame) -> pd.DataFrame:
    """Return runs without the columns of days on which no run was at work any more."""
    days = [name for name in runs.columns if name.startswith("day.")]
    worked = (runs[days] > 0).any()
    return runs.drop(columns=[name for name in days if not worked[name]])
