"""Words a mistake on the command line: one line that says what is wrong, what is right, and which help tells more."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from simulation.scenario.types.mistakes import nearest, shown

#: What the parser puts behind words that it has no place for.
_EXTRA = re.compile(r"extra.*? \((.*)\)", re.DOTALL)
#: What is written for example where an option has no number of its own to show.
_SUCH_AS = {"runs": 400, "seed": 7, "workers": 2}


def describe_usage_error(error: Any, words: Sequence[str], commands: Sequence[str]) -> str:
    """Return the line for an error that the parser of the command line raised.

    Parameters
    ----------
    error : Exception
        A usage error; that of a value that is no number, or one out of range, has what is wrong with it as its cause.
    words : sequence of str
        What was written after the program's name.
    commands : sequence of str
        All that there are.
    """
    context = getattr(error, "ctx", None)
    # An option that lacks its value is found before there is a context.
    command = context.command_path if context else " ".join(["keystrip", *[word for word in words if word in commands][:1]])
    return f"{_of_value(error) or _of_parser(error, words, commands)}; {command} --help lists what there is"


def _of_value(error: Any) -> str | None:
    """Return what is wrong with the value of an option, if the reader of values says so."""
    parameter, errors = getattr(error, "param", None), getattr(error.__cause__, "errors", None)
    if parameter is None or errors is None:
        return None
    first = errors()[0]
    option = _name_of(parameter)
    given, limit = first["input"], next(iter(first.get("ctx", {}).values()), None)
    match first["type"]:
        case "int_parsing" | "int_from_float" | "float_parsing" as kind:
            what = "a number" if kind == "float_parsing" else "a whole number"
            example = parameter.default if isinstance(parameter.default, int | float) else _SUCH_AS.get(option.strip("-"))
            right = "write one" if example is None else f"write one such as {example:g}"
            return f"{option}: {shown(given)} is not {what}; {right}"
        case "greater_than_equal":
            return f"{option}: {given} is too small; write {limit} or more"
        case "less_than_equal":
            return f"{option}: {given} is too large; write {limit} or less"
    return None


def _of_parser(error: Any, words: Sequence[str], commands: Sequence[str]) -> str:
    """Return what is wrong in words of our own: the parser's are those of whoever wrote a program."""
    kind, option = type(error).__name__, getattr(error, "option_name", None)
    if kind == "NoSuchOption":
        return f"{shown(option)} is no option; {_near(str(option), _options_of(error))}"
    if kind == "BadOptionUsage":
        if any(word.startswith(f"{option}=") for word in words):
            return f"{option} is written alone and takes nothing; leave out the = and what stands behind it"
        such = _SUCH_AS.get(str(option).strip("-"))
        return f"{option} lacks its value; write it behind the option{'' if such is None else f', such as {option} {such}'}"
    if kind == "MissingParameter":
        parameter = getattr(error, "param", None)
        named = getattr(parameter, "metavar", None) or getattr(parameter, "name", None) or "something"
        return f"{named} is missing; write it behind the command"
    parameter = getattr(error, "param", None)
    if parameter is not None:
        return f"{_name_of(parameter)}: what is written cannot be read; write it as the help says"
    command = getattr(error.ctx, "info_name", None) if getattr(error, "ctx", None) else None
    if command not in commands:
        first = next((word for word in words if not word.startswith("-")), None)
        return "no command is named; name one" if first is None else f"{shown(first)} is no command; {_near(first, commands)}"
    extra = _EXTRA.search(str(error.message))
    if extra is not None:
        return f"{shown(extra[1])} is more than {command} takes; leave it out, or put a name with blanks in quotes"
    return "what is written cannot be read; write it as the help says"


def _near(word: str, known: Sequence[str]) -> str:
    near = next((name for name in known if len(word) > 3 and name.startswith(word)), None) or nearest(word, known)
    return f"did you mean {near}?" if near else "write one of those that there are"


def _options_of(error: Any) -> list[str]:
    """Return the options that a command has, as they are written in full."""
    command = getattr(error.ctx, "command", None)
    return [name for option in getattr(command, "params", ()) for name in option.opts if name.startswith("--")] + ["--help"]


def _name_of(parameter: Any) -> str:
    return next((name for name in parameter.opts if name.startswith("--")), str(parameter.name))
