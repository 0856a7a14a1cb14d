"""The reduced line in ciw: a network of two nodes, forklifts and crew. A pallet comes to the forklifts twice, as two classes.

When a service ends, ciw first changes the customer's class and then asks the new class where to go. So what was to be unloaded
goes back to the forklifts as what is to be fed, and what was fed goes to the crew as what is to be laid. Unloading has priority.
"""

from __future__ import annotations

import ciw
from contestants.benchmark_lines import Lay, ReducedLine

CLASSES = ("unload", "feed", "lay")


def in_ciw(line: ReducedLine, seed: int = 1) -> Lay:
    """Return how ciw lays the reduced line."""
    # No landings after the last pallet's: they would take forklifts from it.
    timetable = [line.every] * line.pallets + [float("inf")]
    trip, pallet = ciw.dists.Exponential(1.0 / line.trip), ciw.dists.Gamma(line.rows, line.row)

    def becomes(new: str) -> dict[str, float]:
        return {name: float(name == new) for name in CLASSES}

    network = ciw.create_network(
        arrival_distributions={"unload": [ciw.dists.Sequential(timetable), None], "feed": [None, None], "lay": [None, None]},
        service_distributions={name: [trip, pallet] for name in CLASSES},
        number_of_servers=[line.forklifts, 1],
        priority_classes={"unload": 0, "feed": 1, "lay": 1},
        class_change_matrices=[
            {"unload": becomes("feed"), "feed": becomes("lay"), "lay": becomes("lay")},
            {name: becomes(name) for name in CLASSES},
        ],
        routing={
            "unload": [[0.0, 0.0], [0.0, 0.0]],
            "feed": [[1.0, 0.0], [0.0, 0.0]],
            "lay": [[0.0, 1.0], [0.0, 0.0]],
        },
    )

    def lay(runs: range) -> list[float]:
        finished = []
        for run in runs:
            ciw.seed(1_000_003 * seed + run)
            simulation = ciw.Simulation(network)
            simulation.simulate_until_max_customers(line.pallets)
            finished.append(float(simulation.current_time))
        return finished

    return lay
