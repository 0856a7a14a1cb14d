"""Reads the file of a site log, or says why it cannot be read."""

from __future__ import annotations

from pathlib import Path

from simulation.scenario.site_log.log_lines import LARGEST
from simulation.scenario.types.mistakes import LogError, Mistake
from simulation.scenario.types.texts.bounded import read_text


def read_log_file(path: Path) -> str:
    """Return the text of a log.

    Raises
    ------
    LogError
        If there is none, or it cannot be read.
    """
    try:
        return read_text(path, LARGEST)
    except FileNotFoundError:
        wrong, right = "there is no such file", "keystrip log new SCENARIO writes a log to be filled in"
    except UnicodeDecodeError as error:
        wrong, right = f"is not text in UTF-8 (byte {error.start + 1})", "save the sheet as CSV in UTF-8"
    except (OSError, ValueError) as error:
        wrong, right = f"cannot be read: {getattr(error, 'strerror', None) or error}", "name a CSV file"
    raise LogError(str(path), [Mistake("", wrong, right)])
