"""No number of a scenario, however small or large, is taken without a word: each key has limits, or a usual range, or both."""

import json
import re

import pytest
from every_key_scenario import ENDINGS, FOLDER
from pydantic import TypeAdapter, ValidationError
from scenarios import lines, sound
from test_any_scenario import RAW, as_toml, places

from simulation.construction import find_warnings
from simulation.scenario import ScenarioError, parse_scenario
from simulation.scenario.reading.scaling import _kinds
from simulation.scenario.rules.on_earth import FIGURES
from simulation.scenario.tables.scenario import Scenario
from simulation.scenario.types.mistakes import address
from simulation.scenario.types.quantities.units import KINDS
from simulation.scenario.types.refusals import model_in
from simulation.scenario.types.section import Section
from simulation.scenario.types.usual import range_of

#: Any seed is as good as any other; a year of a record and what must stand in a column are no quantities.
NO_QUANTITY = {"seed", "weather.records.year"}
#: What is written with a very large number where it never happens.
NEVER = {"forklifts.breakdown_every"}
#: What may be as near to nothing as it likes: places, ways to lie, and what is most often none at all.
SIGNED = re.compile(
    r"site\..*|cold\..*|weather\.temperature\.(by_hour|low|high|wet).*|.*\.(station|offset|shift|at|from|to)|.*time_offset"
)
NUMBER = re.compile(r"-?[0-9.]+(?:[eE][+-]?[0-9]+)? ?(\D.*)?")
TINY, HUGE = (1e-12, 5e-324), (1e6, 1e12, 1e300)


def fields(model=Scenario, path=""):
    """Every field that holds no table, with its model and address."""
    for name, field in model.model_fields.items():
        here = f"{path}{field.alias or name}"
        inner = model_in(field.annotation)
        if inner is not None and issubclass(inner, Section):
            yield from fields(inner, f"{here}.")
        else:
            yield model, name, field, here


def holds_numbers(field):
    """Whether a field holds numbers or quantities, and not names, choices, clock times or yes and no."""
    said = str(field.annotation)
    return bool(list(_kinds(field))) or (
        re.search(r"\b(int|float)\b|Uncertain", said) and "tuple[tuple" not in said and "bool" not in said
    )


NUMERIC = {
    here: (model, name, field)
    for model, name, field, here in fields()
    if holds_numbers(field) or tuple(here.split(".")[1:]) in FIGURES
}


def refused(field, number):
    """Whether a field refuses a number, in the unit used inside."""
    kind = next(_kinds(field), None)
    if kind not in (None, "share"):
        number = f"{number!r} {KINDS[kind][0]}"
    elif "int" in str(field.annotation) and "float" not in str(field.annotation):
        number = int(number)
    try:
        TypeAdapter(field.rebuild_annotation()).validate_python(number)
    except ValidationError:
        return True
    return False


@pytest.mark.parametrize("key", NUMERIC)
def test_every_number_has_a_limit_or_a_usual_range_at_both_ends(key):
    model, name, field = NUMERIC[key]
    if key in NO_QUANTITY:
        return
    if tuple(key.split(".")[1:]) in FIGURES and key.startswith("weather."):
        impossible_least, impossible_most, least, most = FIGURES[tuple(key.split(".")[1:])]
        assert impossible_least <= least < most <= impossible_most
        return
    usual = range_of(model, name)
    for number in () if key in NEVER else HUGE:
        assert refused(field, number) or (usual is not None and not usual.holds(number)), (key, number, usual)
    for number in () if SIGNED.fullmatch(key) else TINY:
        assert refused(field, number) or (usual is not None and not usual.holds(number)), (key, number, usual)
    assert refused(field, -1e9) or (usual is not None and not usual.holds(-1e9)), key


def test_the_numbers_of_a_scenario_are_found():
    assert {"rail_gang.tamp", "book.earth", "supply.flights.every", "weather.wet_spell", "weather.rain.month"} <= NUMERIC.keys()
    assert {"stops.haul.gust", "soil.evaporation", "weather.states.wet", "accessories.tools", "forklifts.from"} <= NUMERIC.keys()
    assert {"cold.stop_below", "weather.climate.wet_spell", "crew.people"} <= NUMERIC.keys()
    assert not {"title", "starts", "area.start", "shifts.all.lighting", "laying.efficiency.low"} & NUMERIC.keys()
    assert len(NUMERIC) > 200


def warned(text):
    """Every warning of a scenario, by its key; None where it is refused."""
    try:
        return [(one.key, str(one)) for one in find_warnings(parse_scenario(text, folder=FOLDER))]
    except ScenarioError:
        return None


def said_of(text):
    """Every line that is said of a scenario."""
    found = warned(text)
    return lines(text) if found is None else [line for _, line in found]


@pytest.mark.parametrize(
    ("text", "line"),
    [
        (
            '[rail_gang]\ntamp = "36525000 day"',
            "rail_gang.tamp: 36,525,000 days is out of the usual range, 60 s to 4 h (planning value)",
        ),
        (
            '[rail_gang]\ntamp = { low = "5 min", mode = "10 min", high = "36525000 day" }',
            "rail_gang.tamp: 36,525,000 days at its upper end is far out of the usual range, 60 s to 4 h",
        ),
        (
            '[laying]\nmove = { p10 = "0.001 s", p90 = "1 s" }',
            "laying.move: 0.0316 s in the middle is out of the usual range, 60 s to 8 h (planning value)",
        ),
        (
            '[laying]\nmove = { low = "1e-6 s", mode = "10 min", high = "20 min" }',
            "laying.move: 1e-06 s at its lower end is far out of the usual range",
        ),
        ('[stops.haul]\ngust = "1e-12 m/s"', 'stops.haul.gust: "1e-12 m/s" is out of range; write "1 mph" or more'),
        ('[stops.haul]\nwind = "2 mph"', "stops.haul.wind: 2 mph is out of the usual range, 8 mph to 90 mph"),
        ('[soil]\nevaporation = "300 mm"', 'soil.evaporation: "300 mm" is out of range; write "50 mm" or less'),
        ('[soil]\nevaporation = "20 mm"', "soil.evaporation: 0.787 in is out of the usual range, 0.012 in to 0.591 in"),
        ("[book]\nearth = 1e-11", "book.earth: 1e-11 is out of the usual range, 1 to 500,000 (planning value)"),
        (
            '[[supply.flights]]\npallets = 2\nevery = "0.001 s"',
            'supply.flights.1.every: "0.001 s" is out of range; write "1 min" or more',
        ),
        (
            '[[supply.flights]]\npallets = 2\nevery = "5 min"',
            "supply.flights.1.every: 5 min is out of the usual range, 10 min to 60 days",
        ),
        ('[weather]\nwet_spell = "200 h"\ndry_spell = "9 day"', "weather.wet_spell: 8.333 days is out of the usual range"),
        ('[weather]\ndry_spell = "400 day"', "weather.dry_spell: 400 days is out of the usual range, 2 h to 180 days"),
        ('[accessories.tools]\n"pry bar" = 5000', "accessories.tools.pry bar: 5,000 is out of the usual range, 1 to 200"),
        ('[forklifts]\nfrom = ["0 h", "9999 day"]', "forklifts.from: 9,999 days is out of the usual range"),
        ('[cold]\nstop_below = "40 degF"', "cold.stop_below: 40 °F is out of the usual range, -76 °F to 32 °F"),
        (
            '[weather]\nmodel = "climate"\nclimate = { wet_hours = 40 }\nrain = { unit = "mm", mean = 90 }',
            "weather.rain.mean: 90 mm is out of the usual range, 0.1 to 25 mm (planning value)",
        ),
    ],
)
def test_what_is_out_of_the_trades_range_is_said_by_its_key(text, line):
    assert line in [said[: len(line)] for said in said_of(sound(text))]


def numbers(raw):
    """Every place of a number or a quantity in what a TOML file holds, with its unit; None where it has none."""
    for place in places(raw):
        value = raw
        for step in place:
            value = value[step]
        # Of a list of numbers, one is as good as another.
        later = isinstance(place[-1], int) and any(isinstance(step, int) and step for step in place[-2:])
        if isinstance(value, bool) or later or place[-1] in ("name", "file"):
            continue
        if isinstance(value, int | float):
            yield place, None, isinstance(value, int)
        elif isinstance(value, str) and (quantity := NUMBER.fullmatch(value)) and quantity[1] and ":" not in value:
            yield place, quantity[1], False


def unsaid(ending):
    """Yield every key, and number there, that is neither refused nor questioned."""
    raw = RAW[ending]
    before = warned(ENDINGS[ending])
    for place, unit, whole in numbers(raw):
        key = address(place, raw)
        without = re.sub(r"\.\d+$", "", key)
        for number in (*TINY, *HUGE, -1.0):
            amount = json.dumps(f"{number!r} {unit}") if unit else repr(number)
            value = str(int(number)) if whole else amount
            text = "\n".join(f"{json.dumps(name)} = {as_toml(one, {place: value}, (name,))}" for name, one in raw.items())
            found = warned(text)
            if found is None or not float(value.split()[0].strip('"')):
                continue
            heads = {key, without, without.rpartition(".")[0]}
            if not any(at in heads or at.startswith(f"{without}.") for at, line in found if (at, line) not in before):
                yield key, value, [at for at, _ in found]


@pytest.mark.slow
@pytest.mark.parametrize("ending", ENDINGS)
def test_of_every_number_in_the_field_where_every_key_is_written_something_is_said(ending):
    assert len(list(numbers(RAW[ending]))) > 280
    found = [one for one in unsaid(ending) if not SIGNED.fullmatch(one[0]) and one[0] not in NO_QUANTITY]
    assert not found, "\n".join(map(str, found))
