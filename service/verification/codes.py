"""The stable codes of an answer and what each means; clients tolerate codes that are added."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from service.engine.open_readings import OPEN_READINGS
from service.rulebook import Rulebook

REQUIREMENTS: Mapping[str, str] = MappingProxyType({
    "rulebook_in_force": "The rulebook is in force on the day of the assessment.",
    "not_suspended": "Nothing of the fixing is suspended for new work; given only where something is.",
    "approval_status": "The company approves the family or size, with or without a restriction.",
    "approval_in_force": "The day of the assessment is within the time of the approval.",
    "approved_use_redundant": "Approved for redundant use only.",
    "approved_use_non_structural": "Approved for non-structural use only.",
    "approved_use_temporary": "Approved for temporary use only, which a request cannot show.",
    "approved_use_dry_internal": "Approved for dry internal use only.",
    "embedment_assessed": "The assessment covers the embedment.",
    "strength_covered": "The assessment covers the strength of the concrete.",
    "state_covered": "The assessment covers cracked or uncracked concrete, as it is.",
    "hole_covered": "The assessment covers the condition of the hole.",
    "redundant_use": "The assessment covers redundant use only.",
    "temperature_range_covered": "The assessment covers the temperature range.",
    "member_thickness": "The member is at least as thick as h_min.",
    "edge_distance": "Every edge is at least c_min away, or what a label allows.",
    "spacing": "Fasteners are at least s_min apart, or what a label allows.",
    "edge_with_spacing": "Edge distance and spacing together are one of the pairs that are assessed.",
    "exposure_allowed": "The family may be used in the exposure.",
    "overhead_allowed": "The assessment covers setting overhead; given only where it does not.",
    "drilling_method": "The assessment covers the drilling method.",
    "impact_driver_allowed": "The assessment allows an impact driver; given only where the site uses one.",
    "length_listed": "The length is one of the family's; as built, one whose thread still serves.",
    "fixture_thickness": "The length clamps fixture, grout and stand-off.",
    "hole_edge_distance": "Each clearance hole keeps its distance to the edge of the fixture.",
    "site_test_mechanism": "The rulebook takes resistances from site tests for the mechanism.",
    "site_test_number": "Enough pulls ended in failure of the base material.",
    "site_test_support": "The feet of the bridge did not hold down what would have broken out.",
    "site_test_cured": "The resin had cured before the pulls; given for bonded fasteners.",
    "site_test_reading": "No reading lies above what the steel of the fastener bears.",
    "site_test_steel": "Steel gave way nowhere below its yield load; given only where a pull ended by the steel.",
    "site_test_temperature": "The resin is assessed in the temperature range; given for bonded fasteners.",
    "site_test_state": "The concrete is as the pulls show it: cracked only where every pull stood in a crack.",
    "site_test_scatter": "The failure loads scatter little enough.",
    "site_test_above_zero": "The lower limit of the failure loads lies above 0.",
    "site_test_id": "The id of the tests belongs to their content; given only where the request states one.",
    "site_test_age": "The tests are not too old on the day of the assessment, and were made before it.",
    "site_test_fastener": "The fastener is the one that was pulled.",
    "site_test_drilling": "The holes are drilled as they were for the tests.",
    "site_test_hole": "The holes are in the state that they had in the tests.",
    "site_test_base_material": "The base material is the one that was tested, in the same words.",
    "site_test_contact": "The fixture stands on the base material, without stand-off or grout.",
    "site_test_thickness": "The base material is as thick as it was in the tests.",
    "site_test_edge": "Every edge is as far away as it was in the tests.",
    "site_test_shear_edge": "Under shear every edge is out of its reach.",
    "site_test_spacing": "The fasteners stand too far apart to pull on one another.",
    "fixture_stays_elastic": "The estimated stress of the fixture stays below yield: the method needs a stiff plate.",
})

SCOPE_LIMITS: Mapping[str, str] = MappingProxyType({
    "too_many_fasteners": "More fasteners than the method covers.",
    "steel_too_strong": "The steel is stronger than the method covers.",
    "embedment_below_method": "The embedment is less than the method covers.",
    "diameter_below_method": "The diameter is less than the method covers.",
    "arrangement_near_edge": "An arrangement that is no grid of up to 3 by 3 is near an edge.",
    "clearance_holes_near_edge": "Clearance holes near an edge under shear, in an arrangement that is not covered.",
    "torsion_on_one_fastener": "A single fastener cannot take torsion.",
    "torsion_with_oversize_holes": "With oversize holes torsion has no sure path into the fasteners.",
    "simplified_with_stand_off": "A family known only from its label is not covered with a lever arm.",
    "stand_off_compression": "With a stand-off a fastener would be in compression, which is not assessed.",
    "moment_on_line_of_fasteners": "Without contact under the fixture the fasteners cannot take the moment.",
    "no_bending_resistance": "Shear would act with a lever arm, and the assessment gives no bending resistance.",
    "no_equilibrium": "The fixture finds no position of rest under the actions.",
})

ASSUMPTIONS: Mapping[str, str] = MappingProxyType({
    "assessed_on_today": "No day was given: today was taken.",
    "strength_unknown": "The strength of the concrete is not known: what the rulebook says was taken.",
    "state_unknown": "The state of the concrete is not known: what the rulebook says was taken.",
    "uncracked_to_be_shown": "Uncracked concrete was stated and has to be shown.",
    "edges_out_of_reach": "Edges that are not given were taken to be out of reach.",
    "reinforcement_unknown": "The reinforcement is not known: no credit was given for it.",
    "reinforcement_spacing_unknown": "The spacing of the reinforcement is not known: it was taken as close.",
    "reinforcement_diameter_unknown": "The diameter of the reinforcement is not known: it was taken as over 10 mm.",
    "edge_reinforcement_to_be_shown": "Edge bar and stirrups were stated; that they count has to be shown.",
    "stirrup_spacing_unknown": "The spacing of the stirrups is not known: no credit was given for them.",
    "situation_not_given": "The design situation was taken as persistent.",
    "redundant_not_given": "The use was taken as not redundant.",
    "redundant_to_be_shown": "Redundant use was stated and has to be shown.",
    "structural_not_given": "The use was taken as structural.",
    "overhead_not_given": "The hole was taken to be drilled overhead.",
    "exposure_unknown": "The exposure is not known: what the rulebook says was taken.",
    "hole_unknown": "The condition of the hole is not known: what the rulebook says was taken.",
    "temperature_range_unknown": "The temperature range is not known: what the rulebook says was taken.",
    "clearance_not_given": "The clearance holes were taken as normal.",
    "holes_filled_to_be_shown": "Filled clearance holes were stated; the filling has to be shown.",
    "rotation_not_given": "The fixture was taken as free to rotate.",
    "rotation_held_to_be_shown": "A fixture held against rotation was stated; what holds it has to be shown.",
    "grout_strength_unknown": "The strength of the grout is not known: the fixture was taken not to bear on it.",
    "sustained_share_not_given": "The sustained share of a load case was taken as 1.",
    "length_chosen": "No length was given: the shortest that clamps was chosen.",
    "length_not_chosen": "The thickness of the fixture is not known: no length was chosen.",
    "splitting_not_needed": "Splitting under load was not verified: edges and thickness make it unnecessary.",
})

CAUTIONS: Mapping[str, str] = MappingProxyType({
    "relieving_normal_force": "A characteristic load case presses and pushes at once under one factor.",
    "site_reduction_floor": "The site factors together would take more off than the floor allows.",
    "suspended": "The family, the size or a version of the rulebook is suspended for new work.",
    "superseded": "The answer stands on a version of the rulebook below the one in force.",
    "single_fastener": "One fastener carries the whole fixing.",
    "site_test_reach": "The resistance comes from pulls on site and holds only within their reach.",
    "site_test_forces": "The forces of the fasteners were found with the stiffness of concrete.",
    "torque_not_asked": "The site reads a torque, and the assessment names none for the size.",
    "torque_without_clamped_washer": "With a stand-off the torque needs a nut and washer on the concrete.",
    "arrangement_not_drawn": "The standard does not draw the arrangement of the fasteners.",
    "one_fastener_takes_shear": "Oversize holes: one fastener was taken to carry the whole shear.",
    "splitting_left_to_reinforcement": "Reinforcement that holds splitting cracks has to be designed and shown.",
    "fastener_in_compression": "A fastener is in compression; its buckling is not checked.",
    "outside_scope": "The method does not cover the fixing.",
    "compression_only": "The actions only press the fixture against the concrete: no check is left.",
    "plate_not_checked": "Whether the fixture is stiff enough could not be checked.",
    "sensitive_to_contact_stiffness": "With half the contact stiffness the fixing would not pass.",
})
"""Beside these an answer repeats the cautions of the rulebook, each with a code of its own."""

OPEN_READING_CODES: Mapping[str, str] = MappingProxyType({code: read.text for code, read in OPEN_READINGS.items()})

OF_A_SITE_CONDITION = "{}_unknown"


def codes_of(rulebook: Rulebook) -> dict[str, dict[str, str]]:
    """Gather every code that an answer under a rulebook may hold, those that the rulebook brings with it included.

    Args:
        rulebook: The rulebook.

    Returns:
        Meanings by code, for each part of the answer.
    """
    conditions = rulebook.factors["site-conditions"]["conditions"]
    of_site = {
        OF_A_SITE_CONDITION.format(name): f"{data['title']}: not known; what the rulebook says was taken."
        for name, data in conditions.items()
    }
    of_rulebook = {caution["code"]: caution["text"] for caution in rulebook.document["cautions"]}
    return {
        "requirements": dict(REQUIREMENTS),
        "scope_limits": dict(SCOPE_LIMITS),
        "assumptions": {**ASSUMPTIONS, **of_site},
        "cautions": {**of_rulebook, **CAUTIONS},
        "open_readings": dict(OPEN_READING_CODES),
    }
