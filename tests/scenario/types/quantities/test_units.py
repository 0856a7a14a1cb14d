import math

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic_core import PydanticCustomError

from simulation.scenario.types.quantities import unit_names
from simulation.scenario.types.quantities.unit_names import unit_factor
from simulation.scenario.types.quantities.units import KINDS, LARGEST, read_quantity

lengths = st.decimals(min_value=0, max_value=100_000, places=3).map(float)


def refused(kind, value):
    with pytest.raises(PydanticCustomError) as caught:
        read_quantity(kind, value)
    return caught.value.context["wrong"]


@given(lengths)
def test_a_length_is_the_same_in_feet_and_inches_and_yards(feet):
    assert read_quantity("length", f"{feet!r} ft") == round(feet, 12)
    assert read_quantity("length", f"{feet * 12!r} in") == pytest.approx(feet, abs=1e-9)
    assert read_quantity("length", f"{feet / 3!r} yd") == pytest.approx(feet, abs=1e-9)


@given(lengths)
def test_a_foot_is_304_point_8_millimetres_exactly(metres):
    assert read_quantity("length", f"{metres!r} m") == pytest.approx(metres / 0.3048, rel=1e-12, abs=1e-11)
    assert read_quantity("length", f"{metres * 1000!r} mm") == pytest.approx(metres / 0.3048, rel=1e-12, abs=1e-11)


@given(st.integers(0, 100_000))
def test_a_duration_is_the_same_in_seconds_minutes_hours_and_days(seconds):
    hours = seconds / 3600
    assert read_quantity("duration", f"{seconds} s") == pytest.approx(hours, rel=1e-12, abs=1e-12)
    assert read_quantity("duration", f"{seconds / 60!r} min") == pytest.approx(hours, rel=1e-12, abs=1e-12)
    assert read_quantity("duration", f"{hours / 24!r} day") == pytest.approx(hours, rel=1e-12, abs=1e-12)


@pytest.mark.parametrize(
    ("kind", "text", "inside"),
    [
        ("length", "72 ft", 72.0),
        ("length", "864 in", 72.0),
        ("length", "24 yards", 72.0),
        ("length", " 72ft ", 72.0),
        ("length", "7.2e1 feet", 72.0),
        ("length", "-250 ft", -250.0),
        ("length", "0.3048 m", 1.0),
        ("duration", "45 min", 0.75),
        ("duration", "90 s", 0.025),
        ("duration", "5 day", 120.0),
        ("duration", "2 weeks", 336.0),
        ("speed", "8 km/h", 8 / 1.609344),
        ("speed", "88 ft/min", 1.0),
        ("mass", "70.30681735 kg", 155.0),
        ("area rate", "9000 ft**2/h", 9000.0),
        ("area rate", "9000 ft^2/h", 9000.0),
        ("area rate", "9000 sq ft/h", 9000.0),
        ("area rate", "9000 ft² / h", 9000.0),
        ("area rate", "1000 m²/h", 1000 / 0.09290304),
    ],
)
def test_a_quantity_may_be_written_as_the_trade_writes_it(kind, text, inside):
    assert read_quantity(kind, text) == pytest.approx(inside, rel=1e-9)


def test_45_minutes_are_three_quarters_of_an_hour_to_the_digit():
    assert read_quantity("duration", "45 min") == 0.75
    assert read_quantity("duration", "20 s") == round(20 / 3600, 12)


@pytest.mark.parametrize("text", ["36 kg", "36 furlogs", "36 FT", "ft", "", "3,000 ft", "36 ft 2 in", "36 ft/0", "9**9 ft"])
def test_what_is_no_length_is_said_to_be_none_with_an_example(text):
    assert "is not a length" in refused("length", text)


@pytest.mark.parametrize("value", ["36", 36, 3.6, "1e3", "nan", "inf ft", "nan ft", True, [1], {"a": 1}])
def test_a_length_needs_a_number_and_a_unit(value):
    wrong = refused("length", value)
    assert "has no unit" in wrong or "is not a length" in wrong


@pytest.mark.parametrize("text", ["1e13 ft", "1e308 mile", "-1e999 ft"])
def test_a_number_beyond_all_sense_is_refused(text):
    assert "too large" in refused("length", text)


def test_a_power_tower_in_a_unit_is_not_computed():
    assert "is not a length" in refused("length", "1 ft**9**9**9**9")


@pytest.mark.parametrize("value", ["0.5", True, math.nan, math.inf, 10**400, None, [0.5]])
def test_a_share_is_a_plain_number(value):
    assert "is not a plain number" in refused("share", value)


@given(st.text(max_size=50))
def test_no_text_at_all_gives_anything_but_a_finite_number_or_a_complaint(text):
    for kind in KINDS.keys() - {"share"}:
        try:
            assert abs(read_quantity(kind, text)) <= LARGEST
        except PydanticCustomError as error:
            assert error.context["wrong"]


@given(st.text(alphabet="abdfghikmnoprsty_/*^2² ", max_size=14))
def test_a_unit_converts_by_a_positive_factor_or_is_none(unit):
    factor = unit_factor("length", unit)
    assert factor is None or 0 < factor < math.inf


@pytest.mark.parametrize(
    ("kind", "text", "meant"),
    [
        ("duration", "9 dd", "9 d"),
        ("duration", "3 hh", "3 h"),
        ("duration", "5 micromin", "5 min"),
        ("duration", "1 sidereal_day", "1 day"),
        ("duration", "8 H", "8 h"),
        ("duration", "5 ms", "5 s"),
        ("length", "3 kft", "3 ft"),
        ("length", "36 FT", "36 ft"),
        ("length", "1 US_survey_foot", "1 foot"),
        ("mass", "70 Kg", "70 kg"),
        ("speed", "5 megamph", "5 mph"),
    ],
)
def test_a_unit_with_a_prefix_is_refused_and_the_plain_one_is_named(kind, text, meant):
    with pytest.raises(PydanticCustomError) as caught:
        read_quantity(kind, text)
    assert f'did you mean "{meant}"?' in caught.value.context["right"]


@pytest.mark.parametrize(
    ("kind", "text"), [("length", "3 smoot"), ("duration", "1 eon"), ("speed", "5 kft/h"), ("area rate", "9 ft**2/hh")]
)
def test_a_unit_that_no_planner_uses_is_refused(kind, text):
    assert "is not a" in refused(kind, text)


@pytest.mark.parametrize("kind", sorted(KINDS.keys() - {"share"}))
def test_every_plain_unit_is_as_large_as_a_library_of_units_has_it(kind):
    registry = pint.UnitRegistry(cache_folder=None)
    names, over = unit_names.UNITS[kind]
    above, below = (tuple(over[0]), tuple(over[1])) if over else ((), ())
    if kind == "area rate":
        above += tuple(f"{length}**2" for length in unit_names.UNITS["length"][0])
    units = [*names, *(f"{one}/{other}" for one in above for other in below)]
    assert units
    for unit in units:
        # The library's acre is of the survey foot, 4 parts in a million larger; that foot is withdrawn since 2023 (NIST SP 811).
        told = unit.replace("acres", "acre").replace("acre", "(43560 * foot**2)")
        size = registry.parse_expression(told).to(KINDS[kind][0]).magnitude
        assert unit_factor(kind, unit) == pytest.approx(size, rel=1e-14), unit
