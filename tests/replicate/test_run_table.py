"""Does a table of runs answer as one of pandas does?"""

import numpy as np
import pandas as pd
from hypothesis import given
from hypothesis import strategies as st

from simulation.replicate.run_table import RunTable


@given(st.lists(st.floats(allow_nan=False), max_size=12), st.randoms(use_true_random=False))
def test_a_table_of_runs_answers_as_one_of_pandas_does(values, luck):
    columns = {"run": np.arange(len(values)), "hours": np.array(values, dtype=float)}
    runs, frame = RunTable(columns), pd.DataFrame(columns)
    marked = np.array([luck.random() < 0.5 for _ in values], dtype=bool)
    places = luck.sample(range(len(values)), len(values))
    for ours, theirs in (
        (runs, frame),
        (runs[marked], frame[marked]),
        (runs.take(places), frame.take(places)),
        (runs.head(3), frame.head(3)),
        (runs.without(["run"]), frame.drop(columns=["run"])),
    ):
        assert (len(ours), ours.empty, list(ours.columns)) == (len(theirs), theirs.empty, list(theirs.columns))
        assert all(ours[name].tolist() == theirs[name].tolist() for name in ours.columns)
        pd.testing.assert_frame_equal(ours.to_pandas(), theirs.reset_index(drop=True), check_exact=True)
