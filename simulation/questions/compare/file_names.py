"""What are the files of a comparison called? After what is varied, so that other questions keep theirs."""

from __future__ import annotations

import re
from collections.abc import Sequence

from simulation.present.file_names import answer_files, file_stem

_TEAM = re.compile(r"\d+x\d+")


def name_files(names: Sequence[str]) -> str:
    """Return what the files of a comparison of plans are called: after the keys that are varied, or the scenarios.

    Examples
    --------
    ``compare_forklifts-count_people`` for plans such as ``forklifts.count=2, people=20``.
    """
    parts = [part for name in names for part in name.split(", ")]
    crews = ["crews"] if any(_TEAM.fullmatch(part) for part in parts) else []
    # A value may hold an equals sign and commas of its own, with blanks around the sign.
    varied = [key for key, equals, _ in (part.partition("=") for part in parts) if equals and not key.endswith(" ")]
    keys = dict.fromkeys([*crews, *varied] or parts)
    return file_stem("compare", list(keys))


def has_people_picture(people: Sequence[int]) -> bool:
    """Return whether people can be drawn against days: not all plans have as many."""
    return len(set(people)) > 1


def list_files(names: Sequence[str], people: Sequence[int]) -> list[str]:
    """Return the names of all files that a comparison of plans with so many people leaves."""
    stem = name_files(names)
    figures = (*((f"{stem}_people",) if has_people_picture(people) else ()), stem)
    return answer_files(stem, figures, (f"{stem}.csv",))
