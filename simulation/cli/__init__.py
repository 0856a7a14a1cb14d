"""The command line: parse, call, print. Everything it does is one call on a public name of the rooms."""

from __future__ import annotations

import errno
import gc
import os
import sys
from pathlib import Path
from typing import Annotated, NoReturn, cast

import typer

from simulation.cli.help_screens import PlainGroup
from simulation.cli.questions import COMMANDS
from simulation.session import interrupts
from simulation.session.exit_codes import DONE, FAULT, MISTAKE, NOTHING_KEPT
from simulation.session.lines import put, say, silent

app = typer.Typer(
    cls=PlainGroup,
    name="keystrip",
    help="How many days until an airfield of interlocking aluminium mats is ready, and how sure is that?",
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)


@app.callback(invoke_without_command=True)
def _top(
    context: typer.Context,
    version: Annotated[bool, typer.Option("--version", help="Print the version and stop.")] = False,
) -> None:
    if version:
        from simulation.replicate.identity import release

        put(f"keystrip {release()}\n")
        raise typer.Exit(DONE)
    if context.invoked_subcommand is None:
        put(f"{context.get_help()}\n")
        raise typer.Exit(DONE)


def main(*, ends: bool = False) -> NoReturn:
    """Run the command line; `simulation.__main__` hands over to it, and the process ends with it."""
    with interrupts.heard(to_the_end=ends):
        code = _ended()
    sys.exit(code)


def _ended() -> int:
    """Run the command that was asked for, and return the code that it ends with."""
    gc.disable()  # a command loads much and drops little, and the collector would take a tenth of a short one's time
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")  # nor is every package that is installed looked through for some
    for name in ("stdout", "stderr"):
        if getattr(sys, name) is None:  # closed by whoever started it, as some services do
            setattr(sys, name, Path(os.devnull).open("w", encoding="utf-8"))  # noqa: SIM115
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")  # a terminal that has no "×" shows "?" instead of failing
    # typer carries its own copy of click in some versions; this is the class of what it raises on a mistyped command in all.
    usage_error = cast("type[Exception]", typer.BadParameter.__mro__[1])
    code: object = DONE
    try:
        code = app(prog_name="keystrip", standalone_mode=False)
        if code == NOTHING_KEPT and silent():  # typer keeps an interrupt outside of a command to itself
            say("stopped")
    except usage_error as error:
        from simulation.cli.usage_errors import describe_usage_error

        say(describe_usage_error(error, sys.argv[1:], list(COMMANDS)))
        code = MISTAKE
    except KeyboardInterrupt:
        interrupts.notice()
        say("stopped")
        code = NOTHING_KEPT
    except Exception as error:
        from simulation.session.unforeseen import put_plainly

        if interrupts.asked():  # what an interrupt strikes while it is loaded may swallow it, and fail in its own way
            say("stopped")
            code = NOTHING_KEPT
        elif isinstance(error, OSError) and error.errno == errno.ENAMETOOLONG:  # wherever a file is looked for
            say(f"{error.filename}: no file or folder can have so long a name; write a shorter one")
            code = MISTAKE
        else:
            say(put_plainly(error))
            code = FAULT
    finally:
        gc.enable()
    ended = code if isinstance(code, int) else DONE
    if interrupts.asked():
        interrupts.notice()
        interrupts.end_at_once(ended)
    return ended
