"""Writes the help screens: plain text of at most 80 columns, commands and options as lists of two columns."""

from __future__ import annotations

import shutil
from collections.abc import Iterable, Sequence
from textwrap import fill
from typing import Any

import typer
from typer.core import TyperCommand, TyperGroup

from simulation.cli.paths import refuse_no_path
from simulation.cli.questions import COMMANDS, GROUPS
from simulation.session.data_option import with_data
from simulation.session.exit_codes import MEANINGS
from simulation.session.kept_runs import interruptible
from simulation.session.lines import put

#: Columns of a screen at the most, and letters of a name that has its text beside it.
_MOST, _NAME = 80, 17

_CAUTION = (
    "A planning aid: the mat system's own technical manual, local codes and licensed engineers decide; lifting limits, hearing "
    "protection, heat and traffic rules apply. Default rates are planning values: replace them with your own records."
)


def _on_output(option: Any) -> Any:
    """Return the option --help, its text printed as every answer is, so that a full standard output is told of."""
    if option is not None:
        option.callback = _print_help
    return option


def _print_help(ctx: Any, _: Any, asked: bool) -> None:
    if asked and not ctx.resilient_parsing:
        put(f"{ctx.get_help()}\n")
        ctx.exit()


class PlainCommand(TyperCommand):
    """A command whose help is plain text, and whose files and folders are named by something."""

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """Read what was written, once no path in it is empty: the reader of paths takes an empty one for this folder."""
        written, *_ = self.make_parser(ctx).parse_args(args=list(args))
        for parameter in self.params:
            refuse_no_path(parameter, written.get(parameter.name or ""))
        return super().parse_args(ctx, args)

    def get_help_option(self, ctx: Any) -> Any:
        """Return the option --help."""
        return _on_output(super().get_help_option(ctx))

    def get_help(self, ctx: Any) -> str:
        """Return its help: what it does, and its arguments and options."""
        arguments = [parameter for parameter in self.params if parameter.param_type_name == "argument"]
        usage = [ctx.command_path, *(_name_argument(argument) for argument in arguments), "[options]"]
        rows = [(str(argument.metavar or argument.name), _describe(argument)) for argument in arguments]
        options = [(_name_option(option), _describe(option)) for option in self.params if option.param_type_name == "option"]
        return _join(
            " ".join(usage),
            *_paragraphs(self.help or ""),
            _list(rows),
            "Options\n" + _list([*options, ("--help", "Print this.")]),
        )


class PlainGroup(TyperGroup):
    """The program, which makes the command that is asked for, and whose help lists all of them under their headings."""

    def list_commands(self, ctx: Any) -> list[str]:
        """Return the names of all commands."""
        return list(COMMANDS)

    def get_command(self, ctx: Any, cmd_name: str) -> Any:
        """Return a command by its name; None where there is none of that name."""
        if cmd_name not in COMMANDS:
            return None
        alone = typer.Typer(add_completion=False, rich_markup_mode=None, pretty_exceptions_enable=False)
        alone.command(cmd_name, cls=PlainCommand)(interruptible(with_data(COMMANDS[cmd_name])))
        return typer.main.get_command(alone)

    def get_help_option(self, ctx: Any) -> Any:
        """Return the option --help."""
        return _on_output(super().get_help_option(ctx))

    def get_help(self, ctx: Any) -> str:
        """Return its help: the commands, its own options, and the codes with which it ends."""
        first = {name: _paragraphs(self.get_command(ctx, name).help or "")[0] for name in COMMANDS}
        groups = (f"{title}\n" + _list([(name, first[name]) for name in group]) for title, group in GROUPS.items())
        options = [(_name_option(parameter), _describe(parameter)) for parameter in self.params]
        return _join(
            "keystrip COMMAND [options]",
            *_paragraphs(self.help or ""),
            *groups,
            "Options\n" + _list([*options, ("--help", "Print this; keystrip COMMAND --help tells more of a command.")]),
            "Exit codes\n" + _list([(str(code), meaning) for code, meaning in MEANINGS.items()]),
            _wrap(_CAUTION),
        )


def _join(*parts: str) -> str:
    return "\n\n".join(part for part in parts if part)


def _paragraphs(text: str) -> list[str]:
    return [_wrap(" ".join(paragraph.split())) for paragraph in text.split("\n\n") if paragraph.strip()]


def _list(rows: Sequence[tuple[str, str]]) -> str:
    """Return names with what is said of each beside them, or below a name that is too long for that."""
    width = max((len(name) for name, _ in rows if len(name) <= _NAME), default=_NAME)
    return "\n".join(_row(name, " ".join(text.split()), width) for name, text in rows)


def _row(name: str, text: str, width: int) -> str:
    indent = " " * (width + 4)
    if len(name) > width:
        return f"  {name}\n{_wrap(text, indent, indent)}"
    return _wrap(text, f"  {name:{width}}  ", indent)


def _wrap(text: str, first: str = "", others: str = "") -> str:
    width = max(40, min(_MOST, shutil.get_terminal_size().columns))
    return fill(text, width, initial_indent=first, subsequent_indent=others, break_long_words=False, break_on_hyphens=False)


def _name_argument(argument: Any) -> str:
    name = f"{argument.metavar or argument.name}"
    return name if argument.required else f"[{name}]"


def _name_option(option: Any) -> str:
    names = "/".join([*option.opts, *option.secondary_opts])
    return names if getattr(option, "is_flag", False) else f"{names} {option.metavar or option.name.upper()}"


def _describe(parameter: Any) -> str:
    """Return what a parameter does, and its default where it has one that says something."""
    default, text = parameter.default, parameter.help or ""
    default_shown = parameter.show_default and default is not None and not isinstance(default, bool) and not callable(default)
    if not default_shown or "Default:" in text or default in ([], ()):
        return text
    value = ", ".join(map(str, default)) if isinstance(default, Iterable) and not isinstance(default, str) else f"{default}"
    return f"{text} Default: {value}."
