"""The answer to what a field takes: pallets to order, mats by area, everything ordered, ground, loads, handbook estimate."""

from __future__ import annotations

from simulation.field import TakeOff
from simulation.field.coming_back import count_coming_back
from simulation.present.answer import Answer, Page, Part, Points, Table, Terms
from simulation.present.pictures.figure import listed
from simulation.present.words import wording
from simulation.present.words.job_words import cautions_of
from simulation.present.words.pallet_words import lopsided_in_words, parts_of, planned_in_words
from simulation.questions.forecast.yardsticks.handbook_tables import book_rows
from simulation.questions.takeoff.coming_back import coming_back_table, say_coming_back, say_states
from simulation.questions.takeoff.ground_tables import ground_parts
from simulation.questions.takeoff.order_tables import order_parts
from simulation.questions.takeoff.packed_apart import count_packed, packed_words
from simulation.questions.takeoff.record import takeoff_record
from simulation.questions.takeoff.tasks_table import tasks_table
from simulation.scenario import Scenario


def takeoff_answer(scenario: Scenario, quantities: TakeOff) -> Answer:
    """Return the answer to what a scenario's field takes, or, where it is taken up, to what comes back of it."""
    if scenario.takes_up:
        return _taken_up_answer(scenario, quantities)
    looked_after = Part("To be looked after", (Points(quantities.warnings),), short=True)
    book = Part(
        "Handbook estimate, beside the simulation: no supply, no weather, no spread",
        (Terms(tuple(book_rows(scenario, quantities))),),
    )
    parts = (
        Part.of(_to_order_table(quantities), short=True),
        Part.of(_areas_table(quantities), short=True),
        *([_read_as(quantities)] if quantities.snapped else []),
        Part.of(_pallets_table(quantities)),
        *order_parts(quantities),
        *ground_parts(quantities),
        *([Part.of(tasks_table(scenario))] if scenario.task else []),
        book,
        *([looked_after] if quantities.warnings else []),
    )
    packed = count_packed(scenario)
    return Answer(
        question="takeoff",
        title=scenario.title,
        about="take-off",
        headline=_headline(quantities),
        lines=(
            *lopsided_in_words(quantities),
            planned_in_words(quantities),
            *(() if packed is None else (packed_words(packed),)),
            _masses(quantities),
        ),
        pages=(Page("takeoff", "What the field takes", parts),),
        record=takeoff_record(quantities, scenario),
    )


def _taken_up_answer(scenario: Scenario, quantities: TakeOff) -> Answer:
    coming_back = count_coming_back(scenario)
    parts = (
        Part.of(coming_back_table(scenario, coming_back), short=True),
        Part.of(_areas_table(quantities), short=True),
        *([_read_as(quantities)] if quantities.snapped else []),
    )
    return Answer(
        question="takeoff",
        title=scenario.title,
        about="take-off of what is taken up",
        headline=say_coming_back(scenario, coming_back),
        lines=(say_states(coming_back),),
        pages=(Page("takeoff", "What comes back", parts),),
        record=takeoff_record(quantities, scenario),
        cautions=cautions_of(scenario),
    )


def _headline(quantities: TakeOff) -> str:
    """Return how many pallets to order, and of what."""
    order, mass = quantities.ordered, quantities.measures.mass
    kinds = [f"{wording.number(group.pallets)} of {group.what}" for group in order.pallets]
    return (
        f"Order {wording.counted(order.total_pallets, 'pallet')}, {mass.rounded(order.mass)}: {listed(kinds)}, spares included."
    )


def _to_order_table(quantities: TakeOff) -> Table:
    """Return the sum of pallets."""
    rows = [(what, wording.number(count)) for what, count in parts_of(quantities.to_order)]
    total = ("to order", wording.number(quantities.to_order.total))
    return Table("Pallets to order", ("of", "pallets"), (*rows, total), ends=frozenset({len(rows) - 1}))


def _areas_table(quantities: TakeOff) -> Table:
    measures = quantities.measures
    rows = []
    for area in quantities.areas:
        size = f"{measures.length.short(area.length)} × {measures.length.short(area.width)}"
        strips = area.key_strips + area.starter_key_strips
        counts = (measures.area.of(area.square_feet), area.rows, area.full, area.half, area.joints, strips)
        rows.append((area.name, size, *map(wording.number, counts)))
    all_strips = quantities.total("key_strips") + quantities.total("starter_key_strips")
    totals = (measures.area.of(quantities.total("square_feet")), *map(quantities.total, ("rows", "full", "half", "joints")))
    field = ("field", "", *map(wording.number, (*totals, all_strips)))
    return Table(
        "Quantities",
        (
            "area",
            f"{measures.length.name} × {measures.length.name}",
            measures.area.name,
            "rows",
            "full",
            "half",
            "joints",
            "key\nstrips",
        ),
        (*rows, field),
        notes=_area_notes(quantities),
        ends=frozenset({len(rows) - 1}),
        short=len(rows) + 1,
    )


def _area_notes(quantities: TakeOff) -> tuple[str, ...]:
    ramps = [f"{area.ramp_rows} of {area.name}" for area in quantities.areas if area.ramp_rows]
    starters = [area.name for area in quantities.areas if area.starter_key_strips]
    notes = ["Full and half are mats; an end joint takes one locking bar."]
    if ramps:
        notes.append(f"Rows inside end ramps: {', '.join(ramps)}.")
    if starters:
        notes.append(f"One of the key strips is the starter key strip: {', '.join(starters)}.")
    return tuple(notes)


def _pallets_table(quantities: TakeOff) -> Table:
    needs = [*((f"{area.name}, alone", area.alone) for area in quantities.areas), ("field", quantities.need)]
    rows = [
        (
            name,
            wording.number(need.pallets),
            need.governed_by,
            wording.number(need.surplus_full),
            wording.number(need.surplus_half),
        )
        for name, need in needs
    ]
    return Table(
        "Of these, the mats that the field needs: full and half mats must each be covered",
        ("area", "pallets", "governed by", "full mats over", "half mats over"),
        tuple(rows),
        words=frozenset({2}),
        notes=(
            f"By area alone the need would be {quantities.by_area_alone:,.1f} pallets, which covers it only where the widths use "
            "a pallet's own mix.",
        ),
    )


def _read_as(quantities: TakeOff) -> Part:
    rows = tuple((length.key, length.read_as(quantities.measures)) for length in quantities.snapped)
    return Part("Lengths that are read as whole rows or mats", (Terms(rows),))


def _masses(quantities: TakeOff) -> str:
    measures, order = quantities.measures, quantities.ordered
    return (
        f"Gross mass of all that is ordered: {measures.mass.rounded(order.mass)} ({measures.tons.rounded(order.mass)}); of the "
        f"mats that are planned: {measures.mass.rounded(quantities.mass)} ({measures.tons.rounded(quantities.mass)})."
    )
