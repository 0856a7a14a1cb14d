"""Sets the parts of an answer on paper: letters, tables and pictures, black on white."""

from __future__ import annotations

import io
from collections.abc import Iterator
from functools import cache
from itertools import groupby
from pathlib import Path
from typing import Any
from xml.sax.saxutils import escape

from simulation.present.answer import Table
from simulation.present.pictures.figure import GREY, INK
from simulation.present.pictures.fonts import find_font, lacking
from simulation.present.plain_text import plain

FONT, BOLD = "keystrip", "keystrip-bold"
_QUIET = "#404040"


def _escape(text: str) -> str:
    """Return a text as markup that shows it, control characters included."""
    return escape(plain(text))


@cache
def fonts() -> None:
    """Make the letters of the pictures known to the PDF as well: they hold more scripts than a PDF's own."""
    import matplotlib
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    folder = Path(matplotlib.get_data_path()) / "fonts" / "ttf"
    pdfmetrics.registerFont(TTFont(FONT, str(folder / "DejaVuSans.ttf")))
    pdfmetrics.registerFont(TTFont(BOLD, str(folder / "DejaVuSans-Bold.ttf")))
    pdfmetrics.registerFontFamily(FONT, normal=FONT, bold=BOLD, italic=FONT, boldItalic=BOLD)


@cache
def _registered(name: str, file: Path) -> str:
    """Return the name under which a PDF knows a font that helps out; the usual one where its file cannot be used."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFError, TTFont

    try:
        pdfmetrics.registerFont(TTFont(name, str(file)))
    except TTFError:
        return FONT
    pdfmetrics.registerFontFamily(name, normal=name, bold=name, italic=name, boldItalic=name)
    return name


@cache
def _if_room() -> Any:
    """Return the class of what takes no room where there is none; made late, since reportlab is loaded only for paper."""
    from reportlab.platypus import Flowable

    class IfRoom(Flowable):  # type: ignore[misc]
        def __init__(self, picture: Any, png: bytes, placed: list[bytes]) -> None:
            super().__init__()
            self.picture, self.png, self.placed, self.fits = picture, png, placed, False

        def wrap(self, width: float, height: float) -> tuple[float, float]:
            wide, high = self.picture.wrap(width, height)
            self.fits = self.png not in self.placed and high <= height
            return (wide, high) if self.fits else (0.0, 0.0)

        def draw(self) -> None:
            if self.fits:
                self.placed.append(self.png)
                self.picture.drawOn(self.canv, 0, 0)

    return IfRoom


class Paper:
    """Makes the parts of a page, in letters of one size.

    Parameters
    ----------
    letters : float
        Points of plain text.

    Attributes
    ----------
    written : list of str
        All that was set.
    """

    def __init__(self, letters: float) -> None:
        from reportlab.lib.styles import ParagraphStyle

        size = letters
        self.written: list[str] = []
        quiet = {"textColor": _QUIET}
        box = {"borderWidth": 1, "borderColor": INK, "borderPadding": 3, "spaceBefore": 5, "spaceAfter": 5}
        parts: dict[str, tuple[float, str, dict[str, Any]]] = {
            "title": (1.75 * size, BOLD, {"spaceAfter": 3}),
            "page": (1.35 * size, BOLD, {"spaceBefore": 7, "keepWithNext": 1}),
            "part": (1.08 * size, BOLD, {"spaceBefore": 5, "spaceAfter": 1.5, "keepWithNext": 1}),
            "strong": (1.12 * size, BOLD, {}),
            "plain": (size, FONT, {}),
            "point": (size, FONT, {"leftIndent": 9, "bulletIndent": 0, "bulletFontName": FONT}),
            "warning": (size, BOLD, box),
            "note": (8.0, FONT, quiet),
            "small": (8.0, FONT, {"spaceAfter": 2}),
            "caption": (size, BOLD, {"spaceBefore": 3, "keepWithNext": 1}),
            "cell": (max(8.0, 0.93 * size), FONT, {}),
            "number": (max(8.0, 0.93 * size), FONT, {"alignment": 2}),
            "head": (max(8.0, 0.93 * size), BOLD, {}),
            "head number": (max(8.0, 0.93 * size), BOLD, {"alignment": 2}),
        }
        self._styles = {
            name: ParagraphStyle(name, fontName=font, fontSize=points, leading=1.24 * points, **{"textColor": INK, **more})
            for name, (points, font, more) in parts.items()
        }

    def text(self, text: str, style: str = "plain", bullet: str | None = None) -> Any:
        """Return a paragraph; whatever stands in it is text and no markup."""
        return self._paragraph(self._marked(text), style, bullet)

    def _marked(self, text: str) -> str:
        """Return text as markup, with letters that the usual font lacks in the one that helps out."""
        self.written.append(text)
        letters = lacking(text)
        helper = find_font(letters, truetype=True) if letters else None
        if helper is None:
            return _escape(text)
        name = _registered(helper.name, helper.file)
        return "".join(
            f'<font name="{name}">{_escape("".join(run))}</font>' if other else _escape("".join(run))
            for other, run in groupby(text, key=helper.letters.__contains__)
        )

    def _paragraph(self, marked: str, style: str, bullet: str | None = None) -> Any:
        from reportlab.platypus import Paragraph

        return Paragraph(marked, self._styles[style], bulletText=bullet)

    def term(self, term: str, said: str, small: bool = False) -> Any:
        """Return a name and what is said of it."""
        return self._paragraph(f"<b>{self._marked(term)}:</b> {self._marked(said)}", "small" if small else "plain")

    def one_line(self, text: str, width: float) -> str:
        """Return text that fits into one line of 8 points, its end cut off where it is longer."""
        from reportlab.pdfbase.pdfmetrics import stringWidth

        if stringWidth(text, FONT, 8) <= width:
            return text
        while stringWidth(f"{text}…", FONT, 8) > width:
            text = text[:-1]
        return f"{text}…"

    def rule(self, width: float) -> Any:
        """Return a line across the page."""
        from reportlab.platypus import HRFlowable

        line = HRFlowable(width=width, thickness=0.8, color=INK, spaceBefore=1, spaceAfter=2, hAlign="LEFT")
        line.keepWithNext = 1
        return line

    def picture(self, png: bytes, width: float) -> Any:
        """Return a picture of some width; it bears its own title."""
        from reportlab.lib.utils import ImageReader
        from reportlab.platypus import Image

        wide, high = ImageReader(io.BytesIO(png)).getSize()
        return Image(io.BytesIO(png), width, width * high / wide, hAlign="LEFT")

    def if_room(self, png: bytes, width: float, placed: list[bytes]) -> Any:
        """Return a picture that stands here only if the page has room left for it, and if it stands nowhere else yet.

        Parameters
        ----------
        png : bytes
        width : float
        placed : list of bytes
            Pictures that stand somewhere; this one is added when it does.
        """
        return _if_room()(self.picture(png, width), png, placed)

    def table(self, table: Table, width: float) -> Iterator[Any]:
        """Yield a table, and what stands below it."""
        from reportlab.platypus import Table as Laid
        from reportlab.platypus import TableStyle

        kinds = ["cell" if index == 0 or index in table.words else "number" for index in range(len(table.columns))]
        heads = ["head" if kind == "cell" else "head number" for kind in kinds]
        rows = [[self.text(name, kind) for name, kind in zip(table.columns, heads, strict=True)]]
        rows += [[self.text(cell, kind) for cell, kind in zip(row, kinds, strict=True)] for row in table.rows]
        laid = Laid(rows, self._widths(table, kinds, width), repeatRows=1, hAlign="LEFT")
        laid.setStyle(
            TableStyle(
                [
                    ("VALIGN", (0, 0), (-1, 0), "BOTTOM"),
                    ("VALIGN", (0, 1), (-1, -1), "TOP"),
                    ("LINEBELOW", (0, 0), (-1, 0), 0.9, INK),
                    ("LINEBELOW", (0, 1), (-1, -1), 0.3, GREY),
                    ("LEFTPADDING", (0, 0), (-1, -1), 0),
                    ("RIGHTPADDING", (0, 0), (-1, -1), 7),
                    ("TOPPADDING", (0, 0), (-1, -1), 0.8),
                    ("BOTTOMPADDING", (0, 0), (-1, -1), 1.6),
                ]
            )
        )
        if table.title:
            yield self.text(table.title, "caption")
        yield laid
        for note in table.notes:
            yield self.text(note, "note")

    def _widths(self, table: Table, kinds: list[str], width: float) -> list[float]:
        """Return the widths of the columns: as wide as what is in them, narrower where that is wider than the page."""
        from reportlab.pdfbase.pdfmetrics import stringWidth

        size, padding = self._styles["cell"].fontSize, 8.0
        wanted, least = [], []
        for index, name in enumerate(table.columns):
            cells = [stringWidth(row[index], FONT, size) for row in table.rows] or [0.0]
            head = max(stringWidth(word, BOLD, size) for word in name.split() or [""])
            whole = stringWidth(name, BOLD, size)
            words = max((stringWidth(word, FONT, size) for row in table.rows for word in row[index].split()), default=0.0)
            wanted.append(max(*cells, min(whole, max(head, 90.0))) + padding)
            least.append(max(head, words if kinds[index] == "cell" else max(cells)) + padding)
        over = sum(wanted) - width
        if over <= 0:
            return wanted
        room = [a - b if a > b else 0.0 for a, b in zip(wanted, least, strict=True)]
        share = min(1.0, over / sum(room)) if sum(room) else 0.0
        narrowed = [a - share * b for a, b in zip(wanted, room, strict=True)]
        fit = min(1.0, width / sum(narrowed))  # one long word may still be wider than the page
        return [fit * width for width in narrowed]
