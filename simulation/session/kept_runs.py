"""Ends a command that is stopped or whose report cannot be written: says which runs are kept, and with which code it ends."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from pathlib import Path
from typing import NoReturn

import typer

from simulation.session import interrupts
from simulation.session.exit_codes import DONE, MISTAKE, NOTHING_KEPT, STOPPED
from simulation.session.lines import are_kept, say

#: Where the command that runs keeps its runs, once it is known.
_kept_in: Path | None = None


def folder_of(name: str, out: Path | None) -> Path:
    """Return the folder that a command on the scenario in a file writes to, and note it for the case of an interrupt."""
    global _kept_in
    _kept_in = out or Path("reports") / Path(name).stem
    return _kept_in


def interruptible(command: Callable[..., None]) -> Callable[..., None]:
    """Return a command that says what an interrupt leaves behind, wherever it strikes, and ends with the code that fits."""

    @wraps(command)
    def stopped(*given: object, **named: object) -> None:
        try:
            command(*given, **named)
        except KeyboardInterrupt:
            _end_stopped()
        except typer.Exit:
            raise
        except Exception:
            # What an interrupt strikes while it is loaded may swallow it, and fail in its own way a moment later.
            if not interrupts.asked():
                raise
            _end_stopped()

    return stopped


def kept_line() -> str:
    """Return what a line on an answer that cannot be written says besides: the runs are not lost."""
    return f"; {are_kept(kept, _kept_in)}: run the same again then" if (kept := _count_runs()) else ""


def leave(write: Callable[[], list[Path]], folder: Path, stopped: str) -> None:
    """Write what a command leaves, say where it is, and end with the code that fits.

    Parameters
    ----------
    write : callable
        Writes files into the folder and returns their paths.
    folder : Path
    stopped : str
        Why not all was done; empty where it was.
    """
    from simulation.present.own_files import NotReplaced

    code = STOPPED if stopped else DONE
    try:
        say(f"report in {folder}: {', '.join(file.name for file in write())}")
    except OSError as error:
        code = code or MISTAKE
        full = f"{folder}: the report cannot be written ({error.strerror or error}); make room, or name another folder with --out"
        say((f"--out: {error}" if isinstance(error, NotReplaced) else full) + ("" if stopped else kept_line()))
    if stopped:
        say(f"{stopped}: {are_kept(_count_runs(), folder)}; the same command goes on from there")
    if code:
        raise typer.Exit(code)


def _end_stopped() -> NoReturn:
    interrupts.notice()
    if not (kept := _count_runs()):
        say("stopped" if _kept_in is None else "stopped before the first run was done: there is nothing to report")
        raise typer.Exit(NOTHING_KEPT) from None
    say(f"stopped: {are_kept(kept, _kept_in)}; the same command goes on from there")
    raise typer.Exit(STOPPED) from None


def _count_runs() -> int:
    if _kept_in is None:
        return 0
    try:
        from simulation.replicate import Store, StoreError
    except ImportError:  # broken off while it was loaded, so this command has not begun a run
        return 0
    try:
        with Store(_kept_in, reading=True) as store:
            return sum(run.runs for run in store.manifests())
    except StoreError:
        return 0
