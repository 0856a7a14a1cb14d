"""A take-off as data: what stands under "answer" of its record, and the order as rows of a CSV file."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from simulation.field import TakeOff
from simulation.present.record_shapes import TAKE_OFF_UNITS
from simulation.questions.forecast.yardsticks.handbook_tables import book_record
from simulation.questions.takeoff.coming_back import coming_back_record
from simulation.questions.takeoff.packed_apart import packed_record
from simulation.scenario import Scenario


def takeoff_record(quantities: TakeOff, scenario: Scenario) -> dict[str, Any]:
    """Return everything that is counted, in feet and pounds whatever the words are in, with the handbook estimate."""
    record = {"units": TAKE_OFF_UNITS, **asdict(quantities)}
    record["told_in"] = record.pop("measures")["system"]
    # Beside every answer stand its warnings; those of a take-off concern the field, not the numbers.
    record["to_be_looked_after"] = record.pop("warnings")
    sums = quantities.to_order
    record["to_order"] |= {"total": sums.total, "mats": sums.mats, "planned": sums.planned, "planned_more_than_mats": sums.more}
    if (packed := packed_record(scenario)) is not None:
        record["packed_apart"] = packed
    return record | {"by_the_book": book_record(scenario, quantities), "comes_back": coming_back_record(scenario)}


def order_rows(quantities: TakeOff) -> list[dict[str, object]]:
    """Return the order as rows of a table: what each area needs, then the field with spares; the mass is of what is ordered."""
    order, mass = quantities.ordered, quantities.measures.mass
    rows: list[dict[str, object]] = [
        {"area": need.area or "crews", "item": need.item, "needed": need.count, "ordered": "", mass.name: "", "rule": need.rule}
        for need in order.by_area
    ]
    rows += [
        {
            "area": "field",
            "item": line.item,
            "needed": line.need,
            "ordered": line.order,
            mass.name: round(mass.of(line.mass), 3),
            "rule": line.rule,
        }
        for line in order.lines
    ]
    return rows
