"""What the shipped rules say of themselves, so that no test has to be edited for a release."""

import json
from pathlib import Path

RULES = Path(__file__).resolve().parents[1] / "rules"
VERSION: str = json.loads((RULES / "rulebook.json").read_text("utf-8"))["version"]
"""The version that lies in the directory, which is served wherever it lies."""
