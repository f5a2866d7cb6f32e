"""Cautions of an as-built check."""

from __future__ import annotations

from service.contract.as_built_codes.terms import LoadAt
from service.contract.verification_codes import AskedCode, CautionCode
from service.contract.verification_codes.cautions import cautioned
from service.words import Audience, Code, Quantity, Severity, Term, Verbatim


class AsBuiltCautionCode(Code):
    """Cautions of an as-built check."""

    DEEPER_HOLE_MORE_RESIN = cautioned(
        "The hole is deeper than assessed and takes more resin.",
        "Each hole that is {deeper_mm} mm too deep takes about {resin_ml} ml more resin than planned, beside what "
        "is wasted: fill it from the bottom, see resin come out at the top when the rod is set, and hold the rod "
        "at its mark, or it sinks.",
        Quantity("deeper_mm", "mm"),
        Quantity("resin_ml", "ml"),
        concerns=Audience.CREW,
    )
    EMBEDMENT_LOOKS_NOMINAL = cautioned(
        "The effective embedment that was given is the set depth that a sheet asks for.",
        "{embedment_mm} mm was given as effective embedment and is the set depth that a sheet asks for; the "
        "effective one is {below_tip_mm} mm less. If the set depth was measured, give it as nominal_embedment_mm "
        "and check again.",
        Quantity("embedment_mm", "mm"),
        Quantity("below_tip_mm", "mm"),
        crew="{embedment_mm} mm looks like the set depth; the effective depth is {below_tip_mm} mm less. If the "
        "set depth was measured, enter it as set depth.",
        concerns=Audience.CREW,
    )
    FIXTURE_MOVED = cautioned(
        "The fixture stands aside with all its fasteners, and nobody said where its load acts now.",
        "Every fastener stands {x_mm} mm aside along x and {y_mm} mm along y, so the fixture moved with them. "
        "Nobody said where its load acts now: it was taken {load}, which is less favourable. Say it under "
        "fixture_moved.",
        Quantity("x_mm", "mm"),
        Quantity("y_mm", "mm"),
        Term("load", LoadAt),
        crew="The plate stands {x_mm} mm aside along x and {y_mm} mm along y. Tell the engineer whether what it "
        "carries moved with it; until then it is taken {load}, which is worse.",
    )
    OTHER_INSTALLED = cautioned(
        "Another fastener stands there than was ordered.",
        "{family} {size} stands there, {ordered_family} {ordered_size} was ordered: it was verified with what "
        "stands there, its approval and all that its assessment asks for. Whether that may stay is for the "
        "engineer who ordered it to decide.",
        Verbatim("family"),
        Verbatim("size"),
        Verbatim("ordered_family"),
        Verbatim("ordered_size"),
        crew="{family} {size} stands there, {ordered_family} {ordered_size} was ordered. Tell the engineer, who "
        "decides whether it may stay; set no more of it.",
    )
    FASTENERS_MISSING = cautioned(
        "Fasteners are missing, and the rest were verified without them.",
        "Missing: number {numbers} of the record. The rest were verified without them and keep their numbers here; "
        "a new record numbers them anew from 1, in this order: {standing}.",
        Quantity("numbers", "1"),
        Quantity("standing", "1"),
        crew="Missing: number {numbers}. Tell the engineer: it was calculated without them. On a new sheet the "
        "rest are numbered anew from 1, in this order: {standing}.",
    )
    ARRANGEMENT_NEAR_EDGE = CautionCode.ARRANGEMENT_NEAR_EDGE.value, CautionCode.ARRANGEMENT_NEAR_EDGE.says
    CLEARANCE_HOLES_NEAR_EDGE = CautionCode.CLEARANCE_HOLES_NEAR_EDGE.value, CautionCode.CLEARANCE_HOLES_NEAR_EDGE.says
    OLD_HOLE_LEFT = cautioned(
        "A fastener stands elsewhere than an earlier check had it, and no aborted hole is said there.",
        "Fastener {number} stood at x {x_mm}, y {y_mm} mm when it was checked before: where a hole is left there, "
        "say it under aborted_holes, as it weakens the concrete.",
        Quantity("number", "1"),
        Quantity("x_mm", "mm"),
        Quantity("y_mm", "mm"),
        crew="Fastener {number} stood at x {x_mm}, y {y_mm} mm when it was checked before: if a hole is left "
        "there, enter it as an aborted hole, as it weakens the concrete.",
        concerns=Audience.CREW,
    )
    TORQUE_BELOW_ASKED = cautioned(
        "A torque that is the most allowed was read well below; it may be tightened up to it.",
        "{torque_nm} N·m was read where {torque_max_nm} N·m is the most that it may get: nothing is lost by it, "
        "but see that the fixture is not loose; it may be tightened to {torque_max_nm} N·m once any resin has "
        "cured.",
        Quantity("torque_nm", "Nm"),
        Quantity("torque_max_nm", "Nm"),
        severity=Severity.KNOW,
        concerns=Audience.CREW,
    )
    TIGHTENED_BY_FEEL = cautioned(
        "It is tightened by feel, as the request answered, and no torque was read.",
        "It is tightened by feel, as the request answered and the site reduction counts: nobody read a torque, and "
        "nothing shows later that a fastener is tight. A torque wrench set to {installation_torque_nm} N·m would "
        "be better.",
        Quantity("installation_torque_nm", "Nm"),
        severity=Severity.KNOW,
        concerns=Audience.CREW,
    )
    TORQUE_TAKEN_AS_FIRST = cautioned(
        "A torque was said, and not what it was tightened with.",
        "The torque was taken as read while each was tightened for the first time, with the tool that was verified. "
        "Where one was tightened by feel or with an impact wrench before, it is no reading: say so under torque_tool, "
        "also where an earlier check was told and gave no record.",
        crew="The torque was taken as read while each was tightened for the first time, with the tool on the sheet. "
        "Where one was tightened by feel or with an impact wrench before, it is no reading: enter that, also where it "
        "was entered before.",
        concerns=Audience.CREW,
    )
    RUN_OUT_SINCE = cautioned(
        "Something that it was verified with has run out or changed since.",
        "Since it was verified this has run out or changed: {requirement}; its figures stand under "
        "run_out_requirements. What is set stays judged by its day, {day}; whatever is set from now on needs a new "
        "verification.",
        Term("requirement", AskedCode),
        Verbatim("day"),
        crew="Since it was verified this has run out or changed: {requirement}. What is set stays judged by its "
        "day, {day}; set no more of it before it is verified again.",
    )
    STRENGTH_NOT_RAISED = cautioned(
        "More strength was found than was verified; it helps nothing here, and costs where grout is weaker.",
        "{found_mpa} MPa was found and helps nothing: the {verified_mpa} MPa that was verified stays. A higher "
        "strength needs enough tests, their report and the characteristic in-situ strength to EN 13791, evaluated "
        "by the engineer, and then a new request.",
        Quantity("found_mpa", "MPa"),
        Quantity("verified_mpa", "MPa"),
    )
