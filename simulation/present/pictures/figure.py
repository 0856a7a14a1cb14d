"""How do pictures look? Ink, greys and sizes that survive a black-and-white printer, declared once."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

from simulation.present.file_names import FORMS
from simulation.present.pictures.fonts import BOXES, USUAL, use_fonts

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

INK = "#1a1a1a"
GREY = "#7d7d7d"
NIGHT = "#ebebeb"

#: The mark of a picture's title, which is left out where the title stands above the picture in words.
TITLE = "title"
#: Letters in points at print size; nothing in a picture is smaller than `SMALL`.
SMALL, PLAIN, LARGE = 9.0, 9.5, 12.0

STYLE: dict[str, Any] = {
    "font.family": [USUAL, BOXES],
    "font.size": PLAIN,
    "axes.edgecolor": INK,
    "axes.labelcolor": INK,
    "axes.labelsize": PLAIN,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "xtick.labelsize": SMALL,
    "ytick.labelsize": SMALL,
    "xtick.color": INK,
    "ytick.color": INK,
    "text.color": INK,
    "text.parse_math": False,  # a title may hold two dollar signs
    "hatch.linewidth": 0.6,
    "legend.frameon": False,
    "legend.fontsize": SMALL,
    "figure.facecolor": "white",
    "svg.hashsalt": "keystrip",  # the same forecast gives the same file
}


def lines_within(text: str, size: float, inches: float, bold: bool = False) -> list[str]:
    """Return `text` in lines no longer than `inches`, broken at blanks, and inside a word only if it fills a line alone."""

    def fits(line: str) -> bool:
        return _width(line, size, bold) / 72.0 <= inches

    lines = [""]
    for word in text.split():
        longer = f"{lines[-1]} {word}".strip()
        if fits(longer):
            lines[-1] = longer
            continue
        if lines[-1]:
            lines.append("")
        for letter in word:
            if not fits(lines[-1] + letter):
                lines.append("")
            lines[-1] += letter
    return lines


@lru_cache(maxsize=4096)
def _width(line: str, size: float, bold: bool) -> float:
    """Return the width of a line in points: measuring takes half a millisecond, and the same words stand on many pictures."""
    from matplotlib.font_manager import FontProperties
    from matplotlib.textpath import text_to_path

    font = FontProperties(family=STYLE["font.family"], size=size, weight="bold" if bold else "normal")
    width, _, _ = text_to_path.get_text_width_height_descent(line, font, ismath=False)
    return width


def blank(width: float, height: float) -> Figure:
    """Return an empty figure of so many inches."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    figure = Figure(figsize=(width, height))
    FigureCanvasAgg(figure)
    return figure


def axes_at(figure: Figure, left: float, bottom: float, width: float, height: float) -> Axes:
    """Return axes in a box of inches from the figure's lower left corner."""
    wide, high = figure.get_size_inches()
    return figure.add_axes((left / wide, bottom / high, width / wide, height / high))


def cut(text: str, size: float, inches: float, lines: int = 1, bold: bool = False) -> str:
    """Return `text` in so many lines at the most, each no longer than `inches`; an ellipsis stands for what is left out."""
    whole = lines_within(text, size, inches, bold)
    if len(whole) <= lines:
        return "\n".join(whole)
    kept = lines_within(text, size, inches - 1.5 * size / 72.0, bold)[:lines]
    return "\n".join(kept) + " …"


def draw_words(figure: Figure, left: float, title: str, below: str, note: str) -> None:
    """Draw the title and what is shown at the top, two lines of it at the most, and how far to trust it at the foot."""
    wide, high = figure.get_size_inches()
    # Letters on a screen are set a little wider than their outlines are.
    inches, x, top = 0.98 * (wide - left - 0.2), left / wide, (high - 0.15) / high
    figure.text(x, top, cut(title, LARGE, inches - 0.2, bold=True), fontsize=LARGE, fontweight="bold", va="top", gid=TITLE)
    figure.text(x, top - 0.27 / high, cut(below, PLAIN, inches, 2), fontsize=PLAIN, va="top")
    figure.text(x, 0.12 / high, "\n".join(lines_within(note, SMALL, inches)), fontsize=SMALL, va="bottom")


def save_figure(draw: Callable[[], Figure], path: Path, says: str, forms: Sequence[str] = FORMS) -> list[Path]:
    """Write what `draw` returns beside `path`, in the look of all pictures and in some of its forms, and return the paths.

    Each file holds what the picture says, for readers who do not see it.
    """
    import matplotlib

    files = [path.with_suffix(f".{form}") for form in forms]
    with matplotlib.rc_context(cast(Any, STYLE)):
        figure = draw()
        use_fonts(figure)
        for file in files:
            if file.suffix == ".svg":
                figure.savefig(file, metadata={"Date": None, "Description": says})
            else:
                figure.savefig(file, dpi=150, metadata={"Description": says})
    return files


def listed(parts: Sequence[str]) -> str:
    """Return parts of a sentence with commas and an *and* between them."""
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"
