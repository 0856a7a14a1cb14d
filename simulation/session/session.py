"""How does the command line speak? Answers on standard output, all else a line each on standard error, and an exit code."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NoReturn, cast

import typer

from simulation.session import interrupts
from simulation.session.data_option import data_folders
from simulation.session.lines import MISTAKE as MISTAKE
from simulation.session.lines import are_kept as are_kept
from simulation.session.lines import put as put
from simulation.session.lines import say as say
from simulation.session.lines import say_of_file, write
from simulation.session.lines import silent as silent
from simulation.session.lines import stop as stop
from simulation.session.lines import tell as tell
from simulation.session.named_output import write_named as write_named

if TYPE_CHECKING:
    from rich.console import Console

    from simulation.scenario import Mistake, Scenario, ScenarioError
    from simulation.scenario.types.measures import System

#: Processes that one machine may be asked for: none has so many cores.
MOST_WORKERS = 512

DONE, DISAGREES, STOPPED, NOTHING_KEPT = 0, 1, 3, 130

SCENARIO = Annotated[
    str | None,
    typer.Argument(metavar="SCENARIO", help="A scenario file. Default: the shipped relief strip.", show_default=False),
]
JSON = Annotated[bool, typer.Option("--json", help="Print one JSON object instead of tables.")]
SEED = Annotated[
    int | None,
    typer.Option("--seed", min=0, max=2**63 - 1, metavar="S", help="Default: the scenario's own.", show_default=False),
]
UNITS = Annotated[
    str | None,
    typer.Option(
        "--units", metavar="WHICH", help="feet or metric. Default: the scenario's. JSON keeps its own.", show_default=False
    ),
]
WORKERS = Annotated[
    int | None,
    typer.Option(
        "--workers",
        min=1,
        max=MOST_WORKERS,
        metavar="W",
        help="Processes. Default: one for each core.",
        show_default=False,
    ),
]
DEADLINE = Annotated[
    str | None,
    typer.Option("--deadline", metavar="D", help='"9 day", 2031-04-11 (its end) or 2031-04-11T18:00.', show_default=False),
]
OUT = Annotated[
    Path | None,
    typer.Option("--out", metavar="DIR", help="Folder of runs and report. Default: reports/SCENARIO.", show_default=False),
]
FORCE = Annotated[bool, typer.Option("--force", help="Replace a file even if this program did not write it.")]
CLUSTER = Annotated[
    str | None,
    typer.Option("--cluster", metavar="ADDRESS", help="Scheduler of a cluster, tcp://HOST:PORT.", show_default=False),
]


#: Where the command that runs keeps its runs, once it is known.
_kept_in: Path | None = None

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
        loaded = load_scenario(path, units_of(units), data_folders())
        folders = (loaded.source.folder, *data_folders())
        keep([path, *(folder / name for folder in folders for name in loaded.source.data)])
        return str(path), loaded
    except ScenarioError as error:
        refuse(error)


def units_of(units: str | None) -> System | None:
    """Return the units that an option names, or end."""
    if units not in (None, "feet", "metric"):
        from simulation.scenario.types.mistakes import shown

        stop(f"--units: {shown(units)} are no units; write feet or metric")
    return cast("System | None", units)


def folder_of(name: str, out: Path | None) -> Path:
    """Return the folder that a command on the scenario in a file writes to, and note it for the case of an interrupt."""
    global _kept_in
    _kept_in = out or Path("reports") / Path(name).stem
    return _kept_in


def may_write(option: str, command: str, force: bool, *files: Path) -> None:
    """Refuse files that a command is to write, before anything is computed, if what stands there is not to be replaced."""
    from simulation.present.own_files import refusal

    for file in files:
        if why := refusal(file, command, force):
            stop(f"{option}: {why}")


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


def _end_stopped() -> NoReturn:
    interrupts.notice()
    if not (kept := _runs_kept()):
        say("stopped" if _kept_in is None else "stopped before the first run was done: there is nothing to report")
        raise typer.Exit(NOTHING_KEPT) from None
    say(f"stopped: {are_kept(kept, _kept_in)}; the same command goes on from there")
    raise typer.Exit(STOPPED) from None


def _runs_kept() -> int:
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


def kept_line() -> str:
    """Return what a line on an answer that cannot be written says besides: the runs are not lost."""
    return f"; {are_kept(kept, _kept_in)}: run the same again then" if (kept := _runs_kept()) else ""


@contextmanager
def mistakes_of(name: str) -> Iterator[None]:
    """Turn a mistake found after loading into its lines; the rooms do not know the file, so its name is put in here."""
    from simulation.scenario import ScenarioError

    try:
        yield
    except ScenarioError as error:
        refuse(error if error.file in _OPTIONS else ScenarioError(name, error.mistakes))


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

    found = list(warnings)
    if len(found) > MOST_TOLD:
        write(f"the first {MOST_TOLD} of {len(found):,} warnings of {name}:")
    for warning in found[:MOST_TOLD]:
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


def text_of(show: Callable[[Console], None]) -> str:
    """Return what `show` prints on a console as wide as the terminal, in colour only if there is one."""
    from simulation.session.plain_console import Paper, PlainConsole

    # Titles and names are the planner's own words, brackets and colons included.
    page, terminal = Paper(), sys.stdout.isatty() or None
    show(PlainConsole(file=page, force_terminal=terminal, markup=False, highlight=False, emoji=False))
    return page.getvalue()


def wide_text_of(show: Callable[[Console], None]) -> str:
    """Return what `show` prints where nothing has to be narrow: for a file."""
    from simulation.session.plain_console import Paper, PlainConsole

    page = Paper()
    show(PlainConsole(file=page, width=120, force_terminal=False, color_system=None, markup=False, highlight=False, emoji=False))
    return page.getvalue()


def show(as_json: bool, record: Callable[[], object], tables: Callable[[Console], None]) -> None:
    """Write the answer to standard output, as one JSON object or as tables."""
    from simulation.present.record import as_json as json_of

    put(json_of(record()) + "\n" if as_json else text_of(tables))


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
        say(f"{stopped}: {are_kept(_runs_kept(), folder)}; the same command goes on from there")
    if code:
        raise typer.Exit(code)


@contextmanager
def progress() -> Iterator[Callable[[int, int], None] | None]:
    """Give a progress bar on a terminal, and nothing in a pipe."""
    if not sys.stderr.isatty():
        yield None
        return
    from simulation.present.progress import progress_bar

    with progress_bar() as advance:
        yield advance
