"""An empty site log that fits a scenario: a line for each crew and shift of the first days, and one a day for what comes."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from typing import TYPE_CHECKING

from simulation.construction.work_begun import list_shifts
from simulation.scenario.site_log.log_columns import COLUMNS

if TYPE_CHECKING:
    from simulation.scenario import Scenario

#: Days for which lines are written; who needs more copies them.
DAYS = 7


def empty_log(scenario: Scenario) -> str:
    """Return an empty log as CSV; a line without rows, pallets or anything else that was counted says nothing."""
    from simulation.present.spreadsheet import format_csv

    names = [column.name for column in COLUMNS if column.written]
    rows = sorted(_lines(scenario), key=lambda row: (row["date"], row["shift"] or "24", row["crew"]))
    return format_csv([{name: row.get(name, "") for name in names} for row in rows])


def _lines(scenario: Scenario) -> Iterator[dict[str, str]]:
    days = set()
    for crew, spans in zip(scenario.crew, list_shifts(scenario), strict=True):
        for start, end in spans:
            begins, ends = (scenario.starts + timedelta(hours=hour) for hour in (start, end))
            if start >= 24.0 * DAYS:
                break
            days.add(f"{begins:%Y-%m-%d}")
            until = "24:00" if f"{ends:%H:%M}" == "00:00" else f"{ends:%H:%M}"
            area = crew.areas[0] if len(scenario.area) > 1 else ""
            yield {
                "date": f"{begins:%Y-%m-%d}",
                "shift": f"{begins:%H:%M}-{until}",
                "crew": crew.name,
                "area": area or scenario.area[0].name,
            }
    for day in days:
        yield {"date": day, "shift": "", "crew": ""}
