"""The words of an as-built check that stand in lists, and what each means."""

from collections.abc import Mapping
from types import MappingProxyType

from service.contract.verification_codes import AskedCode
from service.contract.verification_codes.cautions import cautioned
from service.words import Audience, Code, Quantity, Severity, Term, Verbatim

FOUND_BY = ("rebound", "cores")
TOOLS = ("calibrated_wrench", "impact_driver_set", "by_feel")
VERDICTS = ("verified", "not_verified", "outside_scope", "not_shown")
NOT_MEASURED: Mapping[str, str] = MappingProxyType({
    "hole_depth": "depth of the hole",
    "set_depth": "set depth",
    "torque": "torque",
    "torque_tool": "tool that tightened it",
    "head_seated": "whether the head is seated on the fixture",
    "sleeve_expanded": "whether the setting tool met the sleeve with its shoulder",
    "mark_shows": "whether the mark of the expanded fastener shows",
    "hole_cleaned": "whether the hole was cleaned",
    "hole": "whether the hole was dry",
    "concrete_temperature": "temperature of the concrete at setting",
    "coldest_until_cured": "coldest that the concrete was until the resin had cured",
    "curing": "curing time that was waited",
    "working_time": "whether it was set within the working time of the resin",
    "resin_filled": "whether resin came out at the top of the hole when the rod was set",
    "drilling": "how the hole was drilled",
    "installer": "who set it",
    "length": "length that was fitted",
    "positions": "positions",
    "edges": "distances to the edges",
    "member_thickness": "thickness of the member",
    "fixture_thickness": "thickness of the fixture",
    "stand_off": "stand-off or grout under the fixture",
    "strength": "strength of the concrete",
    "cracks": "whether there are cracks",
    "aborted_holes": "aborted holes nearby",
})
REQUIREMENTS: Mapping[str, str] = MappingProxyType({
    "nothing_measured": "Something of the work was measured; given only where nothing was.",
    "decisive_not_measured": "What this kind of fastener turns on was measured; given only where something was not.",
    "torque_not_read": "A torque was read where the assessment asks for one; given only where none was.",
    "installation_torque": "The torque read is the installation torque, or no more than an impact driver may have.",
    "head_seated": "The head is seated on the fixture; given where it was said, or a short depth puts it in doubt.",
    "set_depth_in_hole": "The fastener reaches no deeper than its hole; given only where it was said to.",
    "embedment_reached": "The embedment that was reached is assessed, or a shallower one is.",
    "thread_serves": "The fitted length clamps the fixture at the depth that was reached.",
    "remaining_thickness": "What is left of the member behind too deep a hole is what the assessment leaves.",
    "sleeve_at_depth": "The hole of a drop-in is no deeper than it may be, as its sleeve rests on the bottom.",
    "undercut_at_depth": "The hole of an undercut is no deeper than it may be, as it is cut from the bottom.",
    "sleeve_expanded": "The setting tool met the sleeve of a drop-in with its shoulder; given where it was said.",
    "mark_shows": "The mark shows that an undercut fastener is expanded; given where it was said.",
    "hole_cleaned": "The hole was cleaned in the steps of the assessment; given where it was said.",
    "setting_temperature": "The resin was set at a temperature of its table; given where it was measured.",
    "working_time": "It was set within the working time of the resin; given where it was said.",
    "curing_time": "The resin had cured before it was tightened or loaded; given where it was said.",
    "resin_filled": "Resin came out at the top of every hole when the rod was set; given where it was said.",
    "aborted_holes_said": "Whether holes were given up was said; given only where a fastener stands in another hole.",
    "aborted_hole_distance": "Each aborted hole, of earlier checks too, is as far from fasteners as the rulebook asks.",
    "strength_shown": "How far the strength that was found is shown, and whether it counts.",
})


class AsBuiltCautionCode(Code):
    """Cautions of an as-built check."""

    DEEPER_HOLE_MORE_RESIN = (
        "deeper_hole_more_resin",
        cautioned(
            "The hole is deeper than assessed and takes more resin.",
            "Each hole that is {deeper_mm} mm too deep takes about {resin_ml} ml more resin than planned, beside what "
            "is wasted: fill it from the bottom, see resin come out at the top when the rod is set, and hold the rod "
            "at its mark, or it sinks.",
            Quantity("deeper_mm", "mm"),
            Quantity("resin_ml", "ml"),
            concerns=Audience.CREW,
        ),
    )
    EMBEDMENT_LOOKS_NOMINAL = (
        "embedment_looks_nominal",
        cautioned(
            "The effective embedment that was given is the set depth that a sheet asks for.",
            "{embedment_mm} mm was given as effective embedment and is the set depth that a sheet asks for; the "
            "effective one is {below_tip_mm} mm less. If the set depth was measured, give it as nominal_embedment_mm "
            "and check again.",
            Quantity("embedment_mm", "mm"),
            Quantity("below_tip_mm", "mm"),
            crew="{embedment_mm} mm looks like the set depth; the effective depth is {below_tip_mm} mm less. If the "
            "set depth was measured, enter it as set depth.",
            concerns=Audience.CREW,
        ),
    )
    OLD_HOLE_LEFT = (
        "old_hole_left",
        cautioned(
            "A fastener stands elsewhere than an earlier check had it, and no aborted hole is said there.",
            "Fastener {number} stood at x {x_mm}, y {y_mm} mm when it was checked before: where a hole is left there, "
            "say it under aborted_holes, as it weakens the concrete.",
            Quantity("number", "1"),
            Quantity("x_mm", "mm"),
            Quantity("y_mm", "mm"),
            crew="Fastener {number} stood at x {x_mm}, y {y_mm} mm when it was checked before: if a hole is left "
            "there, enter it as an aborted hole, as it weakens the concrete.",
            concerns=Audience.CREW,
        ),
    )
    TORQUE_BELOW_ASKED = (
        "torque_below_asked",
        cautioned(
            "A torque that is the most allowed was read well below; it may be tightened up to it.",
            "{torque_nm} N·m was read where {torque_max_nm} N·m is the most that it may get: nothing is lost by it, "
            "but see that the fixture is not loose; it may be tightened to {torque_max_nm} N·m once any resin has "
            "cured.",
            Quantity("torque_nm", "Nm"),
            Quantity("torque_max_nm", "Nm"),
            severity=Severity.KNOW,
            concerns=Audience.CREW,
        ),
    )
    RUN_OUT_SINCE = (
        "run_out_since",
        cautioned(
            "Something that it was verified with has run out or changed since.",
            "Since it was verified this has run out or changed: {requirement} ({detail}). What is set stays judged by "
            "its day, {day}; whatever is set from now on needs a new verification.",
            Term("requirement", AskedCode),
            Verbatim("detail"),
            Verbatim("day"),
        ),
    )
    STRENGTH_NOT_RAISED = (
        "strength_not_raised",
        cautioned(
            "More strength was found than was verified; it does not count here.",
            "{found_mpa} MPa was found and does not count: the {verified_mpa} MPa that was verified stays. A higher "
            "strength needs enough tests, their report and the characteristic in-situ strength to EN 13791, evaluated "
            "by the engineer, and then a new request.",
            Quantity("found_mpa", "MPa"),
            Quantity("verified_mpa", "MPa"),
        ),
    )
