"""A file of any kind gets its answer in a few lines and at once, however much is wrong with it."""

import json
import time

import pytest
from scenarios import AREA, CREW, sound

SOUND = sound()
MISSPELT = "".join(CREW.replace("red", f"c{n}").replace('"strip"', f'"strop {n}"') for n in range(63))
TRUCK = '[[supply.trucks]]\ncount = 1\nhaul = "1 h"\nretrun = "1 h"\n'

#: What stands in the file, and the first line that is said of it.
LOADS = {
    "20,000 unknown keys": (
        "".join(f"key{n} = 1\n" for n in range(20_000)) + SOUND,
        "the first 20 of 20,000 mistakes in wrong.toml:",
    ),
    "unknown keys in a quantity": (
        SOUND + "[laying.place]\np10 = '20 s'\np90 = '60 s'\n" + "".join(f"low{n} = 1\n" for n in range(20_000)),
        "the first 20 of 20,000 mistakes in wrong.toml:",
    ),
    "400 areas": (
        SOUND + "".join(AREA.replace("strip", f"s{n}") for n in range(400)),
        "wrong.toml: area: has 401; write at most 64",
    ),
    "a list of names": (
        sound(crew=CREW.replace('"strip"', '"strip",' * 50_000)),
        "wrong.toml: crew.red.areas: has 50000; write at most 64",
    ),
    "crews whose areas are misspelt": (SOUND + MISSPELT, "the first 20 of 63 mistakes in wrong.toml:"),
    "blocks with a misspelt key": (SOUND + TRUCK * 5_000, "wrong.toml: supply.trucks: has 5000; write at most 64"),
    "brackets inside brackets": ("x = " + "[" * 50_000, "wrong.toml: brackets stand too deep inside each other; "),
    "names behind dots": (f"[{'.'.join('a' * 50_000)}]\n", "wrong.toml: line 1: a key has too many parts; "),
    "a number of many digits": ("seed = " + "9" * 5_000, "wrong.toml: a number has too many digits to be read; "),
    "a key of many letters": ("k" * 5_000 + " = 1\n" + SOUND, 'wrong.toml: "kkkkk'),
    "a name of many letters": (SOUND.replace("strip", "s" * 5_000), "2 mistakes in wrong.toml:"),
    "a tool that is no number": (SOUND + '[accessories.tools]\n"pry bar" = ""\n', "wrong.toml: accessories.tools.pry bar: "),
    "a unit of many letters": (SOUND.replace("300 ft", f"300 {'f' * 5_000}"), "wrong.toml: area.strip.length: "),
}


@pytest.mark.parametrize("what", LOADS)
def test_however_much_is_wrong_the_answer_is_a_few_lines_and_comes_at_once(keystrip, tmp_path, what):
    text, first = LOADS[what]
    (tmp_path / "wrong.toml").write_text(text)
    began = time.process_time()
    code, out, err = keystrip("check", "wrong.toml")
    assert time.process_time() - began < 5
    lines = err.splitlines()
    assert (code, out) == (2, "")
    assert lines[0].startswith(first), lines[0]
    assert len(lines) <= 21
    assert max(map(len, lines)) < 1_000


def test_what_a_planner_calls_a_file_or_an_option_is_cut_to_a_line(keystrip):
    for words in (
        ["check", "x" * 5_000],
        ["forecast", "--seed", "9" * 4_000],
        ["forecast", "--deadline", "x" * 5_000],
        ["x" * 5_000],
        ["check", f"--{'x' * 5_000}"],
        ["check", "--units", "x" * 5_000],
        ["compare", "--vary", "x" * 5_000],
        ["compare", "--vary", f"{'x' * 5_000}=1"],
        ["compare", "--vary", f"forklifts.count={'x' * 5_000}"],
        ["compare", "--crews", "x" * 5_000],
        ["forecast", "--out", "x" * 5_000],
        ["takeoff", "--csv", "x" * 5_000],
        ["takeoff", "--draw", f"{'x' * 5_000}.svg"],
        ["new", "x" * 5_000],
        ["new", "a.toml", "--like", "x" * 5_000],
        ["bottlenecks", "--what", "x" * 5_000],
        ["slip", "x" * 5_000, "--by", "1 day"],
        ["slip", "--what", "x" * 5_000, "--by", "1 day"],
        ["slip", "--what", "crew.red", "--by", "x" * 5_000],
        ["replay", "--run", "9" * 4_400],
        ["replay", "--at", "x" * 5_000],
        ["studies", "x" * 5_000],
        ["repeat", "x" * 5_000, "x" * 5_000],
        ["weather", "x" * 5_000],
        ["check", "--data", "x" * 5_000],
        ["trace", "--run", "1" + "0" * 30],
        ["forecast", "--seed", str(2**63)],
        ["forecast", "--workers", "513"],
    ):
        code, out, err = keystrip(*words)
        assert code == 2, (words[:2], code, err[:300])
        assert out == "", words[:2]
        assert err.count("\n") == 1, (words[:2], err[:300])
        assert len(err) < 1_500, words[:2]
        assert "Traceback" not in err
        assert "Errno" not in err


def test_a_check_as_records_holds_the_first_mistakes_and_how_many_there_are(keystrip, tmp_path):
    text, _ = LOADS["20,000 unknown keys"]
    (tmp_path / "wrong.toml").write_text(text)
    code, out, _ = keystrip("check", "wrong.toml", "--json")
    found = json.loads(out)["answer"]
    assert (code, found["mistakes_in_all"], len(found["mistakes"]), found["sound"]) == (2, 20_000, 20, False)


def test_of_many_warnings_the_first_are_told_with_how_many_there_are(keystrip, tmp_path):
    fleets = '[[supply.trucks]]\ncount = 1\nhaul = "1 s"\nreturn = "1 s"\n' * 20
    (tmp_path / "odd.toml").write_text(sound(fleets))
    code, _, err = keystrip("check", "odd.toml")
    first, *lines = err.splitlines()
    assert (code, first) == (0, "the first 20 of 42 warnings of odd.toml:")
    assert len(lines) == 20
    assert all(line.startswith("odd.toml: warning: ") for line in lines)
    found = json.loads(keystrip("check", "odd.toml", "--json")[1])["answer"]
    assert (found["scenario_warnings_in_all"], len(found["scenario_warnings"])) == (42, 20)
