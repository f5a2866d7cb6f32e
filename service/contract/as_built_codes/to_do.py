"""What is to be done after an as-built check."""

from __future__ import annotations

from functools import partial

from service.contract.as_built_codes.terms import Measurement
from service.contract.verification_codes import AskedCode, Mode
from service.words import Audience, Code, Quantity, Severity, Term, Verbatim, means

_SET_ANEW = "take it out of use, treat the hole as aborted and set a new fastener at the distance for that"
_NEW_HOLE = "drill a new hole to the full depth at the distance for aborted holes"
_OVERTIGHTENED = (
    "too high a torque may have damaged thread, bond or concrete, and slackening it does not undo that: look for "
    "cracks and a stretched thread, and replace the fastener in a new hole, or have it proof-loaded and accepted by "
    "the engineer. To take it out of use: {removal}."
)
_CHECK_AGAIN = "check again against the record it came from, with all that was measured and every aborted hole"
_CHECK_AGAIN_ON_SITE = "have it checked again, with all that was measured and every aborted hole"


_do = partial(means, severity=Severity.STOPS, concerns=Audience.CREW)
"""Something to do; the crew does it, and the fixing is not loaded before, unless it says otherwise."""


_NOT_READ_LATER = (
    "Where it was tightened and nobody read it, a wrench that clicks at that now shows that it is at least as tight, "
    "not that it is no tighter, and is no reading"
)
"""What a wrench put on later shows of what was tightened without it; common practice, no source."""


_REMEMBER = (
    "Write on the sheet which ones: an answer without a record is not remembered, and each later check is told by_feel "
    "(torque_tool), whatever a wrench reads by then."
)
_REMEMBER_ON_SITE = (
    "Write on the sheet which ones were tightened by feel: nothing else keeps it, and each later check is told so, "
    "whatever a wrench reads by then."
)


class ToDoCode(Code):
    """What is to be done after an as-built check."""

    KEEP_RECORD = _do(
        "It verifies as built.",
        "It passes its checks as built: keep the new record in place of the old, with what was measured.",
        severity=Severity.KNOW,
    )
    KEEP_RECORD_AS_MEASURED = _do(
        "It verifies as built; not all that matters was measured.",
        "It passes its checks as built, as far as it was measured: keep the new record in place of the old, with "
        "what was measured.",
        severity=Severity.KNOW,
    )
    MEASURE_WHAT_IS_MISSING = _do(
        "Nothing is against it, but it is not shown to verify as built.",
        "Nothing found is against it, but it is not shown that it passes as built: do not load it before that is "
        f"shown. There is no new record: measure what is missing, then {_CHECK_AGAIN}.",
        crew="Nothing found is against it, but it is not shown that it passes as built: do not load it before that "
        f"is shown. Measure what is missing, then {_CHECK_AGAIN_ON_SITE}.",
    )
    SET_THE_REST = _do(
        "Some are still to be set; nothing is against it.",
        "Nothing found is against it. Still to be set: fastener no. {numbers}, by the sheet of the new record, "
        "which has the work that is left. Do not load the fixing before they are set and checked against the "
        "new record.",
        Quantity("numbers", "1"),
        crew="Still to be set: fastener no. {numbers}, by the new sheet, which has the work that is left. Leave "
        "the others in their holes. Do not load the fixing before all are set and checked.",
    )
    SET_NO_MORE_YET = _do(
        "Some are still to be set, and something is against it or not said.",
        "Still to be set: fastener no. {numbers}. Drill and set no more before the rest of this is settled and "
        "checked again. There is no new record to set by yet.",
        Quantity("numbers", "1"),
        crew="Still to be set: fastener no. {numbers}. Drill and set no more before the rest of this is settled and "
        "checked again.",
    )
    DO_NOT_LOAD = _do(
        "It does not verify as built.",
        "Do not load it, or take the load off it, until it is settled.",
    )
    CHECK_AGAIN = _do(
        "It does not verify as built, so that there is no new record.",
        f"There is no new record: when it is settled, {_CHECK_AGAIN}.",
        crew=f"When it is settled, {_CHECK_AGAIN_ON_SITE}.",
    )
    TELL_ENGINEER = _do(
        "It does not verify as built.",
        "Tell the engineer who designed it; a competent structural engineer decides what may stay.",
    )
    TAKEN_AS_VERIFIED = _do(
        "What was not measured was taken as it was verified.",
        "Not measured, and taken as verified: {measurements}.",
        Term("measurements", Measurement),
        severity=Severity.DECIDE,
        concerns=Audience.ENGINEER,
    )
    MEASURE_ALL = _do(
        "Nothing was measured.",
        "Measure what is listed under not_measured and say it.",
        crew="Measure what is listed as not measured, and enter it.",
    )
    REPORT_WHAT_IS_NEW = _do(
        "Nothing new was said of work that the record holds measurements of.",
        "There is no new record, and the one that was sent stays as it is: report what was measured or changed "
        "since. Of a change that is not reported nothing is shown.",
        crew="No new record was made: enter what was measured or changed since. Of a change that is not entered "
        "nothing is shown.",
    )
    MEASURE_EACH = _do(
        "What the kind of fastener turns on was not measured.",
        (
            "Find out at every fastener: {measurement} or {alternative}; say it as one of: {fields}.",
            "Find out at every fastener: {measurement}; say it as one of: {fields}.",
            "Find out at every fastener: {measurement}; say it as {field}.",
        ),
        Term("measurement", Measurement),
        Term("alternative", Measurement),
        Verbatim("field"),
        Verbatim("fields"),
        crew=(
            "Find out at every fastener, and enter it: {measurement} or {alternative}.",
            "Find out at every fastener, and enter it: {measurement}.",
        ),
    )
    SAY_GROUT_STRENGTH = _do(
        "The verdict rests on the strength of the grout, which nobody said.",
        "Say what strength the grout had when the fixing was first tightened or loaded (grout.strength_mpa): by cubes, "
        "or by its data sheet at the age and the temperature that it had then.",
        crew="Enter what strength the grout had when the fixing was first tightened or loaded: by cubes, or by its "
        "data sheet at the age and the temperature that it had then.",
    )
    SAY_GAP = _do(
        "Grout is thinner than it was verified, or was left out, and nobody said what the fixture lies on.",
        "Say what is left open under the fixture (stand_off_mm): 0 where it bears over its whole face, else how high "
        "the gap on packers or nuts is; until then the less favourable counts. Where the grout is still to be placed, "
        "load nothing before it has hardened, and check again with its thickness and strength.",
        crew="Enter how high the gap on packers or nuts is that is left under the fixture, 0 where it bears over its "
        "whole face. Where the grout is still to be placed, load nothing before it has hardened, and have it checked "
        "again.",
    )
    READ_TORQUE = _do(
        "No torque was read.",
        f"What is not tightened yet is tightened to {{installation_torque_nm}} N·m with a calibrated torque wrench; "
        f"say what was read while it was tightened (torque_nm). {_NOT_READ_LATER}: then say that it was tightened by "
        "feel.",
        Quantity("installation_torque_nm", "Nm"),
        crew="What is not tightened yet is tightened to {installation_torque_nm} N·m with a calibrated torque wrench; "
        f"enter what was read while it was tightened. {_NOT_READ_LATER}: then enter that it was tightened by feel.",
    )
    READ_TORQUE_ONCE_CURED = _do(
        "No torque was read of a fastener that is set with resin.",
        f"What is not tightened yet is tightened to {{installation_torque_nm}} N·m and no further with a calibrated "
        "torque wrench, only after the curing time of the resin; say what was read while it was tightened "
        f"(torque_nm). {_NOT_READ_LATER}: then say that it was tightened by feel.",
        Quantity("installation_torque_nm", "Nm"),
        crew="What is not tightened yet is tightened to {installation_torque_nm} N·m and no further with a calibrated "
        "torque wrench, only after the curing time of the resin; enter what was read while it was tightened. "
        f"{_NOT_READ_LATER}: then enter that it was tightened by feel.",
    )
    TIGHTENED_BY_FEEL_INSTEAD = _do(
        "It was tightened by feel where a torque was to be read.",
        f"Nobody knows how tight it got. {_NOT_READ_LATER}: leave it as it is, neither tightened nor slackened. The "
        "engineer decides: verified anew as tightened by feel (site.torque_control), which counts less, proof-loaded, "
        f"or replaced. {_REMEMBER}",
        crew=f"Nobody knows how tight it got. {_NOT_READ_LATER}: leave it as it is, neither tightened nor slackened, "
        f"and ask the engineer. {_REMEMBER_ON_SITE}",
        concerns=Audience.ENGINEER,
    )
    EXPANDED_BY_FEEL = _do(
        "It was tightened by feel, and its torque expands or seats it.",
        "Nobody knows how tight it got: too loose it is not expanded, too tight its steel has yielded or its thread is "
        f"stripped. {_NOT_READ_LATER}: leave it as it is, neither tightened nor slackened. The engineer decides: "
        f"proof-loaded, or replaced. {_REMEMBER}",
        crew="Nobody knows how tight it got: too loose it is not expanded, too tight its steel or thread has given. "
        f"{_NOT_READ_LATER}: leave it as it is, neither tightened nor slackened, and ask the engineer. "
        f"{_REMEMBER_ON_SITE}",
        concerns=Audience.ENGINEER,
    )
    SAY_DRIVER_SETTING = _do(
        "Nobody said what the impact wrench was set to.",
        "Say what the impact wrench was set to (torque_nm): no more than {torque_max_nm} N·m. Where nobody knows, the "
        "engineer decides.",
        Quantity("torque_max_nm", "Nm"),
        crew="Enter what the impact wrench was set to: no more than {torque_max_nm} N·m. Where nobody knows, ask the "
        "engineer.",
    )
    READ_TORQUE_AGAIN = _do(
        "A reading is so high that a slip is likelier; what to do where it is none follows.",
        "{torque_nm} N·m is more than twice what the assessment names, {named_nm} N·m: read it again first.",
        Quantity("torque_nm", "Nm"),
        Quantity("named_nm", "Nm"),
        crew="{torque_nm} N·m is more than twice what is asked for, {named_nm} N·m: read it again first.",
    )
    TIGHTEN = _do(
        "What its torque expands was tightened too little.",
        "Tighten it to the installation torque with a calibrated wrench; if it turns without reaching it, it is "
        f"not expanded: {_SET_ANEW}.",
    )
    SLIGHTLY_ABOVE = _do(
        "A torque is above the most by no more than a wrench may be off.",
        "Slightly above the {installation_torque_nm} N·m, by no more than a wrench may be off: have the engineer "
        "look at it; do not slacken it.",
        Quantity("installation_torque_nm", "Nm"),
    )
    OVERTIGHTENED = _do(
        "A torque is above the most.",
        f"T{_OVERTIGHTENED.removeprefix('t')}",
        Verbatim("removal"),
    )
    TIGHTNESS_NOT_KNOWN = _do(
        "It was tightened by an impact wrench for which the assessment gives no torque.",
        f"Nobody knows how tight it got: {_OVERTIGHTENED}",
        Verbatim("removal"),
    )
    SEE_HEAD = _do(
        "Nobody said whether the head is seated.",
        "See whether the head is seated on the fixture without a gap, and say head_seated.",
        crew="See whether the head is seated on the fixture without a gap, and enter it.",
    )
    SEAT_HEAD = _do(
        "The head is not seated.",
        f"Do not pack it: take it out, drill the hole to its depth or {_NEW_HOLE}, and set it until its head is "
        "seated.",
    )
    MEASURE_HEAD_AGAIN = _do(
        "What was measured leaves no room for a seated head.",
        "One of length, fixture, depth or head was measured wrong: measure them again; if it is that shallow, the "
        "head is not seated.",
    )
    MEASURE_DEPTH_AGAIN = _do(
        "A fastener is said to reach deeper than its hole.",
        "One of set depth and depth of the hole was measured wrong: measure again how far the fastener projects "
        "from the concrete, and check again.",
    )
    DRILL_TO_DEPTH = _do(
        "What was reached is less than any assessed embedment.",
        f"D{_NEW_HOLE.removeprefix('d')}, or have the fixing sized anew.",
    )
    REPLACE_SHALLOW = _do(
        "Some are too shallow, and the others are as deep as the sheet asks for.",
        "Too shallow: fastener no. {numbers}, and no other. Take each out of use, fill its hole with high-strength "
        "grout, and set a new one to its depth in a new hole at least {apart_mm} mm from it, which the engineer "
        "gives and has verified first (moved, aborted_holes). The others stay as they are.",
        Quantity("numbers", "1"),
        Quantity("apart_mm", "mm"),
        crew="Too shallow: fastener no. {numbers}, and no other. Leave the others as they are. Ask the engineer "
        "for a new position at least {apart_mm} mm from the old one, and drill nothing before it is verified.",
    )
    THINNER_FIXTURE = _do(
        "The nut does not find its whole thread.",
        "The nut does not find its whole thread: fit a thinner fixture, or set a new fastener in a new hole.",
    )
    SEE_FREE_THREAD = _do(
        "It projects so far that its thread is not known to reach the fixture.",
        "{length_mm} mm ({article}) stays in the record as fitted; see that the nut runs on free thread down to "
        "the washer and the fixture is tight, without packing, and have the engineer accept this length at this "
        "depth; else set a new fastener in a new hole.",
        Quantity("length_mm", "mm"),
        Verbatim("article"),
        crew="{article}: see that the nut runs on free thread down to the washer and the fixture is tight, without "
        "packing, and ask the engineer to accept this length at this depth; else set a new fastener in a new hole.",
    )
    GROUT_AND_DRILL_ANEW = _do(
        "A hole leaves too little of the member behind it.",
        "Take it out of use: look at the far side for what broke out, fill the hole with high-strength grout, and "
        f"{_NEW_HOLE}.",
    )
    DRILL_WITH_STOP = _do(
        "A hole is too deep for what holds at its bottom.",
        "Do not pack the hole: drill a new one with a stop at {hole_depth_mm} mm at the distance for aborted holes.",
        Quantity("hole_depth_mm", "mm"),
    )
    DRIVE_TOOL_TO_SLEEVE = _do(
        "The sleeve of a drop-in is not expanded.",
        f"Drive the setting tool until its shoulder meets the sleeve; where it does not get there: {_SET_ANEW}.",
    )
    FIT_BOLTS = _do(
        "A bolt is screwed too far into its sleeve, or not far enough.",
        (
            (
                "Prop what it holds, and fit bolts that are {least_mm} to {most_mm} mm long under their heads besides "
                "washers, of the property class that was ordered, or rods screwed in by the assessment's figures. "
                "Where it was tightened or loaded before, look at the thread of the sleeve first: one that is damaged "
                "is out of use."
            ),
            "Say how thick the fixture is (fixture_thickness_mm), or how far the bolt is screwed in (screwed_in_mm).",
        ),
        Quantity("least_mm", "mm"),
        Quantity("most_mm", "mm"),
        crew=(
            (
                "Prop what it holds, and fit bolts that are {least_mm} to {most_mm} mm long under their heads besides "
                "washers, of the property class that was ordered, or rods screwed in as the sheet says. Where it was "
                "tightened or loaded before, look at the thread of the sleeve first: one that is damaged is out of use."
            ),
            "Enter how thick the fixture is, or how far the bolt is screwed in.",
        ),
    )
    DRIVE_SLEEVE_TO_MARK = _do(
        "The mark of an undercut fastener does not show.",
        f"Drive the sleeve on until the mark shows, as the assessment has it; where it does not: {_SET_ANEW}.",
        crew=f"Drive the sleeve on until the mark shows, as the sheet has it; where it does not: {_SET_ANEW}.",
    )
    TEST_WELDS = _do(
        "Welds of studs were not tested, or one failed.",
        "Have the weld of every stud tested as its welding standard asks, and say weld_tested. Where one fails or can "
        "no longer be tested, as it is cast in, the engineer decides.",
        crew="Have the weld of every stud tested and enter it. Where one fails or can no longer be tested, as it is "
        "cast in, ask the engineer.",
    )
    LEAVE_CRACKED_WALL = _do(
        "Cracks were seen in masonry.",
        "A cracked wall is not covered, whatever pulls beside it showed: the engineer decides what becomes of the wall "
        "and what holds instead.",
        crew="A cracked wall is not covered: set no more there, and ask the engineer.",
        concerns=Audience.ENGINEER,
    )
    SHOW_CLEANING_OF_OTHER_HOLE = _do(
        "Holes for resin were drilled otherwise than ordered.",
        "The sheet ordered the cleaning of a hole drilled by {ordered}. The engineer shows from the assessment how "
        "holes drilled by {drilling} are cleaned and that these were, and has the fixing verified anew with "
        f"site.drilling {{drilling}}; else: {_SET_ANEW}.",
        Verbatim("drilling"),
        Verbatim("ordered"),
        crew=f"Ask the engineer whether the holes were cleaned as such holes need it; else: {_SET_ANEW}.",
        concerns=Audience.ENGINEER,
    )
    SET_ANEW_IN_CLEAN_HOLE = _do(
        "The hole was not cleaned.",
        f"Dust parts the fastener from the concrete: {_SET_ANEW}.",
    )
    SET_ANEW_IN_RANGE = _do(
        "Resin was set at a temperature that its table has not.",
        f"No bond is assessed for it: {_SET_ANEW}, at a temperature of the table.",
    )
    SET_ANEW_FILLED = _do(
        "No resin came out of the hole at the surface of the concrete.",
        f"Nobody knows how much of the rod the resin holds; none is filled in later: {_SET_ANEW}.",
    )
    SET_ANEW_IN_TIME = _do(
        "Resin had begun to stiffen.",
        f"Resin that stiffens no longer wets rod and concrete: {_SET_ANEW}.",
    )
    SAY_COLDEST = _do(
        "Nobody said how cold the concrete got until the resin had cured.",
        "Say coldest_until_cured_c, nights included; the temperature at setting does not tell it.",
        crew="Enter the coldest that the concrete was until the resin had cured, nights included; the temperature "
        "at setting does not tell it.",
    )
    SET_ANEW_WHEN_WARM = _do(
        "The concrete got to a temperature at which the resin has no curing time, or the water in the hole froze.",
        f"No bond is assessed for it: {_SET_ANEW}, when the concrete stays within the table.",
    )
    SAY_CURING = _do(
        "Nobody said how long the resin could cure.",
        "Say curing_minutes, from setting to tightening or loading, whichever came first.",
        crew="Enter how long it was from setting to tightening or loading, whichever came first.",
    )
    CURED_TOO_SHORT = _do(
        "Resin was tightened or loaded before it had cured.",
        "It was tightened or loaded before it had cured, which harms the bond for good: "
        f"{_SET_ANEW}, or have it proof-loaded and accepted by the engineer.",
    )
    SAY_HOLE_DIAMETER = _do(
        "Nobody said with which bit it was drilled, and it may be that of another fastener.",
        "Say hole_diameter_mm, the diameter of the bit that the holes were drilled with.",
        crew="Enter the diameter of the bit that the holes were drilled with.",
    )
    SET_ANEW_IN_RIGHT_HOLE = _do(
        "The hole is wider or narrower than the fastener needs.",
        f"It is not assessed in such a hole: {_SET_ANEW}, in a hole of {{hole_diameter_mm}} mm.",
        Quantity("hole_diameter_mm", "mm"),
    )
    SAY_ABORTED_HOLES = _do(
        "Nobody said whether holes were given up.",
        "Say aborted_holes: each aborted hole with its place and depth, or an empty list where there is none. Of a "
        "fastener that is missing or still to be set say its hole there, also one that a fastener sits in which is "
        "not used, or under undrilled_numbers that there is none; of one that was taken out and set anew elsewhere the "
        "hole that it left.",
        crew="Enter each aborted hole with its place and depth, or that there is none. Of an anchor that is "
        "missing or still to be set enter its hole too, also where an anchor sits in it, or that there is none; of one "
        "that was taken out and set anew elsewhere the hole that it left.",
    )
    SET_IN_NEW_HOLE = _do(
        "One that was set anew stands in the hole of the one that was taken out.",
        (
            (
                "Fastener {numbers}: if it stands in a hole of its own, say where (moved), and the old hole under "
                "aborted_holes. If it stands in the old one, take it out of use, fill the hole with high-strength "
                "grout and set a new one in a new hole, at a place that the engineer gives and has verified first."
            ),
            (
                "Stud {studs}: what is cast in is not set anew in its place, and nothing drilled replaces it before "
                "the engineer has had that verified."
            ),
        ),
        Quantity("numbers", "1"),
        Quantity("studs", "1"),
        crew=(
            (
                "Fastener {numbers}: if it stands in a hole of its own, enter where, and the old hole as an aborted "
                "one. If it stands in the old one, leave it out of use and ask the engineer for a new place; drill "
                "nothing before that is verified."
            ),
            "Stud {studs}: what is cast in is not set anew in its place. Ask the engineer.",
        ),
    )
    SAY_FIXTURE_HOLES = _do(
        "Holes in the fixture are wide, fasteners stand elsewhere, or a smaller one stands there, and nobody said how "
        "wide the holes are.",
        "The holes of the fixture are oversize, or were taken so as fasteners stand elsewhere than they let them, or a "
        "smaller one in holes made for the one that was ordered; whether head or nut spans them rests on a size that "
        "nobody told: say fixture_hole_diameter_mm, the widest, of slots the length; or say clearance, normal where "
        "they are as the table has them, filled once the gaps are filled as the assessment has it.",
        crew="Holes in the plate are wide or slotted, anchors stand elsewhere than they were to be, or are smaller "
        "than those were made for: measure the widest hole, of slots the length, and enter it. Gaps that are filled "
        "count as none: ask the engineer before any is.",
    )
    MOVE_FROM_HOLE = _do(
        "A filled hole is too near.",
        "The aborted hole at x {x_mm}, y {y_mm} mm: move fastener {number}, the nearest, farther away and have the new "
        "place verified, or ask the engineer.",
        Quantity("x_mm", "mm"),
        Quantity("y_mm", "mm"),
        Quantity("number", "1"),
    )
    FILL_HOLE = _do(
        "An empty hole is too near.",
        "The aborted hole at x {x_mm}, y {y_mm} mm: fill it with high-strength grout, let it harden and check "
        "again with refilled true, or move fastener {number}, the nearest, farther away and have the new place "
        "verified.",
        Quantity("x_mm", "mm"),
        Quantity("y_mm", "mm"),
        Quantity("number", "1"),
        crew="The aborted hole at x {x_mm}, y {y_mm} mm: fill it with high-strength grout, let it harden and have "
        "it checked again, or move fastener {number}, the nearest, farther away and have the new place verified.",
    )
    LENGTH_NOT_LISTED = _do(
        "The length that was fitted is none of the family's at the depth that it was set at.",
        "Either the engineer accepts the length that was fitted at the depth that it was set at, or new fasteners "
        "of a listed length are set in new holes.",
    )
    EMBEDMENT_NOT_ASSESSED = _do(
        "Nothing is assessed at the depth that was reached.",
        "What is that shallow stays out of use: a new fastener for each is set to its depth in a new hole.",
    )
    ATTACHED_ELSEWHERE = _do(
        "What stands on the fixture stands elsewhere than it was verified.",
        "Have what stands on the fixture put where it was verified, or give its load as it acts there, with its "
        "moments about the origin, and have the fixing verified anew.",
        crew="Tell the engineer where on the plate it stands: it is moved, or its load is verified anew.",
        concerns=Audience.ENGINEER,
    )
    SETTLE_REQUIREMENT = _do(
        "Another requirement of the verification is not met as built.",
        "Not met as built: {requirement}; its figures stand under unmet_requirements. The engineer decides whether "
        "it is put right, verified otherwise or taken out of use.",
        Term("requirement", AskedCode),
        crew="Not met as built: {requirement}. Ask the engineer whether it is put right or taken out of use.",
        concerns=Audience.ENGINEER,
    )
    OVERLOADED = _do(
        "A check is over as built.",
        "It is overloaded in {modes}: reduce the load, add a fixing that shares it, or size the place anew at "
        "/v1/sizings with the positions that can still be drilled.",
        Term("modes", Mode),
        crew="It is overloaded ({modes}): tell the engineer, who reduces the load, adds a fixing that shares it or "
        "has the place sized anew.",
        concerns=Audience.ENGINEER,
    )
    OUTSIDE_SCOPE = _do(
        "The method does not cover it as built.",
        "The method does not cover it as built, for what stands under scope_limits: have it designed by a licensed "
        "or chartered engineer.",
        crew="The method does not cover it as built: ask the engineer.",
        concerns=Audience.ENGINEER,
    )
