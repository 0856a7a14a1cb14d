"""Does a run without luck take exactly as long as the row-time law says?

Every spread is a constant, it never rains, everybody is always on shift, and every pallet stands beside the edge at once: nothing
binds but the crew. The law is written out again here, from the rules of laying and not from the program.
"""

import math

import pytest

from simulation.construction import run_once
from simulation.scenario import parse_scenario

SECOND, MINUTE = 1 / 3600, 1 / 60
FEET_PER_MILE = 5280
#: Everything the crew's time is made of, in hours.
PICK_UP, PLACE, LOCK, OPEN = 20 * SECOND, 40 * SECOND, 25 * SECOND, 2 * MINUTE
KEY_STRIP, STARTER, CONNECT, CHECK, RESEAT, CLOSING = 0.25, 0.75, 1.0, 3 * MINUTE, 4 * MINUTE, 5.0
MOVE = 20 * MINUTE
EFFICIENCY, RAMP_ROW, WALK, STAGED_EVERY, ROWS_IN_WORK, CHECK_EVERY = 0.6, 1.5, 2.0, 50.0, 3, 10
OVERHEAD, OPENERS, TEAM, PALLET = 3, 2, 2, 13

LAYING = """
[laying]
overhead = 3
openers = 2
team_size = 2
pick_up = "20 s"
walk = "2 mph"
staged_every = "50 ft"
open_pallet = "{open_pallet}"
place = "40 s"
lock = "{lock}"
rows_in_work = {rows_in_work}
key_strip = "15 min"
starter_key_strip = "45 min"
connect = "1 h"
move = "20 min"
efficiency = 0.6
ramp_row = 1.5
check_every = 10
check = "3 min"
skew_found = {skew_found}
reseat = "4 min"
damaged_mats = 0.0
{learning}
[forklifts]
efficiency = 1.0
count = 1
speed = "1000000 mph"
handle = "0 s"
breakdown_every = "1000000000 h"
staged_ahead = 100000
[supply]
{supply}
[shifts.all]
hours = ["00:00-24:00"]
"""


def area(name, length, width, **keys):
    lines = [f"[[area]]\nname = {name!r}\nlength = '{length} ft'\nwidth = '{width} ft'"]
    return "\n".join([*lines, *(f"{key} = {value}" for key, value in keys.items())]) + "\n"


def crew(name, people, areas=("strip",), second="elsewhere"):
    return f"[[crew]]\nname = {name!r}\npeople = {people}\nareas = {list(areas)}\nsecond_crew = {second!r}\n"


def milestone(name, waits_for, ready=False):
    return f"[[milestone]]\nname = {name!r}\n{waits_for}\nclosing = '5 h'\nready = {str(ready).lower()}\n"


READY = milestone("ready", "areas = ['strip']", ready=True)


def reached(*parts, **laying):
    """Return when each milestone of a scenario is reached."""
    values = {
        "open_pallet": "2 min",
        "lock": "25 s",
        "rows_in_work": 3,
        "skew_found": 0.0,
        "learning": "",
        "supply": "on_hand = 3000",
    }
    return run_once(parse_scenario("\n".join(parts) + LAYING.format(**values | laying))).milestones


# --- the law, by hand -------------------------------------------------------------------------------------------------------


def pieces_of(row, width):
    """Mats across: the brick pattern alternates m/2 full with half, m/2 − 1 full, half; an odd m has the same number always."""
    halves = width // 6
    return (halves + 1) // 2 if halves % 2 else halves // 2 + row % 2


def law(pieces, width, teams, lockers, lock=LOCK, open_pallet=OPEN, rows_in_work=ROWS_IN_WORK):
    carry = PICK_UP + 2 * (STAGED_EVERY / 2 + width / 4) / (WALK * FEET_PER_MILE)
    return max(
        pieces * (carry + PLACE) / teams,
        pieces * PLACE / max(1.0, rows_in_work * width / 72),
        (pieces - 1) * lock / lockers,
        pieces / PALLET * open_pallet / OPENERS,
    )


def rows_hours(rows, width, people, ramps=(), **limits):
    """Hours of the rows, at the crew's efficiency: everybody but the overhead carries or locks, whichever way is quickest."""
    at_work = people - OVERHEAD

    def each(teams):
        alone = {row: law(pieces_of(row, width), width, teams, at_work - TEAM * teams, **limits) for row in rows}
        return [hours * (RAMP_ROW if row in ramps else 1.0) / EFFICIENCY for row, hours in alone.items()]

    return min((each(teams) for teams in range(1, (at_work - 1) // TEAM + 1)), key=sum)


def with_checks(hours):
    """Return the hours of rows, the alignment checks after every ten of them and after the last included."""
    return sum(hours) + math.ceil(len(hours) / CHECK_EVERY) * CHECK / EFFICIENCY


def key_strips(rows):
    """A strip follows the first five rows, and then every 100 ft, which are 50 rows; none follows the last."""
    return sum(1 for laid in range(5, rows, 50))


def close(hours):
    return pytest.approx(hours, abs=1e-6)


# --- one laying edge ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("width", [6, 36, 54, 72, 78, 240])
@pytest.mark.parametrize("people", [6, 9, 16, 20, 45])
def test_a_strip_takes_its_rows_checks_key_strips_and_closing_work(width, people):
    laid = with_checks(rows_hours(range(127), width, people)) + key_strips(127) * KEY_STRIP
    assert reached(area("strip", 254, width), crew("red", people), READY)["ready"] == close(laid + CLOSING)


@pytest.mark.parametrize("end", ["low", "high"])
def test_rows_inside_the_end_ramps_take_half_as_long_again(end):
    ramps = {*range(5), *range(122, 127)}
    laid = with_checks(rows_hours(range(127), 72, 17, ramps)) + key_strips(127) * KEY_STRIP
    strip = area("strip", 254, 72, end_ramps="true", **{"from": repr(end)})
    assert reached(strip, crew("red", 17), READY)["ready"] == close(laid + CLOSING)


@pytest.mark.parametrize(
    ("written", "limit"),
    [
        ({"lock": "3 min"}, {"lock": 3 * MINUTE}),
        ({"open_pallet": "30 min"}, {"open_pallet": 30 * MINUTE}),
        ({"rows_in_work": 1}, {"rows_in_work": 1}),
        ({"rows_in_work": 50}, {"rows_in_work": 50}),
    ],
)
def test_lockers_openers_or_the_edge_itself_can_be_what_a_row_waits_for(written, limit):
    laid = with_checks(rows_hours(range(127), 72, 20, **limit)) + key_strips(127) * KEY_STRIP
    plain = with_checks(rows_hours(range(127), 72, 20)) + key_strips(127) * KEY_STRIP
    assert abs(laid - plain) > 0.1  # what is written does bind
    assert reached(area("strip", 254, 72), crew("red", 20), READY, **written)["ready"] == close(laid + CLOSING)


def test_where_every_check_finds_a_skew_every_row_is_seated_twice():
    laid = with_checks(rows_hours(range(127), 72, 17)) + key_strips(127) * KEY_STRIP
    seen = reached(area("strip", 254, 72), crew("red", 17), READY, skew_found=1.0)["ready"]
    assert seen == close(laid + 127 * RESEAT + CLOSING)


def test_a_crew_that_learns_takes_its_n_th_row_at_the_power_of_n_and_no_less_than_the_floor():
    rate, reference, floor = 0.8, 20, 0.65
    hours = rows_hours(range(127), 72, 17)
    factors = [max(floor, max(1.0, n / reference) ** math.log2(rate)) for n in range(1, 128)]
    assert floor in factors and 0.8 < factors[29] < 0.9
    laid = with_checks([hour * factor for hour, factor in zip(hours, factors, strict=True)]) + key_strips(127) * KEY_STRIP
    learning = f"learning = {rate}\nlearning_reference = {reference}\nlearning_floor = {floor}"
    assert reached(area("strip", 254, 72), crew("red", 17), READY, learning=learning)["ready"] == close(laid + CLOSING)


def test_a_stretch_is_reached_at_the_end_of_its_last_row():
    rows = rows_hours(range(127), 72, 17)[:53]
    laid = sum(rows) + 5 * CHECK / EFFICIENCY + 1 * KEY_STRIP  # checks after 10, 20, … 50 rows; the strip after 5
    stretch = milestone("stretch", "stretch = { area = 'strip', to = '106 ft' }")
    assert reached(area("strip", 254, 72), crew("red", 17), stretch, READY)["stretch"] == close(laid + CLOSING)


# --- two crews --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("second", ["elsewhere", "relief"])
def test_a_like_crew_that_cannot_lay_beside_the_first_saves_nothing(second):
    laid = with_checks(rows_hours(range(127), 72, 17)) + key_strips(127) * KEY_STRIP
    crews = crew("red", 17) + crew("blue", 17, second=second)
    assert reached(area("strip", 254, 72), crews, READY)["ready"] == close(laid + CLOSING)


@pytest.mark.parametrize("rows_in_work", [3, 50])
def test_merged_crews_lay_as_one_crew_of_all_their_people(rows_in_work):
    laid = with_checks(rows_hours(range(127), 72, 34, rows_in_work=rows_in_work)) + key_strips(127) * KEY_STRIP
    crews = crew("red", 17) + crew("blue", 17, second="merge")
    assert reached(area("strip", 254, 72), crews, READY, rows_in_work=rows_in_work)["ready"] == close(laid + CLOSING)


def test_centre_out_takes_as_long_as_the_longer_of_its_edges_and_both_wait_for_the_starter_key_strip():
    # 127 rows: 63 below the starter, 64 above it. Strips before rows 5, 55 and 105 from the low end: two below, one above.
    low = with_checks(rows_hours(range(63), 72, 17)) + 2 * KEY_STRIP
    high = with_checks(rows_hours(range(63, 127), 72, 14)) + 1 * KEY_STRIP
    strip = area("strip", 254, 72, start="'centre-out'")
    seen = reached(strip, crew("red", 17), crew("blue", 14), READY)["ready"]
    assert seen == close(STARTER + max(low, high) + CLOSING)


def test_a_crew_alone_lays_the_edges_of_a_centre_out_strip_one_after_the_other():
    low = with_checks(rows_hours(range(63), 72, 17)) + 2 * KEY_STRIP
    high = with_checks(rows_hours(range(63, 127), 72, 17)) + 1 * KEY_STRIP
    strip = area("strip", 254, 72, start="'centre-out'")
    assert reached(strip, crew("red", 17), READY)["ready"] == close(STARTER + low + MOVE + high + CLOSING)


@pytest.mark.parametrize("pools", ["field", "areas"])
def test_the_exact_pallets_of_an_area_serve_both_of_its_edges(pools):
    # 50 rows of 6 + 7 mats take 25 pallets to the mat. The edges have 25 rows each: one edge alone would take 13 pallets and
    # leave mats over, which the other needs.
    each = with_checks(rows_hours(range(25), 72, 17)) + 1 * KEY_STRIP, with_checks(rows_hours(range(25, 50), 72, 17))
    supply = f'on_hand = 25\ntotal = 25\nspares = 0\npools = "{pools}"'
    strip = area("strip", 100, 72, start="'centre-out'")
    seen = reached(strip, crew("red", 17), crew("blue", 17), READY, supply=supply)["ready"]
    assert seen == close(STARTER + max(each) + CLOSING)


# --- areas that join --------------------------------------------------------------------------------------------------------


def test_a_taxiway_opens_when_the_rows_beside_it_are_checked_and_takes_its_connectors_and_rows():
    # 36 ft across at station 100 reach from 82 to 118 ft, so to row 59; the check that covers it follows row 60. Two strips
    # were set by then, after rows 5 and 55.
    runway = rows_hours(range(127), 72, 17)
    opens = with_checks(runway[:60]) + 2 * KEY_STRIP
    taxiway = CONNECT + with_checks(rows_hours(range(40), 36, 12)) + key_strips(40) * KEY_STRIP
    joined = area("taxiway", 80, 36, joins="{ area = 'strip', station = '100 ft' }")
    crews = crew("red", 17) + crew("blue", 12, ["taxiway"])
    seen = reached(area("strip", 254, 72) + joined, crews, milestone("taxiway open", "areas = ['taxiway']"), READY)
    assert seen["taxiway open"] == close(opens + taxiway + CLOSING)
    assert seen["ready"] == close(with_checks(runway) + key_strips(127) * KEY_STRIP + CLOSING)


def test_one_crew_lays_area_after_area():
    strip = with_checks(rows_hours(range(127), 72, 17)) + key_strips(127) * KEY_STRIP
    apron = CONNECT + with_checks(rows_hours(range(30), 240, 17)) + key_strips(30) * KEY_STRIP
    areas = area("strip", 254, 72) + area("apron", 60, 240, joins="{ area = 'strip', end = 'high' }")
    both = milestone("ready", "areas = ['apron', 'strip']", ready=True)
    assert reached(areas, crew("red", 17, ["strip", "apron"]), both)["ready"] == close(strip + MOVE + apron + CLOSING)
