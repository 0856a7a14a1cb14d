"""Is a site log read as strictly and as kindly as a scenario: each mistake with its line, and what is missing said?"""

import random

import pytest
from log_of_run import log_of_run
from scenarios import LITTLE, SHORT, SHORT_LOG, make_scenario

from simulation.construction import compile_plan, simulate, tell_log
from simulation.scenario import LogError, SiteLog, begin_by, parse_scenario

HEAD = "date,shift,crew,people,area,side,rows,hours worked,pallets received\n"


def told(text, scenario=SHORT, at=""):
    return tell_log(begin_by(parse_scenario(scenario), SiteLog("log.csv", text, at)))


def mistakes(text, scenario=SHORT):
    with pytest.raises(LogError) as error:
        told(text, scenario)
    assert error.value.file == "log.csv"
    return [str(one) for one in error.value.mistakes]


def test_a_plain_log_says_how_many_rows_lie_and_who_laid_them_when():
    found = told(SHORT_LOG)
    (rows,) = found.evidence.rows
    assert (rows.line, rows.start, rows.end, rows.crew, rows.people) == (2, 0.0, 6.0, 0, 16)
    assert (rows.first, rows.upto, rows.worked) == (0, 4, 5.0)
    assert found.state.edges[0].laid == 4
    assert found.state.came == 12


@pytest.mark.parametrize("separator", [";", "\t", "|"])
def test_any_separator_a_decimal_comma_and_days_first_are_read(separator):
    text = SHORT_LOG.replace(",5,", ",5.5,").replace(",", separator).replace("5.5", "5,5").replace("2031-04-02", "02.04.2031")
    assert told(text).evidence.rows[0].worked == 5.5


def test_a_station_says_as_much_as_rows():
    by_station = told("date,shift,crew,station\n2031-04-02,06:00-12:00,red,8 ft\n")
    assert by_station.state.edges == told("date,shift,crew,rows\n2031-04-02,06:00-12:00,red,4\n").state.edges


def test_a_shift_may_be_left_out_or_named_by_its_number():
    whole = told("date,crew,rows\n2031-04-02,red,4\n").evidence.rows[0]
    second = told("date,shift,crew,rows\n2031-04-02,2,red,4\n").evidence.rows[0]
    assert (whole.start, whole.end) == (0.0, 12.0)
    assert (second.start, second.end) == (7.0, 12.0)


def test_columns_that_are_missing_are_said_with_what_follows():
    taken = told("date,rows\n2031-04-02,4\n").taken
    assert any(line.startswith("people: the log has no such column; everybody") for line in taken)
    assert any(line.startswith("pallets received: ") for line in taken)


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("2031-04-02,06:00-12:00,red,16,strip,,21,5,", "line 2, rows: 21 rows are more than the 20 that are left of strip"),
        ("2031-04-02,06:00-12:00,blue,16,strip,,2,5,", 'line 2, crew: there is no crew "blue"; use one of: red'),
        ("2031-04-02,06:00-12:00,red,16,stripe,,2,5,", 'line 2, area: there is no area "stripe"; did you mean strip?'),
        ("2031-04-02,06:00-12:00,red,16,strip,low,2,5,", 'line 2, side: "low" is no side of strip'),
        ("2031-04-02,19:00-23:00,red,16,strip,,2,3,", "line 2, shift: crew red has no shift in these hours"),
        ("2031-04-02,06:00-12:00,red,0,strip,,2,5,", "line 2, people: nobody was there, and rows were laid"),
        ("2031-04-02,06:00-12:00,red,16,strip,,2,9,", "line 2, hours worked: 9 hours in a shift of 6"),
        ("2031-04-01,06:00-12:00,red,16,strip,,2,5,", "line 2, date: 2031-04-01 lies before the start"),
        ("2032-04-02,06:00-12:00,red,16,strip,,2,5,", "line 2, date: 2032-04-02 lies beyond the last day simulated"),
        ("2031-04-32,06:00-12:00,red,16,strip,,2,5,", 'line 2, date: "2031-04-32" is no date'),
        ("2031-04-02,6 to noon,red,16,strip,,2,5,", 'line 2, shift: "6 …" are no hours'),
        ("2031-04-02,06:00-12:00,red,16,strip,,two,5,", 'line 2, rows: "two" is no number from 0 on'),
        ("2031-04-02,06:00-12:00,red,16,strip,,1.5,5,", 'line 2, rows: "1.5" is no whole number'),
        ("2031-04-02,06:00-12:00,red,16,strip,,-2,5,", 'line 2, rows: "-2" is no number from 0 on'),
        ("2031-04-02,06:00-12:00,red,16,strip,,2,5,900", "line 2, pallets received: 912 pallets came"),
        ("2031-04-02,06:00-12:00,red,16,strip,,2,5,0,7", "line 2: has 10 cells, and the first line names 9"),
    ],
)
def test_each_mistake_is_named_by_its_line(line, said):
    assert mistakes(HEAD + line + "\n")[0].startswith(said)


def test_rows_that_took_more_pallets_than_had_come_are_named_by_the_first_such_line():
    scenario = SHORT.replace(
        "on_hand = 12", 'on_hand = 3\ntotal = 12\n[[supply.trucks]]\ncount = 1\npallets = 3\nhaul = "1 h"\nreturn = "1 h"'
    )
    text = HEAD + "2031-04-02,06:00-12:00,red,16,strip,,4,5,0\n2031-04-02,13:00-18:00,red,16,strip,,6,5,0\n"
    (said,) = mistakes(text, scenario)
    assert said.startswith("line 3, rows: by then rows took 5 pallets, and 3 had come")


def test_two_crews_at_one_laying_edge_are_named_unless_one_relieves_the_other():
    two = SHORT.replace("[supply]", '[[crew]]\nname = "blue"\npeople = 16\nareas = ["strip"]\n[supply]')
    text = HEAD + "2031-04-02,06:00-12:00,red,16,strip,,2,5,\n2031-04-02,06:00-12:00,blue,16,strip,,2,5,\n"
    assert mistakes(text, two)[0].startswith("line 3, crew: crew blue lays where crew red lays in line 2")
    relieved = two.replace('name = "blue"', 'name = "blue"\nsecond_crew = "relief"')
    assert told(text, relieved).state.edges[0].laid == 4


def test_a_line_that_stands_twice_is_named():
    line = "2031-04-02,06:00-12:00,red,16,strip,,2,5,\n"
    assert mistakes(HEAD + line + line)[0].startswith("line 3: says again what line 2 says")


def test_an_unknown_column_is_named_with_the_one_that_is_meant():
    assert mistakes("date,shfit,rows\n2031-04-02,,1\n") == [
        'line 1: "shfit" is no column of a log; did you mean shift? Notes go under remarks'
    ]


def test_every_mistake_is_told_at_once():
    assert len(mistakes(HEAD + "2031-04-02,06:00-12:00,blue,16,strip,,2,5,\n2031-04-03,06:00-12:00,red,16,stripe,,2,5,\n")) == 2


def test_what_came_after_trucks_were_held_up_says_nothing_of_their_rounds():
    text = "date,hours lost,lost to,pallets received\n2031-04-02,,,2\n2031-04-03,11,ship,0\n2031-04-04,,,2\n"
    scenario = SHORT.replace(
        "on_hand = 12", 'on_hand = 3\ntotal = 12\n[[supply.trucks]]\ncount = 1\npallets = 3\nhaul = "1 h"\nreturn = "1 h"'
    )
    found = told(text, scenario)
    assert [one.line for one in found.evidence.came] == [2]
    assert found.state.came == 7


def mutated(text, luck):
    """Return a log with one thing of it spoilt: a letter, a cell, a line, a number."""
    lines = text.split("\n")
    place = luck.randrange(1, len(lines) - 1)
    cells = lines[place].split(",")
    match luck.randrange(6):
        case 0:
            cells[luck.randrange(len(cells))] = luck.choice(["x", "-1", "1e9", "99:99", '"', "nan", "2031-13-01"])
        case 1:
            cells.append("7")
        case 2:
            cells = cells[: luck.randrange(len(cells))]
        case 3:
            lines.insert(place, lines[place])
        case 4:
            cells[6] = str(luck.randrange(5000))
        case _:
            spoilt = list(lines[place])
            if spoilt:
                spoilt[luck.randrange(len(spoilt))] = luck.choice("\x00;\t,9é")
            cells = ["".join(spoilt)]
    lines[place] = ",".join(cells)
    return "\n".join(lines)


def test_a_spoilt_log_is_read_or_refused_with_its_line():
    scenario, luck = make_scenario(LITTLE), random.Random(3)
    text = log_of_run(scenario, simulate(compile_plan(scenario), 2, until=30.0), 30.0)
    refused = 0
    for _ in range(80):
        spoilt = mutated(text, luck)
        try:
            tell_log(begin_by(scenario, SiteLog("log.csv", spoilt)))
        except LogError as error:
            refused += 1
            assert all(one.key.startswith("line ") or "a comma" in one.wrong or not one.key for one in error.mistakes), error
    assert refused > 24


def test_a_log_says_where_a_temporary_end_stands_and_a_wrong_laying_edge_is_named():
    use = '[[milestone]]\nname = "use"\nusable = { area = "strip", length = "20 ft" }\n'
    field = f'{SHORT}{use}[[milestone]]\nname = "all"\nareas = ["strip"]\nready = true\n'
    log = "date,shift,crew,people,rows,under way\n2031-04-02,06:00-12:00,red,16,12,temporary end {}\n"

    def state(name, more="[temporary_end]\n"):
        return compile_plan(begin_by(parse_scenario(field + more), SiteLog("log.csv", log.format(name)))).state

    assert [edge.end_stands for edge in state("strip").edges] == [True]
    for name, more, said in (
        ("strp", "[temporary_end]\n", 'there is no laying edge "strp"; did you mean strip?'),
        ("strip", "", "the scenario makes no temporary ends; add [temporary_end], or leave it out"),
    ):
        with pytest.raises(LogError) as error:
            state(name, more)
        assert said in str(error.value)
