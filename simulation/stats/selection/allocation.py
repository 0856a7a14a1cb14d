"""Where do the next runs tell most about which plan is the best? Shares of a budget; they guide, and promise nothing."""

from __future__ import annotations

import math
from collections.abc import Sequence


def budget_shares(means: Sequence[float], deviations: Sequence[float]) -> list[float]:
    """Return what share of all runs each plan should have, so that the one of the smallest mean is most surely found.

    Parameters
    ----------
    means, deviations : sequence of float
        Of each plan; the deviations above zero, the smallest mean no tie.

    Notes
    -----
    OCBA: for two plans that are not the best, runs are as (sᵢ/dᵢ)², dᵢ the distance to the best mean; the best has
    s_b √(Σ Nᵢ²/sᵢ²). Chen, Lin, Yücesan & Chick 2000, Discrete Event Dynamic Systems 10 (from memory). It supposes that plans
    have luck of their own: where they share it, those that move with the best get more runs than they need.

    Examples
    --------
    >>> [round(100 * share, 2) for share in budget_shares([1.0, 2.0, 3.0], [1.0, 1.0, 3.0])]
    [27.78, 22.22, 50.0]
    """
    best = min(range(len(means)), key=lambda index: means[index])
    ratios = [
        0.0 if index == best else (deviation / (mean - means[best])) ** 2
        for index, (mean, deviation) in enumerate(zip(means, deviations, strict=True))
    ]
    ratios[best] = deviations[best] * math.sqrt(
        math.fsum((ratio / deviation) ** 2 for ratio, deviation in zip(ratios, deviations, strict=True))
    )
    whole = math.fsum(ratios)
    return [ratio / whole for ratio in ratios]
