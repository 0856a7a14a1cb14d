"""How is each question asked in tests? As its command declares; only what cannot do without words of its own is named here."""

import inspect

from every_key_scenario import put_into
from scenarios import SHORT, SHORT_LOG

from simulation.cli.questions import COMMANDS

#: Options that questions share, and what they are given where a question declares them.
SHARED = {"runs": ("--runs", 3), "run_count": ("--runs", 3), "workers": ("--workers", 1), "deadline": ("--deadline", "2 day")}
#: What a question asks, where not the short field: a field that shows more, records, or what is kept.
ABOUT = {
    "opening": "usable.toml",
    "conditions": "records.toml",
    "weather": "records.toml",
    "repair": "records.toml",
    "rates": "rows.csv",
    "studies": "kept",
    "repeat": "kept",
}
#: What a question must be told, or is told so that it asks more or takes less time.
OWN = {
    "update": ("--log", "log.csv"),
    "plan": ("--choose", "forklifts.count=2"),
    "compare": ("--vary", "forklifts.count=2,3"),
    "staffing": ("--deadline", "20 day", "--crews", "2x16", "--most", 200),
    "slip": ("--what", "forklift", "--by", "1 day"),
    "opening": ("--windows", "07:00-09:00"),
    "sensitivity": ("--tornado",),
    "move": ("short.toml",),
    "spacing": ("--every", "20 ft", "--zoned", "10 ft/20 ft"),
    "conditions": ("--seasons", 3),
    "rates": ("--like", "short.toml"),
    "brief": ("--each", 2, "--no-compare"),
}
USABLE = '[[milestone]]\nname = "first use"\nusable = { area = "strip", length = "20 ft" }\nready = true\n'


def declaring(*options):
    """Return every question whose command declares all of these options."""
    return [name for name in COMMANDS if options_of(name).issuperset(options)]


def options_of(question):
    return set(inspect.signature(COMMANDS[question]).parameters)


def put_all_into(folder):
    """Write what questions are asked about into a folder."""
    put_into(folder)
    (folder / "short.toml").write_text(SHORT, encoding="utf-8")
    (folder / "usable.toml").write_text(SHORT + USABLE, encoding="utf-8")
    (folder / "rows.csv").write_text("job,minutes_per_row,haul_min\nA,6,41\nA,7,50\nB,8,63\nB,9,60\n", encoding="utf-8")
    (folder / "log.csv").write_text(SHORT_LOG, encoding="utf-8")


def asked(question, about=None, deadline=None, folder=None, **own):
    """Return the words that ask a question: about what, the shared options that it declares, and what it must be told.

    `about` is a field in the place of the short one, but for records and what is kept; `own` has words by question in place of
    those above. With a `folder`, files are named in it.
    """
    about = ABOUT.get(question, "short.toml") if about is None or not ABOUT.get(question, ".toml").endswith(".toml") else about
    shared = {**SHARED, **({"deadline": ("--deadline", deadline)} if deadline else {})}
    told = own.get(question, OWN.get(question, ()))
    words = [about, *(word for option in shared if option in options_of(question) for word in shared[option]), *told]
    return question, *(folder / str(word) if folder and (folder / str(word)).is_file() else word for word in words)
