"""Renders an answer as one HTML file that needs no network: style, script, data and pictures stand inside it."""

from __future__ import annotations

import base64
import hashlib
import io
import json
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

from simulation.present.answer import Answer, Figure, Sheet
from simulation.present.pictures.figure import STYLE, TITLE
from simulation.present.pictures.fonts import boxes_note, use_fonts
from simulation.present.plain_text import plain

if TYPE_CHECKING:
    from collections.abc import Callable

    from matplotlib.figure import Figure as Drawn
    from matplotlib.transforms import Bbox

_TEMPLATES = Path(__file__).parent / "templates"
#: The style of every page: letters, light and dark colours, what has the focus.
LOOK = _TEMPLATES / "look.css"
#: Bytes of an SVG beyond which a picture goes in as PNG. Planning value: thousands of marks draw slowly on a small machine.
_MOST_SVG = 600_000


def render_page(answer: Answer, progress: Callable[[int, int], None] | None = None) -> str:
    """Return an answer as HTML; titles and names are the planner's own words, and every one is escaped where it stands.

    How many pictures are drawn of how many is told to `progress`.
    """
    import jinja2
    import markupsafe

    drawn = count(1)

    def picture(figure: Figure) -> str:
        source = _source(figure)
        if progress is not None:
            progress(next(drawn), len(answer.figures))
        return source

    environment = jinja2.Environment(
        loader=jinja2.FileSystemLoader(_TEMPLATES), autoescape=True, undefined=jinja2.StrictUndefined, finalize=_plain
    )
    # What as_data returns has no <, > or & left that could end the script element it stands in.
    environment.filters |= {
        "kind": lambda block: type(block).__name__,
        "data": lambda record: markupsafe.Markup(as_data(record)),
        "picture": picture,
    }
    sheets = any(isinstance(block, Sheet) for page in answer.pages for part in page.parts for block in part.blocks)
    script = (_TEMPLATES / "sheet.js").read_text(encoding="utf-8") if sheets else ""
    words = " ".join((answer.title, *(figure.describe() for figure in answer.figures)))
    return environment.get_template("answer.html").render(
        answer=answer,
        boxes=boxes_note(words, "Pictures show"),
        style=LOOK.read_text(encoding="utf-8") + (_TEMPLATES / "answer.css").read_text(encoding="utf-8"),
        script=script,
        allowed=_only(script) if sheets else "'none'",
    )


def _plain(value: Any) -> Any:
    """Return a text with its control characters shown, as on the terminal; what is markup already is this program's own."""
    if not isinstance(value, str) or hasattr(value, "__html__"):
        return value
    return plain(value.replace("\r\n", "\n"))


def _only(script: str) -> str:
    """Return how a page says that this script runs in it, and no other."""
    return f"'sha256-{base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()}'"


def _source(figure: Figure) -> str:
    """Return a picture as the address of an image that holds it."""
    svg = render_image(figure, "svg", 150, False)
    if len(svg) <= _MOST_SVG:
        return f"data:image/svg+xml;base64,{base64.b64encode(svg).decode()}"
    return f"data:image/png;base64,{base64.b64encode(render_image(figure, 'png', 150, False)).decode()}"


def render_image(picture: Figure, kind: str, dpi: int = 150, titled: bool = True) -> bytes:
    """Return a picture as the content of a file of some kind, ``svg`` or ``png``, in the look of all pictures.

    Without its title where that stands above it in words: the space of the title goes with it.
    """
    import matplotlib

    content = io.BytesIO()
    none: dict[str, Any] = {"Date": None, "Creator": None, "Format": None, "Type": None} if kind == "svg" else {"Software": None}
    with matplotlib.rc_context(cast(Any, STYLE)):
        figure = picture.draw()
        use_fonts(figure)
        box = None if titled else _below_title(figure)
        figure.savefig(content, format=kind, dpi=dpi, metadata=none, bbox_inches=box)
    return content.getvalue()


def _below_title(figure: Drawn) -> Bbox | None:
    """Take the title away, and return the inches of the picture that are left; None where it has none."""
    from matplotlib.transforms import Bbox

    titles = [text for text in figure.texts if text.get_gid() == TITLE]
    for text in titles:
        box = text.get_window_extent().transformed(figure.dpi_scale_trans.inverted())
        text.set_visible(False)
        return Bbox.from_bounds(0.0, 0.0, figure.get_figwidth(), box.y0)
    return None


def as_data(record: object) -> str:
    """Return a record as JSON that may stand in a script element, whatever is written in it."""
    text = json.dumps(record, allow_nan=False, separators=(",", ":"))  # ASCII, so no line separators of other scripts
    return text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")
