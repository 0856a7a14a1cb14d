"""Was this very picture drawn before, or this text set? Then it is not done again, and what draws, which takes long, not loaded.

A picture is what its function makes of what it is given, and a text what an answer says, by this program and the libraries that
draw. All of that in one word is kept beside the file's SHA-256 in the folder's record: see `own_files`.
"""

from __future__ import annotations

import hashlib
import io
import pickle
from functools import cache
from typing import TYPE_CHECKING, Any

from simulation.replicate.identity import other_rooms, program_hash, source_hash, version_of, versions

if TYPE_CHECKING:
    from simulation.present.answer import Answer, Figure

#: What a picture or a text passes through, besides the libraries of a run.
_LIBRARIES = ("matplotlib", "rich")


class _Contents(pickle.Pickler):
    """Writes down what a picture is drawn from, in the same order each time."""

    def reducer_override(self, thing: Any) -> Any:
        """Return what a table of a scenario holds; its own way writes a set, whose order changes from one process to the next."""
        written = getattr(thing, "__pydantic_fields_set__", None)
        if written is None or isinstance(thing, type):
            return NotImplemented
        return tuple, ((type(thing).__qualname__, thing.__dict__, thing.__pydantic_private__, sorted(written)),)


def drawn_from(figure: Figure) -> str:
    """Return what a picture is drawn from in one word, or nothing where that cannot be written down: then it is drawn each time.

    Parameters
    ----------
    figure : Figure

    Notes
    -----
    Two pictures of one word are the same. The same picture may have two words, as where a set stands in what it is drawn from:
    that costs a drawing and no more.
    """
    return _word((figure.draw, figure.describe))


def text_from(answer: Answer) -> str:
    """Return what the whole text of an answer is set from in one word, or nothing, as `drawn_from` does for a picture.

    Parameters
    ----------
    answer : Answer
    """
    blocks = [(part.title, [block for block in part.blocks if not hasattr(block, "draw")]) for part in answer.parts]
    around = answer.title, answer.about, answer.headline, answer.lines, answer.warnings, answer.cautions
    return _word((around, blocks))


def _word(made_from: object) -> str:
    """Return what something is made from, and by what, in one word; nothing where it cannot be written down."""
    contents = io.BytesIO()
    try:
        _Contents(contents, pickle.HIGHEST_PROTOCOL).dump(made_from)
    except (pickle.PicklingError, AttributeError, TypeError):
        return ""
    return hashlib.sha256(_program().encode() + contents.getvalue()).hexdigest()


@cache
def _program() -> str:
    """Return by which program and libraries pictures are drawn."""
    return repr(
        [program_hash(), source_hash(other_rooms()), versions(), *((library, version_of(library)) for library in _LIBRARIES)]
    )
