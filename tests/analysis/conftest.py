"""The small scenarios of the build tests serve the analysis's as well."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent / "build"))
