"""The command line: parse, call, print. Everything it does is one call on a public name of the rooms."""

from __future__ import annotations

import gc
import os
import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NoReturn, cast

import typer

from simulation.analysis.readiness import BUILDS, MOST_BUILDS

if TYPE_CHECKING:
    from rich.console import Console

    from simulation.scenario import Scenario, ScenarioError

DONE, MISTAKE, STOPPED, NOTHING_KEPT = 0, 2, 3, 130

_EPILOG = (
    "Exit codes: 0 done, 2 a mistake in what was asked, 3 stopped early with results kept, 130 stopped with nothing to keep. "
    "A planning aid: the mat system's own technical manual, local codes and licensed engineers decide; lifting limits, hearing "
    "protection, heat and traffic rules apply. Default rates are planning values: replace them with your own records."
)

app = typer.Typer(
    name="keystrip",
    help="How many days until an airfield of interlocking aluminium mats is ready, and how sure is that?",
    epilog=_EPILOG,
    add_completion=False,
    pretty_exceptions_enable=False,
)

_SCENARIO = Annotated[
    str | None,
    typer.Argument(metavar="SCENARIO", help="A scenario file. Default: the shipped relief strip.", show_default=False),
]
_JSON = Annotated[bool, typer.Option("--json", help="Print one JSON object instead of tables.")]
_SEED = Annotated[int | None, typer.Option("--seed", min=0, metavar="S", help="Default: the scenario's own.", show_default=False)]


@app.callback(invoke_without_command=True)
def _top(
    context: typer.Context,
    version: Annotated[bool, typer.Option("--version", help="Print the version and stop.")] = False,
) -> None:
    if version:
        from simulation.report import version as installed

        typer.echo(f"keystrip {installed()}")
        raise typer.Exit(DONE)
    if context.invoked_subcommand is None:
        typer.echo(context.get_help())
        raise typer.Exit(DONE)


@app.command("forecast")
def _forecast(
    scenario: _SCENARIO = None,
    replications: Annotated[
        int, typer.Option("--replications", min=1, max=MOST_BUILDS, metavar="N", help="Builds to simulate.")
    ] = BUILDS,
    seed: _SEED = None,
    workers: Annotated[
        int | None,
        typer.Option("--workers", min=1, metavar="W", help="Processes. Default: one for each core.", show_default=False),
    ] = None,
    deadline: Annotated[
        str | None,
        typer.Option("--deadline", metavar="D", help='"9 day", 2031-04-11 (its end) or 2031-04-11T18:00.', show_default=False),
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option("--out", metavar="DIR", help="Folder of the report. Default: reports/SCENARIO.", show_default=False),
    ] = None,
    as_json: _JSON = False,
) -> None:
    """Simulate many builds: days until ready, risk bands, what drives them, and a report in a folder."""
    from simulation.analysis import NothingFinished, forecast
    from simulation.report import as_json as json_of
    from simulation.report import print_forecast, summary_of, write_report

    name, loaded = _load(scenario)
    with _mistakes_of(name):
        _warn(name, loaded)
        with _progress() as progress:
            try:
                answer = forecast(loaded, replications, seed, workers, deadline, progress)
            except NothingFinished:
                _say("stopped before the first build was done: there is nothing to keep")
                raise typer.Exit(NOTHING_KEPT) from None
    if as_json:
        _print(json_of(summary_of(answer)) + "\n")
    else:
        _print(_text(lambda console: print_forecast(answer, console)))
    folder = out or Path("reports") / Path(name).stem
    written = True
    try:
        files = write_report(answer, folder)
        _say(f"report in {folder}: {', '.join(file.name for file in files)}")
    except OSError as error:
        written = False
        _say(f"--out: the report cannot be written: {error}; name a folder that can be written")
    if answer.replications < answer.asked:
        kept = f"what was done is in {folder}" if written else "what was done is printed above"
        _say(f"stopped early: {answer.replications} of {answer.asked} builds done; {kept}; run again for all of them")
        raise typer.Exit(STOPPED)
    if not written:
        raise typer.Exit(MISTAKE)


@app.command("takeoff")
def _takeoff(scenario: _SCENARIO = None, as_json: _JSON = False) -> None:
    """Count rows, mats, joints, key strips and pallets of the field."""
    from simulation.field import take_off
    from simulation.report import as_json as json_of
    from simulation.report import print_take_off, take_off_record

    name, loaded = _load(scenario)
    with _mistakes_of(name):
        quantities = take_off(loaded)
    if as_json:
        _print(json_of(take_off_record(loaded.title, quantities)) + "\n")
    else:
        _print(_text(lambda console: print_take_off(loaded.title, quantities, console)))


@app.command("check")
def _check(scenario: _SCENARIO = None) -> None:
    """Say that a scenario is sound, or name every mistake and every warning."""
    from simulation.build import compile_plan

    name, loaded = _load(scenario)
    with _mistakes_of(name):
        _warn(name, loaded)
        compile_plan(loaded)
    typer.echo(f"{name}: sound")


@app.command("trace")
def _trace(
    scenario: _SCENARIO = None,
    replication: Annotated[int, typer.Option("--replication", min=0, metavar="K", help="Which build.")] = 0,
    seed: _SEED = None,
    out: Annotated[
        Path | None, typer.Option("--out", metavar="FILE.csv", help="Default: standard output.", show_default=False)
    ] = None,
) -> None:
    """Write every step of one build as CSV; hours since hour zero."""
    from simulation.build import build_once

    name, loaded = _load(scenario)
    with _mistakes_of(name):
        steps = build_once(loaded, replication=replication, seed=seed).steps
    if out is None:
        _print(steps.to_csv(index=False))
        return
    try:
        steps.to_csv(out, index=False)
    except OSError as error:
        _stop(f"--out: {out} cannot be written: {error}; name a file that can be written")
    _say(f"{len(steps)} steps in {out}")


@app.command("new")
def _new(file: Annotated[Path, typer.Argument(metavar="FILE", help="Where to write it.", show_default=False)]) -> None:
    """Write a commented scenario to start from; a file that exists is never overwritten."""
    from simulation.scenario import shipped

    text = shipped().read_text(encoding="utf-8")
    try:
        with file.open("x", encoding="utf-8") as target:
            target.write(text)
    except FileExistsError:
        _stop(f"{file}: exists already and is not overwritten; name another file")
    except OSError as error:
        _stop(f"{file}: cannot be written: {error}; name a file in a folder that exists")
    typer.echo(f"{file}: written; keystrip check {file} says whether it is sound")


def _load(scenario: str | None) -> tuple[str, Scenario]:
    """Return the scenario with the file it stands in; a bare name that is no file may be one of the shipped."""
    from simulation.scenario import ScenarioError, load_scenario, shipped

    path = shipped() if scenario is None else Path(scenario)
    if scenario is not None and not path.exists() and path.name == path.stem == scenario and shipped(scenario).is_file():
        path = shipped(scenario)
    try:
        return str(path), load_scenario(path)
    except ScenarioError as error:
        _refuse(error)


@contextmanager
def _mistakes_of(name: str) -> Iterator[None]:
    """Turn a mistake found after loading into its lines; the rooms do not know the file, so its name is put in here."""
    from simulation.scenario import ScenarioError

    try:
        yield
    except ScenarioError as error:
        _refuse(error if error.file == "deadline" else ScenarioError(name, error.mistakes))


def _warn(name: str, scenario: Scenario) -> None:
    from simulation.build import warnings_of

    for warning in warnings_of(scenario):
        typer.echo(f"{name}: warning: {warning}", err=True)


def _refuse(error: ScenarioError) -> NoReturn:
    typer.echo(str(error), err=True)
    raise typer.Exit(MISTAKE)


def _stop(line: str) -> NoReturn:
    _say(line)
    raise typer.Exit(MISTAKE)


def _say(line: str) -> None:
    typer.echo(f"keystrip: {line}", err=True)


def _text(show: Callable[[Console], None]) -> str:
    """Return what `show` prints on a console as wide as the terminal, in colour only if there is one."""
    from rich.console import Console

    # Titles and names are the planner's own words, brackets and colons included.
    console = Console(markup=False, highlight=False, emoji=False)
    with console.capture() as captured:
        show(console)
    return captured.get()


def _print(text: str) -> None:
    """Write the answer to standard output; a reader who has had enough, such as `head`, stops nothing else."""
    try:
        sys.stdout.write(text)
        sys.stdout.flush()
    except BrokenPipeError:
        # Python would complain once more when it flushes at exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


@contextmanager
def _progress() -> Iterator[Callable[[int, int], None] | None]:
    """Give a progress bar on a terminal, and nothing in a pipe."""
    if not sys.stderr.isatty():
        yield None
        return
    from simulation.report import progress_bar

    with progress_bar() as advance:
        yield advance


def main() -> NoReturn:
    """Run the command line: the entry point of `keystrip` and of `python -m simulation`."""
    as_before = signal.signal(signal.SIGTERM, signal.default_int_handler)  # asked to end, it keeps what is done, as at Ctrl-C
    gc.disable()  # a command loads much and drops little, and the collector would take a tenth of a short one's time
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")  # a terminal that has no "×" shows "?" instead of failing
    # typer carries its own copy of click in some versions; this is the class of what it raises on a mistyped command in all.
    usage_error = cast("type[Exception]", typer.BadParameter.__mro__[1])
    try:
        code = app(prog_name="keystrip", standalone_mode=False)
    except usage_error as error:
        words = error.format_message().rstrip(".").replace("Input should be", "write a number")  # type: ignore[attr-defined]
        _say(f"{words}; keystrip --help lists what there is")
        code = MISTAKE
    except KeyboardInterrupt:
        _say("stopped")
        code = NOTHING_KEPT
    finally:
        gc.enable()
        signal.signal(signal.SIGTERM, as_before)
    sys.exit(code if isinstance(code, int) else DONE)
