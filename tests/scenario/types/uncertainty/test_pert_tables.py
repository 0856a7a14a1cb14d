"""Do kept tables of PERT quantiles say what the library of special functions says, and are those kept that every run needs?

Run by hand, this writes the kept tables anew: ``python tests/scenario/types/uncertainty/test_pert_tables.py``.
"""

import numpy as np
import pytest

from simulation.construction import compile_plan
from simulation.scenario import load_scenario, shipped_names
from simulation.scenario.reading.reading import shipped
from simulation.scenario.types.uncertainty import distributions, pert_tables
from simulation.scenario.types.uncertainty.distributions import Pert
from simulation.scenario.types.uncertainty.pert_tables import KEPT, standard_quantiles, work_out


def _asked_for(monkeypatch):
    """Return the shapes that the shipped scenarios, all of them with the program's defaults, ask for."""
    shapes = set()
    distributions._pert_table.cache_clear()
    monkeypatch.setattr(distributions, "standard_quantiles", lambda pair: (shapes.add(pair), work_out(pair))[1])
    for name in shipped_names():
        compile_plan(load_scenario(shipped(name)))
    distributions._pert_table.cache_clear()
    return shapes


def test_a_table_is_kept_for_every_shape_that_the_shipped_scenarios_ask_for_and_for_no_other(monkeypatch):
    assert _asked_for(monkeypatch) == set(pert_tables._kept())


def test_a_kept_table_is_what_would_be_worked_out():
    for shapes, kept in pert_tables._kept().items():
        assert np.array_equal(kept, work_out(shapes)), shapes


def test_a_shape_of_a_planners_own_is_worked_out():
    low, mode, high = 0.2, 0.3, 0.9
    shapes = 1 + 4 * (mode - low) / (high - low), 1 + 4 * (high - mode) / (high - low)
    assert shapes not in pert_tables._kept()
    assert np.array_equal(standard_quantiles(shapes), work_out(shapes))
    assert Pert(low, mode, high).quantile(0.0) == pytest.approx(low + (high - low) * work_out(shapes)[512])


if __name__ == "__main__":
    with pytest.MonkeyPatch.context() as patch:
        lines = ((*shapes, *work_out(shapes).tolist()) for shapes in sorted(_asked_for(patch)))
        KEPT.write_text("".join(f"{' '.join(map(repr, line))}\n" for line in lines), encoding="utf-8")
