"""What is warned of that is written and changes nothing."""

import pytest
from scenarios import SHORT, lines, sound

from simulation.construction import find_warnings, tell_log
from simulation.scenario import LogError, SiteLog, begin_by, parse_scenario

FIRST = '[[milestone]]\nname = "first"\nareas = ["strip"]\n'
FLYING = FIRST + '[flying]\nfrom = "first"\n'
SHIP = '[[supply.shipments]]\npallets = 3\ncomes = "5 h"\n'
TRUCKS = '[[supply.trucks]]\ncount = 1\nhaul = "1 h"\nreturn = "1 h"\n'
TASK = '[[task]]\nname = "paint"\neach = "1 h"\n'


def said_of(more, job="lay"):
    return [str(one) for one in find_warnings(parse_scenario(f'job = "{job}"\n{SHORT}{TRUCKS}{more}'))]


@pytest.mark.parametrize(
    ("more", "with_effect", "said"),
    [
        (
            FLYING,
            'movements = ["12:00"]',
            "flying.from: changes nothing, since neither windows nor movements are written; write one of them, or leave it out",
        ),
        (
            FLYING + 'windows = ["12:00-13:00"]\nmovement = "12 min"\n',
            'movements = ["15:00"]',
            "flying.movement: changes nothing, since no movements are written; write movements, or leave it out",
        ),
        (
            SHIP + 'again = "3 h"\n',
            "chance = 0.9",
            "supply.shipments.1.again: changes nothing, since it is sure to come; write chance, or leave it out",
        ),
        (
            "[limits]\nspend = 50\n",
            "price = { person = 1.0 }",
            "limits.spend: limits nothing, since nothing has a price; write [limits.price], or leave it out",
        ),
        (
            '[leg]\npeople_time = "3 h"\n',
            "forklifts = 1",
            "leg.people_time: changes nothing, since neither crews nor forklifts come from the other field; "
            "write leg.crews or leg.forklifts, or leave it out",
        ),
    ],
)
def test_a_key_that_changes_nothing_is_named_until_what_it_needs_is_written(more, with_effect, said):
    assert said in said_of(more)
    assert said not in said_of(more + with_effect)


def test_a_date_that_is_past_at_the_start_and_a_load_that_comes_too_late_are_named():
    date = TASK + "after = [{{ date = 2031-04-0{}T06:00:00 }}]\n"
    gone = "task.paint.after.1.date: 2031-04-02 06:00 is not after the start, so nothing waits for it; "
    assert gone + "write a date after 2031-04-02 06:00, or leave it out" in said_of(date.format(2))
    assert not [line for line in said_of(date.format(3)) if "not after" in line]
    late = [line for line in said_of(TASK + 'comes = "30 day"\n') if "comes" in line]
    assert late == [
        "task.paint.comes: 30 days is after the last day simulated, 20 (horizon), so no run sees it; "
        "write an earlier time, a later horizon, or leave it out"
    ]


def test_movements_that_close_every_hour_are_named_by_their_own_key():
    said = said_of(FLYING + 'movements = ["12:00"]\nmovement = "24 h"\n')
    assert [line.split(":")[0] for line in said if "close every hour" in line] == ["flying.movements"]


def test_where_people_stand_back_only_rows_near_what_is_in_use_are_said_not_to_be_laid():
    all_day = FLYING + 'windows = ["00:00-24:00"]\n'
    whole, near = (
        next(line for line in said_of(more) if "close every" in line) for more in (all_day, f'{all_day}stand_back = "40 ft"')
    )
    assert "from first on no row of strip is laid" in whole
    assert "from first on no row of strip within 40 ft of what is in use (stand_back) is laid" in near


def test_a_take_up_says_what_of_its_file_is_of_laying():
    said = (
        "milestone: a take-up does not read [[milestone]], which tells of laying; "
        "leave it out; its milestones are [[take_up.milestone]]"
    )
    assert said in said_of(FIRST, "take up")
    assert said not in said_of(FIRST)
    more = [line for line in said_of(FLYING + TASK + SHIP, "take up") if "does not read" in line]
    assert more == [
        "milestone: a take-up does not read [[milestone]], [[task]], [flying], [[supply.shipments]], which tell of laying; "
        "leave it out"
    ]
    assert not [line for line in said_of("", "take up") if "does not read" in line]


def test_loads_that_nothing_brings_away_never_leave():
    away = '[[take_up.milestone]]\nname = "out"\nwhen = "away"\n'
    assert lines(sound(away)) == [
        "take_up.milestone.out.when: nothing brings pallets away, so it would never be reached; "
        'write when = "in yard", or add [[supply.trucks]], [[supply.flights]] or [[take_up.shipments]]'
    ]
    assert not lines(sound(away + TRUCKS))


def test_a_log_of_a_take_up_is_refused_whatever_stands_in_it():
    scenario = parse_scenario(f'job = "take up"\n{SHORT}')
    log = SiteLog("log.csv", "date,shift,crew,area,rows\n2031-04-02,06:00-12:00,nobody,nowhere,4\n", "")
    with pytest.raises(LogError, match=r"it tells of laying, and the job is to take up.*the areas alone that still lie"):
        tell_log(begin_by(scenario, log))


USABLE = '[[milestone]]\nname = "open"\nusable = {{ area = "strip", length = "{}" }}\nready = true\n'


def test_temporary_ends_that_are_never_made_are_named():
    def said(more):
        return [line.partition(": ")[2] for line in said_of(more) if line.startswith("temporary_end: changes nothing")]

    end = '[temporary_end]\nmake = "1 h"\n'
    assert said(end) == [
        "changes nothing, since no milestone asks for a usable length and nobody flies before all is laid; "
        "write usable in a milestone, or [flying], or leave it out"
    ]
    whole = "changes nothing, since by {} the whole area is laid; write a milestone of a shorter length, or leave it out"
    assert said(end + USABLE.format("40 ft")) == [whole.format("open")]
    assert said(end + FLYING) == [whole.format("first")]
    assert not said(end + USABLE.format("20 ft"))
    assert not [line for line in said_of(end + USABLE.format("20 ft") + '[flying]\nfrom = "open"\n') if "flying" in line]


def test_windows_between_which_there_is_no_time_for_a_temporary_end_are_named():
    flying = '[flying]\nfrom = "open"\nwindows = ["09:00-10:00", "13:00-14:00"]\n'

    def said(take_up):
        end = f'[temporary_end]\nmake = "2 h"\ntake_up = "{take_up}"\n'
        return [line for line in said_of(end + USABLE.format("20 ft") + flying) if line.startswith("flying.windows")]

    assert said("15 h") == [
        "flying.windows: leave no gap on shift long enough for taking a temporary end up, a row and making it again, "
        "900 min and 120 min in the mean, so from open on hardly a row of strip is laid; "
        "write fewer of them, or hours for the crews between them"
    ]
    assert not said("30 min")


def test_a_take_up_says_which_ways_of_crews_to_come_and_go_are_of_laying_alone():
    laying = '[laying]\nabsence = 0.1\nfinish_rows = "30 min"\n'
    said = [line for line in said_of(laying, "take up") if "taken up" in line]
    assert [line.partition(":")[0] for line in said] == ["laying.absence", "laying.finish_rows"]
    assert said[0] == "laying.absence: changes nothing where the field is taken up: there everybody is there; leave it out"
    assert not [line for line in said_of(laying, "lay") if "taken up" in line]
