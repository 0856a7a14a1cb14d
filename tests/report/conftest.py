"""The invented builds of the analysis tests, and the small scenarios of the build tests, serve the report's as well."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent / "analysis"))
sys.path.insert(0, str(Path(__file__).parent.parent / "build"))
