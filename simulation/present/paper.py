"""How does a brief become two to four pages of paper? The same content, set as large as four pages allow.

Layouts are tried from the roomiest on, and the first that fits is taken. What only the screen has room for (decision sheet,
further pictures, the scenario's text, the meaning of each input) is left to the HTML, and the last page says so. A picture that
paper shows if there is room stands at the end of the first page or of the last, and costs neither pages nor letters.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from simulation.present import answer as content
from simulation.present.page import render_image
from simulation.present.paper_parts import Paper, fonts

if TYPE_CHECKING:
    from simulation.present.answer import Figure

MOST_PAGES = 4


class TooLong(RuntimeError):
    """An answer that does not fit on the pages that paper may have."""


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
        Of a table at the most; the rest is left to the HTML.
    inputs : int
        Letters of each group of inputs at the most.
    """

    letters: float
    picture: float
    rows: int
    inputs: int


#: From the roomiest to the tightest. Planning values: read off proofs of the shipped scenarios. Words in a picture shrink with
#: it, so rows and inputs give way first.
LAYOUTS = (
    Layout(9.0, 1.0, 60, 100_000),
    Layout(8.5, 1.0, 40, 100_000),
    Layout(8.2, 1.0, 24, 100_000),
    Layout(8.0, 1.0, 16, 100_000),
    Layout(7.8, 1.0, 16, 100_000),
    Layout(7.8, 1.0, 12, 2_500),
    Layout(7.8, 0.9, 12, 6_000),
    Layout(7.8, 0.8, 8, 2_500),
    Layout(7.8, 0.6, 5, 800),
    Layout(7.8, 0.4, 3, 200),
)


def render_paper(answer: content.Answer) -> bytes:
    """Return the brief as a PDF of two to four pages.

    Raises
    ------
    TooLong
        If even the tightest layout needs more.
    """
    fonts()
    pictures: dict[str, bytes] = {}
    for layout in LAYOUTS:
        made, pages = _set(answer, layout, pictures)
        if pages <= MOST_PAGES:
            return made
    raise TooLong(f"the brief takes {pages} pages; write it as HTML")


def _set(answer: content.Answer, layout: Layout, pictures: dict[str, bytes]) -> tuple[bytes, int]:
    """Return the brief set in one layout, and how many pages it takes."""
    from reportlab.lib.pagesizes import A4
    from reportlab.platypus import SimpleDocTemplate

    file, paper = io.BytesIO(), Paper(layout.letters)
    document = SimpleDocTemplate(
        file, pagesize=A4, leftMargin=36, rightMargin=36, topMargin=34, bottomMargin=40,
        title=f"{answer.title}: brief", author="keystrip", invariant=1,
    )  # fmt: skip

    def foot(canvas: Any, _: Any) -> None:
        canvas.setFont("keystrip", 7)
        canvas.drawString(42, 22, f"{answer.title}: brief")
        canvas.drawRightString(A4[0] - 42, 22, f"page {canvas.getPageNumber()}")

    document.build(list(_story(answer, layout, paper, document.width - 12, pictures)), onFirstPage=foot, onLaterPages=foot)
    return file.getvalue(), document.page


def _story(answer: content.Answer, layout: Layout, paper: Paper, width: float, pictures: dict[str, bytes]) -> Iterator[Any]:
    from reportlab.platypus import PageBreak

    placed: list[bytes] = []
    spare = [
        _drawn(one, pictures)
        for page in answer.pages
        for part in page.parts
        for one in part.blocks
        if isinstance(one, content.Figure) and one.if_room
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
                blocks = [one for block in part.blocks for one in _block(block, layout, paper, width, pictures)]
                if blocks:
                    yield from (*head, paper.text(part.title, "part"), *blocks)
                    head = []
    yield paper.text(_ELSEWHERE, "note")
    yield from (paper.if_room(png, width, placed) for png in spare)


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
            yield from paper.table(block, width, layout.rows)
        case content.Figure(on_paper=True):
            yield paper.picture(_drawn(block, pictures), width * layout.picture)
        case content.Inputs(table, groups):
            yield paper.text(f"{table.title}.", "plain")
            for name, text in groups:
                yield paper.term(name, _cut(text, layout.inputs), small=True)
            for note in table.notes:
                yield paper.text(note, "note")
        case _:
            return


def _cut(text: str, most: int) -> str:
    """Return text up to its last whole part within so many letters, and how many parts are left out."""
    if len(text) <= most:
        return text
    parts = text.split("; ")
    kept: list[str] = []
    while parts and sum(map(len, kept)) + len(parts[0]) < most:
        kept.append(parts.pop(0))
    return f"{'; '.join(kept)}; and {len(parts)} more in the HTML"


def _drawn(picture: Figure, pictures: dict[str, bytes]) -> bytes:
    if picture.name not in pictures:
        pictures[picture.name] = render_image(picture, "png", dpi=200)
    return pictures[picture.name]
