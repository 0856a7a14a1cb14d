"""The command line: parse, call, print. Everything it does is one call on a public name of the rooms."""

from __future__ import annotations

import errno
import gc
import os
import sys
from pathlib import Path
from typing import Annotated, NoReturn, cast

import typer

from simulation.questions.bottlenecks import command as bottlenecks_command
from simulation.questions.brief import command as brief_command
from simulation.questions.check import command as check_command
from simulation.questions.compare import command as compare_command
from simulation.questions.conditions import command as conditions_command
from simulation.questions.forecast import command as forecast_command
from simulation.questions.new import command as new_command
from simulation.questions.replay import command as replay_command
from simulation.questions.sensitivity import command as sensitivity_command
from simulation.questions.slip import command as slip_command
from simulation.questions.staffing import command as staffing_command
from simulation.questions.studies import command as studies_command
from simulation.questions.takeoff import command as takeoff_command
from simulation.questions.trace import command as trace_command
from simulation.questions.weather import command as weather_command
from simulation.session import interrupts
from simulation.session import session as talk
from simulation.session.data_option import with_data

_EPILOG = (
    "Exit codes: 0 done, 1 a repeated study does not agree, 2 a mistake in what was asked, 3 stopped early with results kept, "
    "130 stopped with nothing to report, 70 a fault in the program itself. "
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


@app.callback(invoke_without_command=True)
def _top(
    context: typer.Context,
    version: Annotated[bool, typer.Option("--version", help="Print the version and stop.")] = False,
) -> None:
    if version:
        from simulation.replicate.identity import release

        typer.echo(f"keystrip {release()}")
        raise typer.Exit(talk.DONE)
    if context.invoked_subcommand is None:
        typer.echo(context.get_help())
        raise typer.Exit(talk.DONE)


for _command in (
    forecast_command.forecast,
    compare_command.compare,
    staffing_command.staffing,
    bottlenecks_command.bottlenecks,
    slip_command.slip,
    sensitivity_command.sensitivity,
    weather_command.weather,
    conditions_command.conditions,
    replay_command.replay,
    brief_command.brief,
    takeoff_command.takeoff,
    check_command.check,
    trace_command.trace,
    new_command.new,
    studies_command.studies,
    studies_command.repeat,
):
    app.command(_command.__name__)(talk.interruptible(with_data(_command)))


def main(*, ends: bool = False) -> NoReturn:
    """Run the command line; `simulation.__main__` hands over to it, and the process ends with it."""
    with interrupts.heard(to_the_end=ends):
        code = _ended()
    sys.exit(code)


def _ended() -> int:
    """Run the command that was asked for, and return the code that it ends with."""
    gc.disable()  # a command loads much and drops little, and the collector would take a tenth of a short one's time
    for name in ("stdout", "stderr"):
        if getattr(sys, name) is None:  # closed by whoever started it, as some services do
            setattr(sys, name, Path(os.devnull).open("w", encoding="utf-8"))  # noqa: SIM115
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")  # a terminal that has no "×" shows "?" instead of failing
    # typer carries its own copy of click in some versions; this is the class of what it raises on a mistyped command in all.
    usage_error = cast("type[Exception]", typer.BadParameter.__mro__[1])
    code: object = talk.DONE
    try:
        code = app(prog_name="keystrip", standalone_mode=False)
        if code == talk.NOTHING_KEPT and talk.silent():  # typer keeps an interrupt outside of a command to itself
            talk.say("stopped")
    except usage_error as error:
        from simulation.cli.usage_errors import describe_usage_error

        talk.say(describe_usage_error(error, sys.argv[1:], [str(command.name) for command in app.registered_commands]))
        code = talk.MISTAKE
    except KeyboardInterrupt:
        interrupts.notice()
        talk.say("stopped")
        code = talk.NOTHING_KEPT
    except Exception as error:
        from simulation.session.unforeseen import FAULT, put_plainly

        if isinstance(error, OSError) and error.errno == errno.ENAMETOOLONG:  # wherever a file is looked for
            talk.say(f"{error.filename}: no file or folder can have so long a name; write a shorter one")
            code = talk.MISTAKE
        else:
            talk.say(put_plainly(error))
            code = FAULT
    finally:
        gc.enable()
    ended = code if isinstance(code, int) else talk.DONE
    if interrupts.asked():
        interrupts.notice()
        interrupts.end_at_once(ended)
    return ended
