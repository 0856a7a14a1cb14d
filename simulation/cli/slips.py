"""How is a slip of the pen on the command line put? As a line: what is wrong, what would be right, and which help tells more."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from simulation.scenario.mistakes import shown

#: What is written for example where an option has no number of its own to show.
_SUCH_AS = {"replications": 400, "seed": 7, "workers": 2}


def slip_of(error: Any, words: Sequence[str], commands: Sequence[str]) -> str:
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
    return f"{_of_value(error) or _of_parser(error)}; {command} --help lists what there is"


def _of_value(error: Any) -> str | None:
    """Return what is wrong with the value of an option, if the reader of values says so."""
    parameter, errors = getattr(error, "param", None), getattr(error.__cause__, "errors", None)
    if parameter is None or errors is None:
        return None
    found = errors()[0]
    option = next((name for name in parameter.opts if name.startswith("--")), str(parameter.name))
    given, limit = found["input"], next(iter(found.get("ctx", {}).values()), None)
    match found["type"]:
        case "int_parsing" | "int_from_float" | "float_parsing" as kind:
            what = "a number" if kind == "float_parsing" else "a whole number"
            example = parameter.default if isinstance(parameter.default, int | float) else _SUCH_AS.get(parameter.name)
            right = "write one" if example is None else f"write one such as {example:g}"
            return f"{option}: {shown(given)} is not {what}; {right}"
        case "greater_than_equal":
            return f"{option}: {given} is too small; write {limit:g} or more"
        case "less_than_equal":
            return f"{option}: {given} is too large; write {limit:g} or less"
    return None


def _of_parser(error: Any) -> str:
    words = str(error.format_message()).rstrip(".")
    words = re.sub("Input should be a valid integer.*", "write a whole number", words)
    return re.sub("Input should be a valid number.*", "write a number", words).replace("Input should be", "write a number")
