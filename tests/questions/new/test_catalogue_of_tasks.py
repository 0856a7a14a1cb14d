"""The tasks to choose from: sound as they stand, and every value with its origin."""

import re
import tomllib

from scenarios import AREA, lines, sound

from simulation.questions.new.task_catalogue import CATALOGUE


def test_the_catalogue_is_printed_and_sound_as_it_stands(keystrip):
    code, out, _ = keystrip("new", "--tasks")
    assert code == 0
    assert out == CATALOGUE
    assert lines(sound(out.replace("runway", "strip"), area=AREA)) == []
    assert len(tomllib.loads(out)["task"]) >= 10


def test_every_value_of_the_catalogue_says_where_it_comes_from():
    values = [line for line in CATALOGUE.splitlines() if re.match(r"(people|team|pieces|each|stops) = ", line)]
    assert len(values) > 25
    assert [line for line in values if not re.search(r"# .*(planning value|service news \d{4}|common practice)", line)] == []


def test_the_catalogue_overwrites_no_file(keystrip):
    code, _, err = keystrip("new", "mine.toml", "--tasks")
    assert code == 2
    assert "leave mine.toml out" in err
