"""A brief as files: a page that asks for nothing, two to four pages of paper with all inputs after them, no half of either."""

import html
import io
import json
import re
from dataclasses import replace
from functools import cache
from html.parser import HTMLParser

import pytest
from briefed import EVIL, EVIL_STRIP, MANY_MILESTONES, UNFINISHED, briefed, page_of

from simulation.present import answer as content
from simulation.present import own_files
from simulation.present.renderers.page import render_image, render_page
from simulation.present.renderers.paper import LAYOUTS, MOST_PAGES, render_paper
from simulation.questions.brief.files import unable, write_brief

VARIETY = {
    "one milestone": {},
    "all of it": {"full": True},
    "few runs": {"runs": 20},
    "one run": {"runs": 1},
    "no deadline": {"deadline": None},
    "unfinished": {"text": UNFINISHED},
    "forty milestones": {"text": MANY_MILESTONES},
    "evil": {"runs": 20, "plans": True, "text": EVIL_STRIP},
}


PICTURES = {}


class Seen(HTMLParser):
    """Every tag with its attributes, and the levels of headings in turn."""

    def __init__(self, text):
        super().__init__()
        self.tags, self.levels = [], []
        self.feed(text)

    def handle_starttag(self, tag, attributes):
        self.tags.append((tag, dict(attributes)))
        if re.fullmatch(r"h[1-6]", tag):
            self.levels.append(int(tag[1]))


@pytest.fixture(scope="module", params=VARIETY)
def page(request):
    return page_of(**VARIETY[request.param])


def test_the_page_asks_for_nothing_outside_of_itself(page):
    for tag, attributes in Seen(page).tags:
        for name in ("src", "href", "action", "data", "poster", "srcset"):
            assert attributes.get(name, "#").startswith(("#", "data:")), (tag, attributes[name][:60])
        assert tag not in ("link", "iframe", "object", "embed")
    style = page[page.index("<style>") : page.index("</style>")]
    assert "url(" not in style
    assert "@import" not in style
    without_data = re.sub(r"data:image/[a-z+]+;base64,[A-Za-z0-9+/=]+", "", page)
    assert set(re.findall(r"https?://[^\s\"'<]*", without_data)) <= {"http://www.w3.org/2000/svg"}


def test_headings_go_down_by_one_and_every_picture_and_table_has_its_words(page):
    seen = Seen(page)
    assert seen.levels[0] == 1
    assert seen.levels.count(1) == 1
    assert all(after <= before + 1 for before, after in zip(seen.levels, seen.levels[1:], strict=False))
    assert all(len(attributes["alt"]) > 20 for tag, attributes in seen.tags if tag == "img")
    assert all(attributes.get("scope") in ("col", "row") for tag, attributes in seen.tags if tag == "th")
    assert page.count("<caption>") == page.count("<table")
    assert ("html", {"lang": "en"}) in seen.tags
    assert "Traceback" not in page


def test_every_sentence_and_cell_of_the_content_stands_in_the_page():
    brief = briefed(full=True)
    page = html.unescape(page_of(full=True))
    for part in (part for one in brief.pages for part in one.parts):
        for block in part.blocks:
            match block:
                case content.Text(text, _) | content.Verbatim(_, text):
                    assert text in page
                case content.Points(items):
                    assert all(item in page for item in items)
                case content.Terms(rows):
                    assert all(said in page for _, said in rows)
                case content.Table():
                    assert all(cell in page for row in block.rows for cell in row)
                case content.Inputs(table, _):
                    assert all(cell in page for row in table.rows for cell in row)


def test_a_script_in_a_title_or_a_name_is_text():
    page = page_of(**VARIETY["evil"])
    assert EVIL not in page
    assert html.escape(EVIL) in page
    (data,) = re.findall(r'<script type="application/json" id="sheet-data">(.*?)</script>', page, re.DOTALL)
    assert json.loads(data)["area"] == EVIL
    assert "<" not in data
    assert len(re.findall(r"<script", page)) == 2


def test_a_page_without_a_grid_has_no_script():
    page = page_of()
    assert "<script" not in page
    assert "<form" not in page


def pages_of(pdf):
    pypdf = pytest.importorskip("pypdf")
    return [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages]


@cache
def paper_of(name):
    """Return the pages of the brief on paper, for tests that use `drawn_once`."""
    return pages_of(render_paper(briefed(**VARIETY[name])))


@pytest.fixture
def drawn_once(monkeypatch):
    """Draw each kind of picture once for all papers: it takes as much room on every one."""
    monkeypatch.setattr("simulation.present.renderers.paper.render_image", picture_of_kind)


def picture_of_kind(picture, kind, dpi, titled):
    if picture.name not in PICTURES:
        PICTURES[picture.name] = render_image(picture, kind, dpi, titled)
    return PICTURES[picture.name]


@pytest.mark.usefixtures("drawn_once")
@pytest.mark.parametrize("name", ["one milestone", "all of it", "unfinished", "forty milestones", "evil"])
def test_paper_takes_two_to_four_pages_and_the_first_answers_and_every_input_follows(name):
    brief, pages = briefed(**VARIETY[name]), paper_of(name)
    begin = next(number for number, page in enumerate(pages) if "Every input:" in page)
    assert 2 <= begin <= MOST_PAGES
    inputs = next(block for part in brief.parts for block in part.blocks if isinstance(block, content.Inputs))
    listed = "".join("".join(pages[begin:]).split())
    for _, text in inputs.groups:
        assert all(word.removesuffix(";") in listed for word in text.split())
    first = " ".join(pages[0].split())
    assert "When is it ready?" in first
    assert " ".join(brief.pages[0].parts[0].blocks[0].text.split()) in first
    assert brief.title in first
    whole = " ".join(" ".join(pages).split())
    for title in ("The risk", "Take-off", "Assumptions", "Method and yardsticks", "Cautions", "To repeat it"):
        assert title in whole


@pytest.mark.slow
def test_the_same_brief_gives_the_same_file():
    assert render_page(briefed()) == page_of()
    assert render_paper(briefed()) == render_paper(briefed())


@pytest.mark.usefixtures("drawn_once")
def test_every_row_of_every_table_stands_on_paper_whatever_there_is_room_for(monkeypatch):
    monkeypatch.setattr("simulation.present.renderers.paper.LAYOUTS", LAYOUTS[-1:])
    brief = briefed(**VARIETY["forty milestones"])
    pages = pages_of(render_paper(brief))
    paper = "".join("".join(pages).split())
    tables = [block for part in brief.parts if part.on_paper for block in part.blocks if isinstance(block, content.Table)]
    long = max((table.rows for table in tables), key=len)
    assert len(long) == 39  # every milestone but the one that is ready, which has a table of its own
    for table in tables:
        for row in table.rows:
            assert "".join("".join(row).split()) in paper, row
    begin = paper.index("Everyinput:")
    assert all("".join("".join(row).split()) in paper[:begin] for row in (long[0], long[-1]))
    assert "all39standunder“Wholetables”attheend" in paper[:begin]


@pytest.mark.usefixtures("drawn_once")
def test_a_brief_of_too_many_parts_for_few_pages_takes_more(monkeypatch):
    monkeypatch.setattr("simulation.present.renderers.paper.MOST_PAGES", 1)
    monkeypatch.setattr("simulation.present.renderers.paper.LAYOUTS", LAYOUTS[-1:])
    pages = pages_of(render_paper(briefed()))
    assert next(number for number, page in enumerate(pages) if "Every input:" in page) > 1


@pytest.mark.usefixtures("drawn_once")
def test_paper_says_that_it_sets_words_from_right_to_left_apart():
    named = replace(briefed(), title="مدرج")
    assert "from right to left" in " ".join(" ".join(pages_of(render_paper(named))).split())
    assert "from right to left" not in " ".join(" ".join(paper_of("one milestone")).split())


@pytest.mark.parametrize("name", ["brief.doc", "brief", "brief.html.zip"])
def test_another_ending_is_refused_and_the_right_ones_are_named(tmp_path, name):
    assert "end it in .html or .pdf" in unable(tmp_path / name)


def test_a_file_that_cannot_be_is_refused_beforehand(tmp_path):
    (tmp_path / "file").write_text("a file", encoding="utf-8")
    (tmp_path / "folder.html").mkdir()
    assert "cannot be written" in unable(tmp_path / "file" / "brief.html")
    assert "is a folder" in unable(tmp_path / "folder.html")
    assert unable(tmp_path / "new" / "brief.PDF") == ""


def test_a_disk_that_fails_leaves_the_old_file(tmp_path, monkeypatch):
    file = tmp_path / "brief.html"
    file.write_text("old", encoding="utf-8")

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(own_files, "write_whole", full)
    with pytest.raises(OSError, match="No space left"):
        write_brief(briefed(), file)
    assert file.read_text(encoding="utf-8") == "old"


def test_the_file_is_what_was_made(tmp_path):
    told: list[tuple[int, int]] = []
    file = write_brief(briefed(), tmp_path / "brief.html", progress=lambda *said: told.append(said))
    assert file.read_text(encoding="utf-8") == page_of()
    pictures = len(briefed().figures)
    assert told == [(number, pictures) for number in range(1, pictures + 1)]  # whoever waits is told of each picture
    assert "Short strip" in page_of()
