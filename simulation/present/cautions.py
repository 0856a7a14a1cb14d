"""What must a reader not forget, whatever the numbers say?"""

from __future__ import annotations

CAUTIONS = (
    "A planning aid: the mat system's own technical manual, local codes and licensed engineers decide.",
    "A mat weighs about 140 to 155 lb, 64 to 70 kg: lifting limits, hearing protection, heat and traffic rules apply.",
    "Default rates are planning values; replace them with your own records.",
)
