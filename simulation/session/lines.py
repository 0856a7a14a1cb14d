"""Writes a line: an answer to standard output, all else to standard error, and nothing in it but what can be read."""

from __future__ import annotations

import os
import shutil
import sys
from contextlib import suppress
from textwrap import fill
from typing import NoReturn

import typer

from simulation.present.plain_text import plain, plain_line, shortened
from simulation.session.exit_codes import MISTAKE

#: Whether a line was written to standard error.
_said = False


def say_of_file(line: str) -> None:
    """Write what is said of a file to standard error: within the width of a terminal, and as one line for any other reader."""
    width, line = shutil.get_terminal_size().columns, plain_line(line)
    if sys.stderr.isatty() and len(line) > width:
        words, with_command, command = line.partition(": keystrip ")
        line = fill(
            f"{words}:" if with_command else words, width, subsequent_indent="  ", break_long_words=False, break_on_hyphens=False
        )
        if with_command:  # a command that is broken into two lines cannot be copied
            line += f"\n  keystrip {command}"
    write(line)


def stop(line: str) -> NoReturn:
    """Say what is wrong and what would be right, and end."""
    say(line)
    raise typer.Exit(MISTAKE)


def say(line: str) -> None:
    """Write a line to standard error."""
    global _said
    _said = True
    write(plain_line(f"keystrip: {line}"))


def write(line: str) -> None:
    """Write a line to standard error, nothing in it but what can be read."""
    with suppress(OSError):  # where nothing can be said, the exit code still says how it ended
        typer.echo(plain(shortened(line)), err=True)


def tell(line: str) -> None:
    """Write an answer of one line to standard output."""
    put(f"{plain_line(shortened(line))}\n")


def silent() -> bool:
    """Return whether nothing has been said so far."""
    return not _said


def put(text: str) -> None:
    """Write the answer to standard output; a reader who has had enough, such as `head`, stops nothing else."""
    try:
        sys.stdout.write(text)
        sys.stdout.flush()
    except BrokenPipeError:
        # Python would complain once more when it flushes at exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    except OSError as error:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        stop(f"standard output cannot be written ({error.strerror or error}); make room, or send it elsewhere")


def are_kept(runs: int, folder: object) -> str:
    """Return the words for runs that a folder keeps."""
    return f"1 run is kept in {folder}" if runs == 1 else f"{runs:,} runs are kept in {folder}"
