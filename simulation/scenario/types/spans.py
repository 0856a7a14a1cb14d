"""Spans of hours that lie in one another, or touch, are one."""

from __future__ import annotations

from collections.abc import Iterable

Span = tuple[float, float]


def join_spans(spans: Iterable[Span], gap: float = 0.0) -> list[Span]:
    """Return the union of spans, rising, and apart by more than a gap in hours."""
    joined: list[Span] = []
    for start, end in sorted(spans):
        if joined and start <= joined[-1][1] + gap:
            joined[-1] = (joined[-1][0], max(end, joined[-1][1]))
        else:
            joined.append((start, end))
    return joined
