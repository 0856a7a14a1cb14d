"""The replay as one page that needs no network: its frames as data, and a small script that draws them."""

from __future__ import annotations

import html
from pathlib import Path
from typing import Any

from simulation.present.plain_text import plain
from simulation.present.renderers.page import LOOK, as_data
from simulation.present.words.job_words import cautions_of
from simulation.questions.replay import words
from simulation.questions.replay.key import name_gangs
from simulation.questions.replay.places import LYING, PALLET, SYMBOL, UPRIGHT, YARD, GroundOnPage, Sheet, yard_words
from simulation.questions.replay.study import Frame, Replay

_PARTS = Path(__file__).parent / "page_parts"

#: What the tones of the ground mean.
_KEY = "Full grey: laid. Hatched: being laid. Faint grey: graded. Dotted outline: bare."
_KEY_UP = "Full grey: still lies. Hatched: being taken up. Faint grey: taken up."


def page_of(replay: Replay) -> str:
    """Return the page: HTML with style, script and data inside it.

    Titles and names are the planner's own words: they are escaped where they stand in the HTML, and the script writes them as
    text, never as HTML.
    """
    parts = {
        "TITLE": html.escape(plain(replay.scenario.title)),
        "ABOUT": html.escape(plain(words.about(replay))),
        "PACE": html.escape(plain(words.pace(replay).capitalize())),
        "CAUTIONS": "".join(f"<p>{html.escape(line)}</p>" for line in cautions_of(replay.scenario)),
        "EDGE": words.edge_heads(replay)[0],
        "ROWS": words.edge_heads(replay)[1],
        "SHARE": words.edge_heads(replay)[2],
        "KEY": _write_key(replay),
        "LAST": str(len(replay.frames) - 1),
        "STYLE": LOOK.read_text(encoding="utf-8") + (_PARTS / "replay.css").read_text(encoding="utf-8"),
        "SCRIPT": (_PARTS / "replay.js").read_text(encoding="utf-8"),
        "DATA": as_data(make_record(replay)),
    }
    pieces = (_PARTS / "replay.html").read_text(encoding="utf-8").split("@@")  # text and names of parts in turn
    return "".join(parts[piece] if number % 2 else piece for number, piece in enumerate(pieces))


def _write_key(replay: Replay) -> str:
    """Return what tones, lines and shapes mean; only what the run has."""
    end = "; thicker and broken: temporary end" if replay.scenario.makes_ends else ""
    rail = " Open disc R: rail gang, its rail a line of dashes and dots." if replay.ground.rails else ""
    gangs = ", ".join(f"{letter} {text}" for letter, text in name_gangs(replay.ground).items())
    return (
        f"{_KEY_UP if replay.scenario.takes_up else _KEY} Thick line: key strip{end}. Small squares: staged pallets. Filled "
        f"disc: crew.{rail} Square: forklift. Hexagon: {gangs}."
    )


def make_record(replay: Replay) -> dict[str, Any]:
    """Return everything that the script draws: page units as in `places`, words as in `words`.

    The ground is laid out for either sheet, lying and upright; the script takes the one that the screen has room for.
    """
    return {
        "symbol": SYMBOL,
        "rows": words.edge_heads(replay)[1],
        "pallet": PALLET,
        "lying": _drawing(replay, LYING),
        "upright": _drawing(replay, UPRIGHT),
        "end": round(replay.end, 4),
        "nights": [[round(start, 3), round(min(stop, replay.end), 3)] for start, stop in replay.nights],
        "wet": [[round(start, 3), round(stop, 3)] for start, stop in replay.wet],
        "milestones": [[name, round(hour, 4)] for name, hour in replay.milestones if hour <= replay.end],
        "frames": [_frame(replay, frame) for frame in replay.frames],
    }


def _drawing(replay: Replay, sheet: Sheet) -> dict[str, Any]:
    """Return the ground as it lies on a sheet, and what moves on it in every frame."""
    plan = GroundOnPage(replay.ground, replay.scenario.measures, sheet)
    return {
        "width": plan.width,
        "height": round(plan.height, 1),
        "areas": [_flat(corners) for _, corners in plan.areas()],
        "labels": [[name, *_flat((at,))] for name, at in plan.labels()],
        "edges": [
            {
                "rows": edge.rows,
                "start": _flat(plan.slab(edge, 0, edge.rows)[:1] + plan.slab(edge, 0, edge.rows)[3:]),
                "end": _flat(plan.slab(edge, 0, edge.rows)[1:3]),
            }
            for edge in replay.ground.edges
        ],
        "yard": [*_flat((plan.at(replay.ground.yard),)), *YARD],
        "bar": [plan.length, round(plan.bar, 1)],
        "moving": [_moving(replay, plan, frame) for frame in replay.frames],
    }


def _moving(replay: Replay, plan: GroundOnPage, frame: Frame) -> dict[str, Any]:
    stand, edges = frame.stand, replay.ground.edges
    strips = [plan.strip(edge, edge.strips[number]) for index, edge in enumerate(edges) for number in sorted(stand.strips[index])]
    strips += [plan.strip(edge, 0) for edge in edges if edge.area in stand.prepared]
    return {
        "strips": [_flat(strip) for strip in strips],
        "ends": [_flat(line) for line in plan.ends(stand)],
        "pallets": [_flat((at,)) for at in plan.pallets(frame)],
        "symbols": [[symbol.kind, symbol.letters, *_flat((symbol.at,))] for symbol in plan.symbols(frame)],
        "rails": [_flat(plan.rail_set(number, sections)) for number, sections in enumerate(stand.railed) if sections],
    }


def _frame(replay: Replay, frame: Frame) -> dict[str, Any]:
    stand = frame.stand
    return {
        "hour": round(frame.hour, 4),
        "clock": words.clock_line(replay, frame.hour),
        "since": f"{words.since(frame.hour)} after the start",
        "state": words.state_line(replay, frame),
        "sky": words.sky_line(frame),
        "night": frame.night_until is not None,
        "rain": frame.rain,
        "lying": [stand.rows_lying(index) for index in range(len(stand.laid))],
        "begun": [stand.rows_begun(index) for index in range(len(stand.laid))],
        "graded": stand.graded,
        "yard": yard_words(frame),
        "edges": words.edge_lines(replay, frame),
        "actors": words.actor_lines(replay, frame),
        "supply": words.supply_lines(frame),
        "further": [*words.explain_supply(replay), *words.further_lines(replay, frame)],
        "stones": words.milestone_lines(replay, frame),
    }


def _flat(points: tuple[tuple[float, float], ...]) -> list[float]:
    return [round(number, 1) for point in points for number in point]
