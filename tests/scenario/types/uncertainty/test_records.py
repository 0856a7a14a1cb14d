import pytest
from scenarios import line, lines, sound

from simulation.scenario import load_scenario, parse_scenario
from simulation.scenario.types.uncertainty.distributions import Records


def scenario_with(extra, key="place"):
    more = f", {extra}" if extra else ""
    return sound(f'[laying]\n{key} = {{ data = "records.csv"{more} }}')


@pytest.fixture
def records(tmp_path):
    def put(content, name="records.csv"):
        (tmp_path / name).write_bytes(content if isinstance(content, bytes) else content.encode())
        return tmp_path

    return put


def test_records_are_read_in_their_unit_and_in_ascending_order(records):
    folder = records("date,seconds\n1 May,72\n2 May,36\n\n3 May,54\n")
    level = parse_scenario(scenario_with('column = "seconds", unit = "s"'), folder=folder).laying.place.level
    assert level == Records((0.01, 0.015, 0.02), "records.csv")


def test_a_file_of_one_column_needs_no_column_named(records):
    folder = records("minutes\n6\n3\n")
    level = parse_scenario(scenario_with('unit = "min"'), folder=folder).laying.place.level
    assert level.values == (0.05, 0.1)


def test_a_spreadsheets_byte_order_mark_is_no_part_of_the_first_name(records):
    folder = records("\ufeffseconds,crew\r\n36,red\r\n")
    assert lines(scenario_with('column = "seconds", unit = "s"'), folder) == []


def test_recorded_shares_are_plain_numbers(records):
    folder = records("share\n0.5\n0.7\n")
    assert parse_scenario(scenario_with("", "efficiency"), folder=folder).laying.efficiency.level.values == (0.5, 0.7)


def test_records_are_sought_beside_the_scenario_that_names_them(records):
    folder = records("seconds\n36\n")
    (folder / "mine.toml").write_text(scenario_with('unit = "s"'))
    assert load_scenario(folder / "mine.toml").laying.place.level.values == (0.01,)


@pytest.mark.parametrize(
    ("content", "extra", "complaint"),
    [
        ("", 'unit = "s"', 'data: "records.csv" holds no records; '),
        ("seconds\n\n\n", 'unit = "s"', 'data: "records.csv" holds no records; '),
        (b"seconds\n\xff\xfe\x00", 'unit = "s"', 'data: "records.csv" is not a CSV file in UTF-8; '),
        ("a,b\n1,2\n", 'unit = "s"', "column: the file has several columns and none is named; name one of the 2 columns"),
        ("seconds,b\n1,2\n", 'column = "secnds", unit = "s"', 'column: there is no column "secnds"; did you mean seconds?'),
        ("a,b\n1,2\n", 'column = 1, unit = "s"', "column: the file has several columns and none is named; "),
        ("a,a\n1,2\n", 'column = "a", unit = "s"', 'column: several columns bear the name "a"; give each its own'),
        ("a\n1\n", "", 'unit: the unit of the records is not given; write unit = "hour"'),
        ("a\n1\n", 'unit = "ft"', 'unit: "ft" is no unit of this kind; '),
        ("a\n1\n", "unit = 5", "unit: 5 is no unit of this kind; "),
        ("a\n1\nmany\n", 'unit = "s"', 'data: line 3 holds "many"; write numbers of 0 or more, without units'),
        ("a\n1\n-2\n", 'unit = "s"', 'data: line 3 holds "-2"; '),
        ("a\nnan\ninf\n", 'unit = "s"', 'data: line 2 holds "nan", line 3 holds "inf"; '),
        ("a,b\n1,2\n,3\n", 'column = "a", unit = "s"', 'data: line 3 holds ""; '),
        ("a,b\n1,2\n3\n", 'column = "b", unit = "s"', 'data: line 3 holds ""; '),
        ("a\n" + "x\n" * 500, 'unit = "s"', 'data: line 2 holds "x", line 3 holds "x", line 4 holds "x" and 497 more lines'),
    ],
)
def test_what_is_wrong_with_records_is_said_under_its_key(records, content, extra, complaint):
    assert line(scenario_with(extra), records(content)).startswith(f"laying.place.{complaint}")


def test_a_file_that_is_not_there_is_named(tmp_path):
    said = line(scenario_with('unit = "s"'), tmp_path)
    assert said.startswith('laying.place.data: "records.csv": there is no such file; name a CSV file beside the scenario')


@pytest.mark.parametrize("file", ['"."', '""', '"/dev/null"', "5", '["a.csv"]', '"a\\u0000b"', f'"{"x" * 5000}"'])
def test_what_is_no_file_is_refused_without_a_traceback(tmp_path, file):
    assert line(sound(f'[laying]\nplace = {{ data = {file}, unit = "s" }}'), tmp_path).startswith("laying.place.data: ")


def test_a_share_has_no_unit(records):
    folder = records("share\n0.5\n")
    assert line(scenario_with('unit = "s"', "efficiency"), folder).startswith("laying.efficiency.unit: a share has no unit")


def test_a_line_with_more_cells_than_names_is_told_and_nothing_of_it_read(records):
    folder = records("job,seconds\na,36\nb,30,5\n")
    (said,) = lines(scenario_with('column = "seconds", unit = "s"'), folder)
    assert "laying.place.data: line 3 has more cells than the first line has names" in said
