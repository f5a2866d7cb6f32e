"""Codes in plain words, for reasons and tables."""

from collections.abc import Mapping

IRREGULAR: Mapping[str, str] = {
    "blow_out": "blow-out",
    "pry_out": "pry-out",
    "pull_out": "pull-out",
    "interaction_concrete": "concrete interaction",
    "interaction_steel": "steel interaction",
    "steel_shear_lever_arm": "steel shear with lever arm",
}


def words(code: str) -> str:
    """Put a code into words.

    Args:
        code: A mode, a requirement, a condition or another code of an answer.

    Returns:
        Its name as one would say it.
    """
    return IRREGULAR.get(code, code.replace("_", " "))
