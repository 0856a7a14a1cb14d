"""Which word goes with a probability?

One published scale, the one of ICD 203, always beside the number and never instead of it. The scale runs from 1 to 99 %; what
lies beyond its ends bears the word of the end, because no number of runs makes a thing certain or impossible. Few runs bear
no word, nor does a chance that is known only from below: `likelihood_among` is the rule for everything that is printed.
"""

from __future__ import annotations

#: upper end of the range -> word; a probability on a border belongs to the range above it.
SCALE: tuple[tuple[float, str], ...] = (
    (0.05, "almost no chance"),
    (0.20, "very unlikely"),
    (0.45, "unlikely"),
    (0.55, "roughly even chance"),
    (0.80, "likely"),
    (0.95, "very likely"),
    (1.00, "almost certain"),
)
#: Fewer runs bear no word, only their count and interval: a word sounds surer than they are. Planning value: at one half the
#: interval of 100 runs reaches ten points to either side, about the half of a range of the scale.
FEW = 100


def likelihood(probability: float) -> str:
    """Return the word of ICD 203 for a probability.

    Raises
    ------
    ValueError
        If it is no probability.

    Examples
    --------
    >>> likelihood(0.72)
    'likely'
    """
    if not 0.0 <= probability <= 1.0:
        raise ValueError(f"{probability} is no probability")
    return next((word for end, word in SCALE if probability < end), SCALE[-1][1])


def likelihood_among(probability: float, runs: int, at_least: bool = False) -> str | None:
    """Return the word for a probability read from so many runs.

    None where they are too `FEW` for one, and where the probability is `at_least` so large: its word may be another.

    Examples
    --------
    >>> likelihood_among(0.9, 20) is None
    True
    """
    return None if runs < FEW or at_least else likelihood(probability)
