"""Does a table for a spreadsheet stay a table, whatever a planner calls things?"""

import csv
import io
import math

import pandas as pd
import pytest

from simulation.present.spreadsheet import format_csv, format_frame

ROWS = [{"area": "=cmd|'/c calc'!A0", "@sum": -0.5, "note": "-1, or +1"}, {"area": 'apron "east"', "@sum": 7, "note": ""}]


@pytest.mark.parametrize("text", [format_csv(ROWS), format_frame(pd.DataFrame(ROWS))])
def test_no_cell_begins_like_a_formula_and_numbers_are_left_alone(text):
    first, *rows = csv.reader(io.StringIO(text))
    assert first == ["area", "'@sum", "note"]
    assert rows[0] == ["'=cmd|'/c calc'!A0", "-0.5", "'-1, or +1"]
    assert rows[1][0] == 'apron "east"' and float(rows[1][1]) == 7.0


def test_a_frame_is_written_as_pandas_itself_writes_it():
    frame = pd.DataFrame(
        {
            "run": [0, 1, 2],
            "hours": [1.5, math.nan, math.inf],
            "small": [1e-20, 123456789.123, -0.0],
            "name": ['x,"y"', "two\nlines", None],
            "ready": [True, False, True],
        }
    )
    assert format_frame(frame) == frame.to_csv(index=False, lineterminator="\n")
    assert format_frame(frame[:0]) == frame[:0].to_csv(index=False, lineterminator="\n")
