"""What may a scenario, perhaps a stranger's, read; and what of it goes into a report?"""

import os

import pytest
from scenarios import sound

from simulation.questions.brief.method import describe_data
from simulation.scenario import ScenarioError, load_scenario, parse_scenario
from simulation.scenario.types.texts.bounded import SCENARIO

TEXT = sound('[laying]\nplace = {{ data = "{name}", column = "seconds", unit = "s" }}')
TABLE = 'who,seconds,wage\nAnna,40,9000\n"Berg, J",50,9500\n'


@pytest.fixture
def folder(tmp_path):
    below = tmp_path / "plan" / "data"
    below.mkdir(parents=True)
    (tmp_path / "plan" / "places.csv").write_text(TABLE)
    (below / "places.csv").write_text(TABLE)
    (tmp_path / "private").mkdir()
    (tmp_path / "private" / "hr.csv").write_text(TABLE)
    (tmp_path / "plan" / "out.csv").symlink_to(tmp_path / "private" / "hr.csv")
    (tmp_path / "plan" / "in.csv").symlink_to(below / "places.csv")
    (tmp_path / "plan" / "round.csv").symlink_to(tmp_path / "plan" / "round.csv")
    os.mkfifo(tmp_path / "plan" / "pipe.csv")
    return tmp_path / "plan"


def loaded(folder, name, **how):
    (folder / "mine.toml").write_text(TEXT.format(name=name))
    return load_scenario(folder / "mine.toml", **how)


@pytest.mark.parametrize("name", ["places.csv", "data/places.csv", "data/../places.csv", "in.csv", "{folder}/places.csv"])
def test_a_data_file_lies_beside_the_scenario_or_below_it(folder, name):
    values = loaded(folder, name.format(folder=folder)).laying.place.level.values
    assert [round(3600 * value) for value in values] == [40, 50]


@pytest.mark.parametrize(
    "name", ["../private/hr.csv", "{folder}/../private/hr.csv", "out.csv", "/etc/passwd", "data/../../private/hr.csv"]
)
def test_one_that_lies_elsewhere_is_refused_and_nothing_of_it_is_quoted(folder, name):
    with pytest.raises(ScenarioError) as refused:
        loaded(folder, name.format(folder=folder))
    (line,) = str(refused.value).splitlines()
    assert "neither in the scenario's folder nor below it" in line and "--data" in line
    assert not any(word in line for word in ("Anna", "wage", "root:", "9000"))


def test_a_folder_that_is_named_may_be_read_as_well(folder):
    private = folder.parent / "private"
    for name in ("hr.csv", "out.csv"):
        assert len(loaded(folder, name, also=[private]).laying.place.level.values) == 2


@pytest.mark.parametrize("name", ["pipe.csv", "round.csv", "data", "nowhere.csv", "", "a\\u0000b"])
def test_what_is_no_file_is_refused_at_once(folder, name):
    with pytest.raises(ScenarioError) as refused:
        loaded(folder, name)
    assert len(str(refused.value).splitlines()) == 1


def test_only_the_column_that_is_read_is_kept(folder):
    (kept,) = loaded(folder, "places.csv").source.data.values()
    assert kept == ",seconds,\n,40,\n,50,\n"
    again = parse_scenario(TEXT.format(name="places.csv"), data={"places.csv": kept})
    assert again.laying == loaded(folder, "places.csv").laying
    assert again.source.data == {"places.csv": kept}


def test_words_where_numbers_should_be_are_quoted_of_that_column_alone(folder):
    (folder / "words.csv").write_text("who,seconds\nAnna,soon\n")
    with pytest.raises(ScenarioError) as refused:
        loaded(folder, "words.csv")
    assert "soon" in str(refused.value) and "Anna" not in str(refused.value)


def test_a_brief_tells_quantiles_and_no_rows():
    ((name, told),) = describe_data({"places.csv": ";seconds;\n;40,5;\n;50;\n;60;\n"})
    assert (name, told) == ("places.csv", "3 lines; seconds P10 40.5, P50 50, P90 60")


@pytest.mark.parametrize("make", ["device", "pipe", "sparse", "folder"])
def test_a_scenario_that_has_no_end_is_refused_at_once(tmp_path, make):
    file = tmp_path / "mine.toml"
    if make == "device":
        file.symlink_to("/dev/zero")
    elif make == "pipe":
        os.mkfifo(file)
    elif make == "sparse":
        with file.open("wb") as empty:
            empty.truncate(5 * 2**30)
    else:
        file.mkdir()
    with pytest.raises(ScenarioError) as refused:
        load_scenario(file)
    (line,) = str(refused.value).splitlines()
    assert ("no file" in line) if make != "sparse" else (f"larger than {SCENARIO // 2**20} MB" in line)
