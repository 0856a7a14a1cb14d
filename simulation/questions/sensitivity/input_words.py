"""What is an input called by people who do the work? Each uncertain key of a scenario in words, with the key beside it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from simulation.questions.sensitivity.shipment_luck import ShipmentLuck

if TYPE_CHECKING:
    from simulation.questions.sensitivity.level_inputs import LevelInput
    from simulation.questions.sensitivity.shipment_luck import Input

_TIME, _SHARE = "the longer it takes", "the larger it is"
#: Key without the name of its block -> (how its words begin, how they go on, what more of it is).
_WORDS = {
    "laying.pick_up": ("how long it takes to", "pick up a mat", _TIME),
    "laying.open_pallet": ("how long it takes to", "open a pallet", _TIME),
    "laying.place": ("how long it takes to", "place and seat a mat", _TIME),
    "laying.lock": ("how long it takes to", "set a locking bar", _TIME),
    "laying.key_strip": ("how long it takes to", "set a key strip", _TIME),
    "laying.starter_key_strip": ("how long it takes to", "set the starter key strip", _TIME),
    "laying.connect": ("how long it takes to", "connect two areas", _TIME),
    "laying.move": ("how long it takes to", "move a crew to another laying edge", _TIME),
    "laying.efficiency": ("what share of an hour", "laying crews really work", _SHARE),
    "laying.check": ("how long it takes to", "check the alignment", _TIME),
    "laying.reseat": ("how long it takes to", "re-seat a skewed row", _TIME),
    "laying.damaged_mats": ("what share of", "mats is damaged", _SHARE),
    "laying.absence": ("what share of", "a crew is away on a day", _SHARE),
    "used_mats.bent": ("what share of used mats", "has bent edges", _SHARE),
    "used_mats.scrap": ("what share of used mats", "is scrap", _SHARE),
    "forklifts.handle": ("how long a forklift takes to", "pick up or set down a pallet", _TIME),
    "forklifts.efficiency": ("what share of an hour", "forklifts really work", _SHARE),
    "forklifts.breakdown_every": ("how long a forklift", "works between breakdowns", "the longer it is"),
    "forklifts.repair": ("how long it takes to", "repair a forklift", _TIME),
    "grading.rate": ("how much ground", "a gang grades in an hour", "the more it is"),
    "grading.trench": ("how long it takes to", "dig the trench of an end ramp", _TIME),
    "grading.efficiency": ("what share of an hour", "grading gangs really work", _SHARE),
    "grading.backfill": ("how long it takes to", "backfill an end ramp", _TIME),
    "grading.undone": ("what share of", "graded ground heavy rain undoes", _SHARE),
    "rail_gang.section": ("how long it takes to", "set a guide rail section", _TIME),
    "rail_gang.tamp": ("how long it takes to", "fill and tamp a low spot", _TIME),
    "rail_gang.short_section": ("how long it takes to", "cut and set a short rail section", _TIME),
    "supply.trucks.load": ("how long it takes to", "load a truck at the port", _TIME),
    "supply.trucks.haul": ("how long a loaded truck takes to", "reach the yard", _TIME),
    "supply.trucks.return": ("how long an empty truck takes to", "return to the port", _TIME),
    "supply.shipments.comes": ("how long it takes until", "a shipment comes", "the longer it is"),
    "supply.shipments.discharge": ("how long it takes to", "bring a pallet off a shipment", _TIME),
    "area.rail.creep": ("how far apart", "loosely fitting rows lie", "the farther it is"),
    "area.rail.uneven": ("how unevenly", "rows creep on either side of the rail", "the more it is"),
    "area.stands.drill": ("how long it takes to", "drill a tie-down hole", _TIME),
    "take_up.shipments.comes": ("how long it takes until", "a ship comes", "the longer it is"),
    "take_up.shipments.discharge": ("how long it takes to", "bring a pallet on board", _TIME),
    "take_up.clean": ("how long it takes to", "clean a mat", _TIME),
    "take_up.inspect": ("how long it takes to", "inspect a mat", _TIME),
    "take_up.stack": ("how long it takes to", "stack a mat", _TIME),
    "take_up.band": ("how long it takes to", "band a pallet", _TIME),
    "take_up.bent": ("what share of mats", "has bent edges to be put right", _SHARE),
    "take_up.edge_tool": ("how long it takes to", "put bent edges right", _TIME),
    "take_up.sticking": ("what share of", "rows sticks", _SHARE),
    "take_up.free_row": ("how long it takes to", "work a row loose that sticks", _TIME),
    "take_up.tie_down": ("how long it takes to", "take a tie-down point off", _TIME),
    "take_up.to_repair": ("what share of mats", "comes up to be repaired", _SHARE),
    "take_up.scrap": ("what share of mats", "comes up as scrap", _SHARE),
    "take_up.dig_out": ("how long it takes to", "dig an end ramp out", _TIME),
    "take_up.end_connector": ("how long it takes to", "take an end connector off", _TIME),
    "take_up.seal": ("how long it takes to", "take a rail seal off", _TIME),
    "take_up.rail_section": ("how long it takes to", "take a guide rail section up", _TIME),
    "take_up.load_one": ("how long a forklift takes to", "load one pallet out", _TIME),
    "repair.take_up": ("what part of the time to lay a row", "taking it up takes", _SHARE),
    "repair.draw_out": ("how long it takes to", "draw a key strip out", _TIME),
    "repair.stuck": ("what share of", "key strips sticks", _SHARE),
    "repair.free": ("how long it takes to", "free a key strip that sticks", _TIME),
    "up.laying.efficiency": ("what share of an hour", "crews really work", _SHARE),
    "up.laying.connect": ("how long it takes to", "take connectors off", _TIME),
    "up.grading.efficiency": ("what share of an hour", "those who dig ramps out really work", _SHARE),
    "up.supply.trucks.load": ("how long it takes to", "unload a truck at the port", _TIME),
    "up.supply.trucks.haul": ("how long a loaded truck takes to", "reach the port", _TIME),
    "up.supply.trucks.return": ("how long an empty truck takes to", "come back to the yard", _TIME),
    "temporary_end.make": ("how long it takes to", "make a temporary end", _TIME),
    "temporary_end.take_up": ("how long it takes to", "take a temporary end up", _TIME),
    "task.each": ("how long it takes to", "do a piece of a task", _TIME),
    "task.comes": ("how long it takes until", "what a task needs is delivered", "the longer it is"),
}


def input_name(level: Input) -> str:
    """Return an input in words with its key in brackets; of several that move as one, the name that they share."""
    return f"{input_in_words(level)} ({level.name})"


def input_in_words(level: Input) -> str:
    """Return an input in words alone."""
    if isinstance(level, ShipmentLuck):
        return level.words
    return join_words([_words(key, level.taken_up)[:2] for key in level.keys])


def join_words(parts: Sequence[tuple[str, str]]) -> str:
    """Return several inputs in one phrase; those that begin alike say so once.

    Examples
    --------
    >>> join_words([("how long it takes to", "pick up a mat"), ("how long it takes to", "place a mat")])
    'how long it takes to pick up a mat and to place a mat'
    """
    (first, rest), *others = parts
    text = f"{first} {rest}"
    for number, (begins, goes_on) in enumerate(others, 1):
        link = " and" if number == len(others) else ","
        preposition = " to" if first.endswith(" to") else ""
        text += f"{link}{preposition} {goes_on}" if begins == first else f"{link} {begins} {goes_on}"
    return text


def more_of(level: LevelInput) -> str:
    """Return what more of an input is, such as ``the longer it takes``."""
    return _words(level.keys[0], level.taken_up)[2]


def _words(key: str, taken_up: bool = False) -> tuple[str, str, str]:
    room, *steps = key.split(".")
    if room in ("area", "supply"):  # without the name of the block, which may hold dots of its own
        steps = [steps[0], steps[-1]] if room == "supply" else steps[-2:]
    if steps[0] == "shipments":
        steps = [steps[0], steps[-1]]
    if room == "task":
        steps = steps[-1:]
    name = ".".join((room, *steps))
    return (_WORDS.get(f"up.{name}") if taken_up else None) or _WORDS[name]
