"""Sets an answer on paper: two to four pages, and every input and every long table after them.

Layouts are tried from the roomiest on, and the first whose pages are few enough is taken; an answer of too many parts for any of
them takes as many pages as it needs. What only the screen has room for (decision sheet, further pictures, the scenario's text,
the meaning of each input) is left to the HTML, and paper says so. A picture that paper shows if there is room stands where a page
would end empty, and costs neither pages nor letters. No table is cut short: one that has more rows than there is room for
stands whole after the inputs, and its first rows say where.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Any

from simulation.present import answer as content
from simulation.present.answer import Figure
from simulation.present.pictures.fonts import boxes_note, unshaped_note
from simulation.present.plain_text import plain
from simulation.present.renderers.page import render_image
from simulation.present.renderers.paper_parts import Paper, fonts

#: Before the inputs, as long as any layout does with so few.
MOST_PAGES = 4
#: What the pages of tables that are set whole are called.
WHOLE = "Whole tables"

_ELSEWHERE = (
    "More stands in the brief as HTML, from the same command with --out FILE.html: the decision sheet, further pictures, every "
    "change that was tried, the meaning of each input, and the scenario's text."
)


@dataclass(frozen=True)
class Layout:
    """How roomy paper is set.

    Attributes
    ----------
    letters : float
        Size of plain text in points.
    picture : float
        Width of pictures as a share of the text's.
    rows : int
        Of a table at the most; a longer one stands whole after the inputs.
    """

    letters: float
    picture: float
    rows: int


#: From the roomiest to the tightest. Planning values: read off proofs of the shipped scenarios. Words in a picture shrink with
#: it, so rows give way first.
LAYOUTS = (
    Layout(9.0, 1.0, 60),
    Layout(8.5, 1.0, 40),
    Layout(8.2, 1.0, 24),
    Layout(8.0, 1.0, 16),
    Layout(8.0, 0.95, 12),
    Layout(8.0, 0.9, 8),
    Layout(8.0, 0.85, 5),
    Layout(8.0, 0.8, 4),
)
#: The layout of an answer that none of them sets on few pages.
_MANY_PAGES = LAYOUTS[2]


def render_paper(answer: content.Answer, progress: Callable[[int, int], None] | None = None) -> bytes:
    """Return an answer as a PDF of two to four pages, more where it has too many parts for that, and what follows them.

    Parameters
    ----------
    answer : Answer
    progress : callable, optional
        Told how many layouts are tried of how many there are; the whole is set in one more.
    """
    fonts()
    pictures: dict[str, bytes] = {}

    def few_pages(tried: int, layout: Layout) -> bool:
        pages = _set(answer, layout, pictures, whole=False)[1]
        if progress is not None:
            progress(tried, len(LAYOUTS) + 1)
        return pages <= MOST_PAGES

    fits = (layout for tried, layout in enumerate(LAYOUTS, 1) if few_pages(tried, layout))
    return _set(answer, next(fits, _MANY_PAGES), pictures, whole=True)[0]


def _set(answer: content.Answer, layout: Layout, pictures: dict[str, bytes], whole: bool) -> tuple[bytes, int]:
    """Return the answer set in one layout, with inputs and whole tables or without, and how many pages it takes."""
    from reportlab.lib.pagesizes import A4
    from reportlab.platypus import SimpleDocTemplate

    file, paper = io.BytesIO(), Paper(layout.letters)
    document = SimpleDocTemplate(
        file, pagesize=A4, leftMargin=36, rightMargin=36, topMargin=34, bottomMargin=40,
        title=f"{plain(answer.title)}: {answer.question}", author="keystrip", invariant=1,
    )  # fmt: skip

    foot_line = paper.one_line(f"{plain(answer.title)}: {answer.question}", document.width - 60)

    def foot(canvas: Any, _: Any) -> None:
        canvas.setFont("keystrip", 8)
        canvas.drawString(42, 22, foot_line)
        canvas.drawRightString(A4[0] - 42, 22, f"page {canvas.getPageNumber()}")

    width = document.width - 12
    story = list(_story(answer, layout, paper, width, pictures))
    if whole:
        story += [*_inputs(answer, paper, width), *_whole_tables(answer, layout, paper, width)]
    document.build(story, onFirstPage=foot, onLaterPages=foot)
    return file.getvalue(), document.page


def _story(answer: content.Answer, layout: Layout, paper: Paper, width: float, pictures: dict[str, bytes]) -> Iterator[Any]:
    from reportlab.platypus import PageBreak

    placed: list[bytes] = []
    spare = [
        _drawn(block, pictures)
        for page in answer.pages
        for part in page.parts
        for block in part.blocks
        if isinstance(block, content.Figure) and block.if_room
    ]
    yield paper.text(answer.title, "title")
    yield paper.text(answer.about)
    for warning in answer.warnings:
        yield paper.text(f"Read first: {warning}", "warning")
    for page in answer.pages:
        if page.key == "risk":
            yield from (paper.if_room(png, width, placed) for png in spare)
            yield PageBreak()
        head = [paper.text(page.title, "page"), paper.rule(width)]
        for part in page.parts:
            if part.on_paper:
                blocks = [
                    flowable
                    for block in part.blocks
                    for flowable in _block(_untitled(block, part.title), layout, paper, width, pictures)
                ]
                if blocks:
                    yield from (*head, paper.text(part.title, "part"), *blocks)
                    head = []
    yield paper.text(_ELSEWHERE, "note")
    if note := unshaped_note(" ".join(paper.written)):
        yield paper.text(note, "note")
    if note := boxes_note(" ".join(paper.written), "This paper shows", truetype=True):
        yield paper.text(note, "note")
    yield from (paper.if_room(png, width, placed) for png in spare)


def _untitled(block: content.Block, title: str) -> content.Block:
    """Return a block without the title that stands above it already."""
    return replace(block, title="") if isinstance(block, content.Table | content.Figure) and block.title == title else block


def _block(block: content.Block, layout: Layout, paper: Paper, width: float, pictures: dict[str, bytes]) -> Iterator[Any]:
    """Yield what one block is on paper; nothing where the screen alone has room for it."""
    match block:
        case content.Text(text, strong):
            yield paper.text(text, "strong" if strong else "plain")
        case content.Points(items):
            for item in items:
                yield paper.text(item, "point", bullet="•")
        case content.Terms(rows):
            for term, said in rows:
                yield paper.term(term, said)
        case content.Table():
            yield from paper.table(_shortened(block, layout.rows), width)
        case content.Figure(on_paper=True):
            yield paper.picture(_drawn(block, pictures), width * layout.picture)
        case _:
            return


def _is_long(table: content.Table, rows: int) -> bool:
    """Return whether a table is longer than it may be; a row or two more cost less than looking elsewhere."""
    return len(table.rows) > rows + 2


def _shortened(table: content.Table, rows: int) -> content.Table:
    """Return a table that may be so long: its first rows, its last, which often sums up, and where it stands whole."""
    if not _is_long(table, rows):
        return table
    gap = ("…", *("" for _ in table.columns[1:]))
    where = f"{len(table.rows) - rows} rows are left out here; all {len(table.rows)} stand under “{WHOLE}” at the end."
    return replace(table, rows=(*table.rows[: rows - 1], gap, table.rows[-1]), notes=(where, *table.notes))


def _inputs(answer: content.Answer, paper: Paper, width: float) -> Iterator[Any]:
    """Yield the inputs of an answer, from a page of their own on; nothing where it has none."""
    from reportlab.platypus import PageBreak

    for page in answer.pages:
        blocks = [block for part in page.parts for block in part.blocks if isinstance(block, content.Inputs)]
        for block in blocks:
            yield from (PageBreak(), paper.text(page.title, "page"), paper.rule(width), paper.text(f"{block.table.title}."))
            yield from (paper.term(name, text, small=True) for name, text in block.groups)
            yield from (paper.text(note, "note") for note in block.table.notes)


def _whole_tables(answer: content.Answer, layout: Layout, paper: Paper, width: float) -> Iterator[Any]:
    """Yield the tables that the pages before had no room for, each whole; nothing where they stand there."""
    from reportlab.platypus import PageBreak

    head = [PageBreak(), paper.text(WHOLE, "page"), paper.rule(width)]
    for part in answer.parts:
        for block in part.blocks:
            if part.on_paper and isinstance(block, content.Table) and _is_long(block, layout.rows):
                yield from (*head, *paper.table(replace(block, title=block.title or part.title), width))
                head = []


def _drawn(picture: Figure, pictures: dict[str, bytes]) -> bytes:
    if picture.name not in pictures:
        pictures[picture.name] = render_image(picture, "png", dpi=200, titled=bool(picture.title))
    return pictures[picture.name]
