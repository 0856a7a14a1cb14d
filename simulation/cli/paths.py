"""Which words cannot name a file or a folder? None at all, an address of the network, and a file with a slash at its end."""

from __future__ import annotations

import os
import re
from typing import Any

from simulation.session.lines import stop

#: How the help calls what is a path.
_FOLDERS, _FILES = ("DIR", "STUDY"), ("FILE", "FILE.csv", "FILE.svg", "SCENARIO")
_ADDRESS = re.compile(r"[A-Za-z][A-Za-z0-9+.-]*://")


def refuse_no_path(parameter: Any, written: Any) -> None:
    """End with a line if what is written for a file or a folder cannot be one; the words are told as they are written."""
    if (what := parameter.metavar) not in (*_FOLDERS, *_FILES):
        return
    name = next((name for name in parameter.opts if name.startswith("--")), what)
    of, file = ("folder", False) if what in _FOLDERS else ("file", True)
    for path in written if isinstance(written, list | tuple) else (written,):
        if not isinstance(path, str):
            continue
        if not path.strip():
            stop(f'{name}: "" names no {of}; write one{"" if parameter.required else ", or leave it out"}')
        if _ADDRESS.match(path):
            stop(f"{name}: {path} is an address, and only files of this machine are read or written; name a {of}")
        if file and path.endswith(tuple(filter(None, (os.sep, os.altsep)))):
            stop(f"{name}: {path} ends as a folder does; name a file")
