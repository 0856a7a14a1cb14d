"""What a command needs of one call: its scenario, its warnings and mistakes, and where its answer is printed.

Answers go to standard output, all else to standard error, a line each.
"""

from __future__ import annotations

import io
import re
import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn, cast

import typer

from simulation.session.data_option import data_folders, outlook_changes
from simulation.session.exit_codes import MISTAKE, NOTHING_KEPT, STOPPED
from simulation.session.kept_runs import kept_line
from simulation.session.lines import say, say_of_file, stop, write

if TYPE_CHECKING:
    from rich.console import Console

    from simulation.scenario import Mistake, Scenario, ScenarioError
    from simulation.scenario.types.quantities.measures import System

#: Blanks up to the end of a line, with which tables are filled.
_BLANKS = re.compile(r" +\n")
#: What an error of these names goes by is an option, not the scenario's file.
_OPTIONS = ("deadline", "precision", "--detail")


def file_of(scenario: str | None) -> Path:
    """Return the file of a scenario; a bare name that is no file may be one of the shipped."""
    from simulation.scenario import shipped

    path = shipped() if scenario is None else Path(scenario)
    if scenario is not None and not path.exists() and path.name == path.stem == scenario and shipped(scenario).is_file():
        path = shipped(scenario)
    return path


def load(scenario: str | None, units: str | None = None) -> tuple[str, Scenario]:
    """Return the scenario with the file it stands in; what is told of it is told in `units`."""
    from simulation.present.own_files import keep
    from simulation.scenario import ScenarioError, load_scenario

    path = file_of(scenario)
    try:
        with progress(workers=1) as advance:
            loaded = load_scenario(path, units_of(units), data_folders(), outlook_changes(path), advance)
        folders = (loaded.source.folder, *data_folders())
        keep([path, *(folder / name for folder in folders for name in loaded.source.data)])
        return str(path), loaded
    except ScenarioError as error:
        refuse(error)


def begin_by_log(scenario: Scenario, log: Path | None, at: str | None) -> Scenario:
    """Return a scenario whose work has begun as a site log says, or end; the log is checked at once, and never written to."""
    if log is None:
        if at is not None:
            stop("--at: it says up to where a site log is read; give --log as well, or leave it out")
        return scenario
    from simulation.present.own_files import keep
    from simulation.scenario import LogError, SiteLog, begin_by
    from simulation.scenario.site_log.log_file import read_log_file

    try:
        begun = begin_by(scenario, SiteLog(log.name, read_log_file(log), at or ""))
        keep([log])
        from simulation.construction import tell_log

        tell_log(begun)
        return begun
    except LogError as error:
        refuse(error)


def units_of(units: str | None) -> System | None:
    """Return the units that an option names, or end."""
    if units not in (None, "feet", "metric"):
        from simulation.scenario.types.mistakes import shown

        stop(f"--units: {shown(units)} are no units; write feet or metric")
    return cast("System | None", units)


def may_write(option: str, command: str, force: bool, *files: Path) -> None:
    """Refuse files that a command is to write, before anything is computed, if what stands there is not to be replaced."""
    from simulation.present.own_files import refusal

    for file in files:
        if why := refusal(file, command, force):
            stop(f"{option}: {why}")


@contextmanager
def mistakes_of(name: str) -> Iterator[None]:
    """Turn a mistake found after loading into its lines; the rooms do not know the file, so its name is put in here."""
    from simulation.scenario import LogError, ScenarioError

    try:
        yield
    except ScenarioError as error:
        refuse(error if error.file in _OPTIONS or isinstance(error, LogError) else ScenarioError(name, error.mistakes))


@contextmanager
def mistakes_in_option(option: str = "") -> Iterator[None]:
    """Turn what is wrong with an option into a line that begins with it; where none is named, the mistakes name it."""
    from simulation.scenario import ScenarioError

    try:
        yield
    except ScenarioError as error:
        more = len(error.mistakes) - 1
        stop((f"{option}: {error.mistakes[0]}" if option else f"--{error}") + (f" (and {more} more)" if option and more else ""))


@contextmanager
def refusals() -> Iterator[None]:
    """Turn what keeps a command from an answer into its line: a store or cluster that cannot be used, a stop before any run."""
    from simulation.replicate import ClusterError
    from simulation.replicate.batches import WorkersLost
    from simulation.replicate.store import StoreError, StoreFull
    from simulation.replicate.worker import OtherProgram
    from simulation.study.runner import NothingFinished

    try:
        yield
    except StoreError as error:
        stop(str(error) + (kept_line() if isinstance(error, StoreFull) else ""))
    except ClusterError as error:
        stop(f"--cluster: {error}")
    except NothingFinished as error:
        say(f"{error}: there is nothing to report; the same command goes on from there")
        raise typer.Exit(NOTHING_KEPT) from None
    except WorkersLost as error:
        say(str(error))
        raise typer.Exit(STOPPED) from None
    except OtherProgram:
        stop("keystrip or a library was changed while it ran: run the same command again")


def warn(name: str, scenario: Scenario) -> None:
    """Say what a scenario allows but its planner may not have meant."""
    from simulation.construction import find_warnings

    say_warnings(name, find_warnings(scenario))


def say_warnings(name: str, warnings: Iterable[Mistake]) -> None:
    """Write warnings of a scenario to standard error, a line each."""
    from simulation.scenario.types.mistakes import MOST_TOLD

    mistakes = list(warnings)
    if len(mistakes) > MOST_TOLD:
        write(f"the first {MOST_TOLD} of {len(mistakes):,} warnings of {name}:")
    for warning in mistakes[:MOST_TOLD]:
        say_of_file(f"{name}: warning: {warning}")


def refuse(error: ScenarioError) -> NoReturn:
    """Say how many mistakes there are, name each, and end."""
    from simulation.scenario.types.mistakes import MOST_TOLD

    count = len(error.mistakes)
    if count > 1:
        write(f"{f'the first {MOST_TOLD} of {count:,}' if count > MOST_TOLD else count} mistakes in {error.file}:")
    for mistake in error.mistakes[:MOST_TOLD]:
        say_of_file(f"{error.file}: {mistake}")
    raise typer.Exit(MISTAKE)


def text_of(show: Callable[[Console], None], width: int | None = None) -> str:
    """Return what `show` prints on a console.

    Parameters
    ----------
    show : callable
    width : int, optional
        Columns, for a file. Default: as wide as the terminal, and in colour only if there is one.
    """
    from simulation.session.plain_console import Paper, PlainConsole

    # Titles and names are the planner's own words, brackets and colons included.
    page, terminal = Paper() if width is None else io.StringIO(), width is None and sys.stdout.isatty()
    show(PlainConsole(file=page, width=width, force_terminal=terminal or None, markup=False, highlight=False, emoji=False))
    return _BLANKS.sub("\n", page.getvalue())


@contextmanager
def progress(what: str = "runs", workers: int | None = None, announced: bool = False) -> Iterator[Callable[..., None]]:
    """Give what tells how far the work is and how long the rest takes: in place on a terminal, else by a line now and then.

    It takes what is done, what there is to do, and of what, where that changes on the way.

    Parameters
    ----------
    what : str
        What is done.
    workers : int, optional
        Processes that do it. Default: one for each core.
    announced : bool
        Whether the question itself says beforehand how long it takes.
    """
    from simulation.present.progress import ProgressLines, progress_line

    if not sys.stderr.isatty():
        if workers is None:
            from simulation.replicate.processes import cores

            workers = cores()
        yield ProgressLines(say, what, workers, announced)
        return
    with progress_line(what) as advance:
        yield advance
