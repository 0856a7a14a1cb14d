"""What questions are asked with on the command line besides their own options, and how their answers are given."""

from __future__ import annotations

import inspect
from collections.abc import Callable, Mapping, Sequence
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from simulation.present.file_names import FORMS
from simulation.session import interrupts, session
from simulation.session.kept_runs import folder_of, leave
from simulation.session.lines import put, say
from simulation.session.options import AT, CLUSTER, DEADLINE, FORCE, FULL, JSON, LOG, OUT, REPORT_OUT, SEED, SVG, UNITS, WORKERS
from simulation.study.runner import MOST_RUNS, RUNS

if TYPE_CHECKING:
    from simulation.present.answer import Answer
    from simulation.scenario import Scenario
    from simulation.study.run_context import RunContext

#: Runs from which on workers begin while the scenario is read, where its folder is not there yet. Planning value.
MANY = 200
#: Columns of the tables in a file.
_FILE_WIDTH = 120


@dataclass(frozen=True)
class Reading:
    """The options of a question that needs no runs and leaves no folder."""

    full: bool
    as_json: bool
    units: str | None = None
    log: Path | None = None
    at: str | None = None

    def load(self, scenario: str | None) -> tuple[str, Scenario]:
        """Return the scenario with the file it stands in, begun as its site log says where there is one, or end."""
        name, loaded = session.load(scenario, self.units)
        return name, session.begin_by_log(loaded, self.log, self.at)

    def at_work(self) -> AbstractContextManager[None]:
        """Hold, until it is answered, what it needs for that."""
        return nullcontext()

    def show(self, answer: Answer, more: str = "All tables: --full") -> None:
        """Print an answer, and say where the rest of it is."""
        from simulation.present.renderers.record import answer_record, as_json
        from simulation.present.renderers.terminal import print_answer

        if self.as_json:
            put(as_json(answer_record(answer)) + "\n")
        else:
            put(session.text_of(lambda console: print_answer(answer, console, self.full, more)))


@dataclass(frozen=True, kw_only=True)
class _Leaving(Reading):
    """The options of a question that leaves its answer in a folder."""

    out: Path | None
    force: bool
    svg: bool = False
    seed: int | None = None

    @property
    def _forms(self) -> tuple[str, ...]:
        """What pictures are written as."""
        return ("svg",) if self.svg else ("png",)

    def _claim(self, folder: Path, files: tuple[str, Sequence[str]]) -> None:
        """Refuse files that are not to be replaced before anything is computed."""
        command, made = files
        wanted = [file for file in made if Path(file).suffix[1:] not in {*FORMS} - {*self._forms}]
        session.may_write("--out", command, self.force, *(folder / file for file in wanted))

    def _give(self, answer: Answer, folder: Path) -> None:
        """Print an answer and leave its files."""
        from simulation.present.renderers.record import write_answer
        from simulation.present.renderers.terminal import print_answer

        self.show(answer, f"All tables: --full, or {folder / f'{answer.stem or answer.question}.txt'}")

        def write_text(answer: Answer) -> str:
            return session.text_of(lambda console: print_answer(answer, console, full=True), _FILE_WIDTH)

        leave(lambda: write_answer(answer, folder, write_text, self.force, self._forms), folder, answer.stopped)


@dataclass(frozen=True, kw_only=True)
class FolderAsking(_Leaving):
    """The options of a question that needs no runs and leaves its answer in a folder."""

    def answer(
        self, name: str, scenarios: Sequence[Scenario], files: tuple[str, Sequence[str]], ask: Callable[[], Answer]
    ) -> None:
        """Ask, print the answer and leave its files; as `Asking.answer`, but for the runs."""
        folder = self.out or Path("reports") / Path(name).stem
        self._claim(folder, files)
        with session.mistakes_of(name):
            for scenario in scenarios:
                session.warn(name, scenario)
            answer = ask()
        self._give(answer, folder)


@dataclass(frozen=True, kw_only=True)
class Asking(_Leaving):
    """The options of a question that is answered from runs."""

    runs: int
    deadline: str | None
    workers: int | None
    cluster: str | None

    def load(self, scenario: str | None, runs: int | None = None) -> tuple[str, Scenario]:
        """Return the scenario, as `Reading.load`; workers start meanwhile where it is plain that there is much for them to do.

        Parameters
        ----------
        scenario : str or None
        runs : int, optional
            How many. Default: those that are asked for.
        """
        from simulation.replicate.processes import begin_pool, cores

        path = session.file_of(scenario)
        wanted = 1 if self.cluster is not None else self.workers or cores()
        many = (self.runs if runs is None else runs) >= MANY and 1 < wanted <= cores()
        if many and path.is_file() and not (self.out or Path("reports") / path.stem).exists():
            begin_pool(wanted)
        return super().load(scenario)

    def at_work(self) -> AbstractContextManager[None]:
        """Keep workers, for what draws its pictures too, until it is answered."""
        from simulation.replicate.processes import pools_kept

        return pools_kept()

    def answer(
        self,
        name: str,
        scenarios: Sequence[Scenario],
        files: tuple[str, Sequence[str]],
        ask: Callable[[RunContext], Answer],
        announced: bool = True,
        **changes: Any,
    ) -> None:
        """Ask, print the answer, leave its files, and end with the code that fits.

        Parameters
        ----------
        name : str
            File of the scenario.
        scenarios : sequence of Scenario
            Whose warnings are said.
        files : (str, sequence of str)
            The command, and the files that its answer leaves: see `answer_files`.
        ask : callable
            Returns the answer, given how runs are done and kept.
        announced : bool
            Whether it says itself, before the first run, how long it takes.
        **changes
            What of the run context is otherwise.
        """
        from simulation.study.run_context import RunContext

        folder = folder_of(name, self.out)
        self._claim(folder, files)
        with session.mistakes_of(name), session.refusals():
            for scenario in scenarios:
                session.warn(name, scenario)
            with session.progress(workers=self.workers, announced=announced) as advance:
                given = {"runs": self.runs, "deadline": self.deadline, "seed": self.seed, "workers": self.workers, **changes}
                answer = ask(RunContext(cluster=self.cluster, folder=folder, progress=advance, tell=_say_unless_stopped, **given))
        interrupts.raise_swallowed()
        self._give(answer, folder)


def _say_unless_stopped(line: str) -> None:
    """Say a line, unless an interrupt that a library swallowed asks to stop."""
    interrupts.raise_swallowed()
    say(line)


def with_options(
    runs: str | None = "Runs of each plan that is tried.",
    deadline: bool = True,
    log: bool = True,
    usual: int = RUNS,
) -> Callable[[Callable[..., None]], Callable[..., None]]:
    """Return what gives a command the options that questions share, as one argument ``asking``.

    Parameters
    ----------
    runs : str or None
        What ``--runs`` says; None where the command has none.
    deadline : bool
        Whether there is a ``--deadline``.
    log : bool
        Whether it can be asked of work that has begun: ``--log`` and ``--at``.
    usual : int
        Runs where nobody asks for a number.
    """
    count = Annotated[int, typer.Option("--runs", min=1, max=MOST_RUNS, metavar="N", help=runs)]
    shared: dict[str, tuple[Any, Any]] = {
        **({"deadline": (DEADLINE, None)} if deadline else {}),
        **({"runs": (count, usual)} if runs is not None else {}),
        **({"log": (LOG, None), "at": (AT, None)} if log else {}),
        "units": (UNITS, None),
        "seed": (SEED, None),
        "workers": (WORKERS, None),
        "cluster": (CLUSTER, None),
        "out": (OUT, None),
        "svg": (SVG, False),
        "force": (FORCE, False),
        "full": (FULL, False),
        "as_json": (JSON, False),
    }
    return _with_asking(shared, lambda options: Asking(**{"runs": usual, "deadline": None, **options}))


def with_folder_options(seed: bool = True) -> Callable[[Callable[..., None]], Callable[..., None]]:
    """Return what gives a command the options of a question without runs that leaves a folder, as one argument ``asking``.

    Parameters
    ----------
    seed : bool
        Whether there is ``--seed``.
    """
    shared: dict[str, tuple[Any, Any]] = {
        "units": (UNITS, None),
        **({"seed": (SEED, None)} if seed else {}),
        "out": (REPORT_OUT, None),
        "svg": (SVG, False),
        "force": (FORCE, False),
        "full": (FULL, False),
        "as_json": (JSON, False),
    }
    return _with_asking(shared, lambda options: FolderAsking(**options))


def with_reading_options() -> Callable[[Callable[..., None]], Callable[..., None]]:
    """Return what gives a command the options of a question without runs and folder, as one argument ``asking``."""
    shared = {"units": (UNITS, None), "full": (FULL, False), "as_json": (JSON, False)}
    return _with_asking(shared, lambda options: Reading(**options))


def _with_asking(
    shared: Mapping[str, tuple[Any, Any]], make: Callable[[dict[str, Any]], Reading]
) -> Callable[[Callable[..., None]], Callable[..., None]]:
    """Return what gives a command options, their kinds and defaults by name, as one argument ``asking`` made of them."""

    def give(command: Callable[..., None]) -> Callable[..., None]:
        signature = inspect.signature(command, eval_str=True)
        own = [parameter for name, parameter in signature.parameters.items() if name != "asking"]

        @wraps(command)
        def run(*words: object, **named: Any) -> None:
            options = {name: named.pop(name, default) for name, (_, default) in shared.items()}
            asking = make(options)
            with asking.at_work():
                command(*words, asking=asking, **named)

        added = [
            inspect.Parameter(name, inspect.Parameter.KEYWORD_ONLY, default=default, annotation=kind)
            for name, (kind, default) in shared.items()
        ]
        wrapper: Any = run
        wrapper.__signature__ = signature.replace(parameters=[*own, *added])
        wrapper.__annotations__ = {parameter.name: parameter.annotation for parameter in (*own, *added)} | {"return": None}
        return run

    return give
