"""What the shipped rules say of themselves, so that no test has to be edited for a release."""

import json
from functools import cache
from pathlib import Path
from typing import Any

from service.rulebook import Rulebook, load
from service.rulebook.shelf import Shelf, open_shelf

RULES = Path(__file__).resolve().parents[1] / "rules"
VERSION: str = json.loads((RULES / "rulebook.json").read_text("utf-8"))["version"]
"""The version that lies in the directory, which is served wherever it lies."""
SHARED: dict[str, Any] = {"points": 4, "bridging_shown_by": "structural engineer"}
"""A redundancy that the demonstration's sets cover up to 3 kN a point."""


@cache
def shipped_rules() -> Rulebook:
    """The rules in the directory. Nobody can write into them, so a process reads them once for all its tests."""
    return load(RULES)


@cache
def shipped_shelf() -> Shelf:
    """All releases and the rules in the directory, read once likewise."""
    return open_shelf(RULES)


FORMER = RULES.parent / "tests" / "records" / "register-before-2026-11-30.json"
"""The releases that were served before the register began anew, packed: records of then replay by them."""


@cache
def former_shelf() -> Shelf:
    """Those releases, read once likewise."""
    return open_shelf(FORMER)
