"""Puts what nobody foresaw into one line, and keeps the details where they can be sent from."""

from __future__ import annotations

import sys
import traceback
from tempfile import NamedTemporaryFile


def put_plainly(error: BaseException) -> str:
    """Return the line for an error that no part of the program has an answer to, its details written to a file."""
    from simulation.replicate.identity import release

    what = "memory ran out" if isinstance(error, MemoryError) else f"a fault in keystrip itself ({type(error).__name__})"
    details = [
        f"keystrip {release()}, Python {sys.version}",
        " ".join(map(repr, sys.argv[1:])),
        *traceback.format_exception(error),
    ]
    try:
        with NamedTemporaryFile("w", prefix="keystrip-", suffix=".txt", delete=False, encoding="utf-8", errors="replace") as file:
            file.write("\n".join(details))
    except OSError:
        where = "they could not be written to a file"
    else:
        where = f"they are in {file.name}"
    return f"{what}; runs that were done are kept; please send the details to whoever looks after it: {where}"
