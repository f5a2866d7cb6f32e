"""Codes in plain words, for reasons and tables."""

from collections.abc import Mapping

IRREGULAR: Mapping[str, str] = {
    "blow_out": "blow-out",
    "bond": "combined pull-out and concrete",
    "pry_out": "pry-out",
    "pull_out": "pull-out",
    "interaction_concrete": "concrete interaction",
    "interaction_steel": "steel interaction",
    "steel_shear_lever_arm": "steel shear with lever arm",
    "non_structural": "non-structural",
    "torque_controlled_expansion": "torque-controlled expansion",
    "deformation_controlled_expansion": "deformation-controlled expansion",
}

APPROVED_USE = "approved_use_"
# What is wrong where a requirement is not met or a limit stops a family; what is not here speaks for itself.
STOPS: Mapping[str, str] = {
    "not_suspended": "suspended for new work",
    "approval_status": "not approved by the company",
    "approval_in_force": "approval not in force on the day",
    "rulebook_in_force": "rulebook not in force on the day",
    "embedment_assessed": "depth not assessed",
    "strength_covered": "strength of the concrete not covered",
    "state_covered": "state of the concrete not covered",
    "hole_covered": "state of the hole not covered",
    "redundant_use": "assessed for redundant use only",
    "temperature_range_covered": "temperature range not covered",
    "member_thickness": "member too thin",
    "edge_distance": "edge too near",
    "spacing": "fasteners too close",
    "edge_with_spacing": "edge distance and spacing do not go together",
    "exposure_allowed": "exposure not allowed",
    "overhead_allowed": "overhead setting not covered",
    "drilling_method": "drilling method not covered",
    "impact_driver_allowed": "impact wrench not allowed",
    "hole_edge_distance": "clearance hole too near the edge of the fixture",
    "fixture_thickness": "fixture too thick for every length",
    "fixture_stays_elastic": "fixture bends too much",
    "mechanisms": "mechanism not asked for",
    "families": "family not asked for",
    "removable": "other than limits.removable asks",
    "setting": "not set as asked",
    "hole_depth_mm": "hole deeper than allowed",
    "hole_diameter_mm": "hole wider than allowed",
    "utilisation": "over limits.utilisation",
    "cast_in_not_asked_for": "cast in, and not asked for",
    "no_layout": "no grid on the member",
    "embedment_below_method": "too shallow for the method",
}


def words(code: str) -> str:
    """Put a code into words.

    Args:
        code: A mode, a condition or another code of an answer.

    Returns:
        Its name as one would say it.
    """
    return IRREGULAR.get(code, code.replace("_", " "))


def stop_words(code: str) -> str:
    """Say what is wrong where a code stops a fixing.

    Args:
        code: The code of a cause: a requirement that is not met, a limit, a mode that is over.

    Returns:
        What is wrong, as one would say it.
    """
    if code.startswith(APPROVED_USE):
        return f"approved for {words(code.removeprefix(APPROVED_USE))} use only"
    return STOPS.get(code, words(code))
