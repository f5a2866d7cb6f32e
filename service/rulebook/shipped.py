"""What the package carries: schemas and demonstration rules, found in a checkout and in an installed wheel alike."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parents[1]
_CARRIED = _PACKAGE / "carried"
# A checkout has them beside the package; deploy/wheel.py copies them into it when a wheel is built.
_ROOT = _CARRIED if _CARRIED.is_dir() else _PACKAGE.parent
SCHEMAS = _ROOT / "schemas"
DEMONSTRATION = _ROOT / "rules"


def carried_by_a_wheel(rules: Path) -> bool:
    """Say whether rules are the demonstration inside an installed package, which has no history of its own.

    Args:
        rules: The rules directory.

    Returns:
        Whether they are. A repository around the environment, and its tags, are then somebody else's.
    """
    return rules.resolve().is_relative_to(_CARRIED)
