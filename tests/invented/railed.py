"""A certain little strip with a guide rail, in which nothing shifts unless a test says so."""

from small_scenarios import strip


def railed(length=80, rail=None, gang=None, **changes):
    """Return the tables of a 72-ft strip with a guide rail: rows of 2 ft, joints of the rail at 9, 19, 29 … ft."""
    lies = {"seal": "0 in", "creep": "0 in", **(rail or {})}
    area = {"name": "strip", "length": f"{length} ft", "width": "72 ft", "guide_rail": True, "rail": lies}
    work = {"section": "1 min", "ahead": "0 ft", "low_spots": 0.0, "tamp": "30 min", "short_section": "1 h", **(gang or {})}
    return strip(**{"area": [area], "rail_gang": work, "key_strips": {"width": "0 in"}, **changes})
