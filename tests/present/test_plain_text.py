"""Control characters, and marks that turn the direction of text, are shown wherever an answer is: none is sent."""

import csv
import io

import pandas as pd

from simulation.present.answer import Answer, Page, Part, Points, Table, Terms, Text, Verbatim
from simulation.present.renderers.page import render_page
from simulation.present.renderers.paper import render_paper
from simulation.present.renderers.paper_parts import Paper
from simulation.present.spreadsheet import format_csv, format_frame

#: Of every kind one: C0, C1, a mark of direction, an isolate, a separator of lines, one without width.
BAD = "\x1b\x07\x9b\u202e\u2066\u2028\u200b"
EVIL = f"a{BAD}z"
SHOWN = r"a\u001b\u0007\u009b\u202e\u2066\u2028\u200bz"


def answer():
    blocks = (
        Text(EVIL),
        Points((EVIL,)),
        Terms(((EVIL, EVIL),)),
        Table(title=EVIL, columns=(EVIL, "b"), rows=((EVIL, EVIL),), notes=(EVIL,)),
        Verbatim(EVIL, f"one\r\n\ttwo # {EVIL}\r\n"),
    )
    pages = (Page("answer", EVIL, (Part(EVIL, blocks),)),)
    return Answer(question="brief", title=EVIL, about=EVIL, headline=EVIL, warnings=(EVIL,), pages=pages)


def test_a_page_shows_them():
    page = render_page(answer())
    assert not set(BAD) & set(page)
    assert page.count(SHOWN) >= 10
    assert "one\n\ttwo" in page and "\\u000d" not in page


def test_paper_shows_them(monkeypatch):
    drawn, whole = [], Paper._paragraph

    def noted(paper, marked, *more):
        drawn.append(marked)
        return whole(paper, marked, *more)

    monkeypatch.setattr(Paper, "_paragraph", noted)
    assert render_paper(answer())
    assert drawn and not set(BAD) & set("".join(drawn))
    assert sum(SHOWN in text for text in drawn) >= 6


def test_a_table_for_a_spreadsheet_shows_them():
    for text in (format_csv([{EVIL: EVIL, "n": 1}]), format_frame(pd.DataFrame({EVIL: [EVIL], "n": [1]}))):
        assert not set(BAD) & set(text)
        assert list(csv.reader(io.StringIO(text))) == [[SHOWN, "n"], [SHOWN, "1"]]
