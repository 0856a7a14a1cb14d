"""How do pictures look? Ink, greys and sizes that survive a black-and-white printer, declared once."""

from __future__ import annotations

from typing import Any

INK = "#1a1a1a"
GREY = "#7d7d7d"
NIGHT = "#ebebeb"

#: Letters in points at print size; nothing in a picture is smaller than `SMALL`.
SMALL, PLAIN, LARGE = 9.0, 9.5, 12.0

STYLE: dict[str, Any] = {
    "font.family": ["DejaVu Sans"],
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
    "figure.facecolor": "white",
    "svg.hashsalt": "keystrip",  # the same forecast gives the same file
}


def lines_within(text: str, size: float, inches: float, bold: bool = False) -> list[str]:
    """Return `text` in lines no longer than `inches`, broken at blanks, and inside a word only if it fills a line alone."""
    from matplotlib.font_manager import FontProperties
    from matplotlib.textpath import text_to_path

    font = FontProperties(family=STYLE["font.family"], size=size, weight="bold" if bold else "normal")

    def fits(line: str) -> bool:
        width, _, _ = text_to_path.get_text_width_height_descent(line, font, ismath=False)
        return width / 72.0 <= inches

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
