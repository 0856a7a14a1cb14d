"""Every table of every question on a narrow terminal: each head and each cell that a wide one shows stands there too."""

from collections import Counter

import pytest
from questions_asked import asked, declaring, put_all_into

from simulation.session import session

#: A metric field with figures as long as those of a real one; the area's second name has no place to break it.
LARGE = """
title = "Large strip"
units = "metric"
starts = 2031-05-12T06:00:00
horizon = "200 day"
[[area]]
name = "runway"
length = "1300.28 m"
width = "29.26 m"
start = "centre-out"
end_ramps = true
key_strips_every = "30.48 m"
[[area]]
name = "dispersal-hardstand-of-the-north-western-corner"
length = "90.22 m"
width = "60.35 m"
joins = { area = "runway", station = "620 m", side = "left", at = "0 m" }
stands = { count = 4, drills = 2 }
[[crew]]
name = "all"
people = 60
areas = ["runway", "dispersal-hardstand-of-the-north-western-corner"]
[supply]
on_hand = 1800
"""
#: Two shifts of the field in which every key differs, as a foreman would note them.
BEGUN = "date,shift,crew,area,side,rows\n2031-07-08,06:08-17:23,day,runway,low,7\n2031-07-08,19:10-04:48,night,runway,high,16\n"
OWN = {
    "compare": ("--vary", "forklifts.count=2,3", "--vary", "supply.on_hand=50,60"),
    "move": ("records.toml",),
    "opening": ("--windows", "07:00-09:00", "--lengths", "8,10"),
    "slip": ("--what", "supply", "--by", "1 day,3 day"),
    "spacing": ("--every", "4 m"),
}
#: That of the take-off is long, and stands below; a staffing takes hundreds of runs.
QUESTIONS = [name for name in declaring("as_json", "full") if name not in ("takeoff", "staffing")]


@pytest.fixture(scope="module")
def kept(tmp_path_factory):
    folder = tmp_path_factory.mktemp("tables")
    put_all_into(folder)
    (folder / "large.toml").write_text(LARGE, encoding="utf-8")
    (folder / "log.csv").write_text(BEGUN, encoding="utf-8")
    return folder


@pytest.fixture
def lost(keystrip, monkeypatch):
    """Return a function that asks a question once and returns the words that a terminal of each width loses."""
    monkeypatch.setattr("simulation.questions.weather.study.DRAWN", 0)  # as few as may be
    text_of = session.text_of
    texts = {}

    def at_each_width(show, width=None):
        if width is not None:  # the text of a file
            return text_of(show, width)
        for width in (400, 200, 100, 80, 60):
            monkeypatch.setenv("COLUMNS", str(width))
            texts[width] = text_of(show)
        return ""

    def run(*words):
        monkeypatch.setattr(session, "text_of", at_each_width)
        code, _, err = keystrip(*words)
        assert code == 0, err
        tables = texts[80].partition("To paste into a scenario")[0]
        assert max(map(len, tables.splitlines())) <= 80
        wide = _words(texts.pop(400))
        # The path of a file may be longer than a line; then no line holds it whole.
        return {
            width: {word: count for word, count in (wide - _words(text)).items() if len(word) <= width}
            for width, text in texts.items()
        }

    return run


def _words(text):
    return Counter(word for word in text.split() if set(word) != {"─"})


@pytest.mark.parametrize(
    ("question", "units"),
    [
        *((each, "metric") for each in QUESTIONS if each != "sensitivity"),
        pytest.param("sensitivity", "metric", marks=pytest.mark.slow),
        ("weather", "feet"),
        ("conditions", "feet"),
    ],
)
def test_no_table_loses_a_head_or_a_cell(lost, kept, question, units):
    words = asked(question, "records.toml", "2031-07-14T12:00", kept, **OWN)
    assert lost(*words, "--out", "out", "--units", units, "--full") == {200: {}, 100: {}, 80: {}, 60: {}}


@pytest.mark.parametrize("field", ["records", "climate", "large"])
def test_no_table_of_the_take_off_loses_a_head_or_a_cell(lost, kept, field):
    found = lost("takeoff", kept / f"{field}.toml", "--full")
    long = {"dispersal-hardstand-of-the-north-western-corner", "area.dispersal-hardstand-of-the-north-western-corner.length"}
    for width, words in found.items():
        assert {word for word in words if not any(name.startswith(word[:20]) for name in long)} == set(), width


def test_figures_of_a_large_field_stand_in_a_terminal_of_80_columns(keystrip, kept):
    (kept / "short_names.toml").write_text(
        LARGE.replace("dispersal-hardstand-of-the-north-western-corner", "apron north"), encoding="utf-8"
    )
    _, out, _ = keystrip("takeoff", kept / "short_names.toml")
    (row,) = (line for line in out.splitlines() if line.startswith("runway") and "1,300.28" in line)
    assert row.split()[-6:] == ["38,047", "2,133", "15,998", "2,132", "15,997", "44"]
