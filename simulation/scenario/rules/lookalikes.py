"""Which names would a reader take for one another? They differ by case, by blanks, or by letters that look the same."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from simulation.scenario.types.mistakes import Mistake, block_name, shown

if TYPE_CHECKING:
    from simulation.scenario.tables.scenario import Scenario

#: Letters of other scripts, and signs, that look like Latin ones (after case is folded).
_LIKE = str.maketrans(
    "авгеѕіјкӏмнорстухћьԁԛԝαβεζηικνορτυχωϲ01|‐‑–—―−_",
    "abresijklmhopctyxhbdqwabeznikvoptuxwcoll------ ",
)


def look_alike(scenario: Scenario) -> Iterator[Mistake]:
    """Yield the names of a scenario's areas, crews and milestones that look like another one's."""
    kinds = (("area", scenario.area), ("crew", scenario.crew), ("milestone", scenario.milestone))
    for kind, blocks in kinds:
        yield from _alike(kind, [block.name for block in blocks])


def _alike(kind: str, names: Sequence[str]) -> Iterator[Mistake]:
    seen: dict[str, str] = {}
    for number, name in enumerate(names):
        other = seen.setdefault(_skeleton(name), name)
        if other != name:
            wrong = f"{shown(name)} ({_letters(name)}) looks like {shown(other)} ({_letters(other)})"
            yield Mistake(f"{kind}.{block_name(number, name)}.name", wrong, "give it another name")


def _skeleton(name: str) -> str:
    """Return what a name looks like."""
    folded = unicodedata.normalize("NFKC", name).casefold()
    parts = unicodedata.normalize("NFD", folded).translate(_LIKE).split()
    return " ".join(parts)


def _letters(name: str) -> str:
    """Return what sets a name apart: its case, or the first letter that is not of the Latin alphabet."""
    foreign = next((letter for letter in name if ord(letter) > 127), None)
    if foreign is not None:
        return unicodedata.name(foreign, "a letter without a name").lower()
    return "all in plain letters" if name != name.lower() else "all in small letters"
