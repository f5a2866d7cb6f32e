"""Requirements of the work as built, beside those of the verification."""

from __future__ import annotations

from service.contract.as_built_codes.terms import (
    Cleaning,
    Counted,
    FoundBy,
    Head,
    HoleKnownBy,
    Mark,
    Measurement,
    ResinSeen,
    SetWithin,
    Sleeve,
    Weld,
)
from service.contract.verification_codes import Asked, AskedCode, Filling, HoleState
from service.contract.verification_codes.requirements import asked
from service.words import Audience, Quantity, Term, Verbatim


def _of_work(
    meaning: str,
    short: str,
    engineer: str | tuple[str, ...],
    *figures: Quantity | Term | Verbatim,
    given: str | None = None,
    limit: str | None = None,
    crew: str | tuple[str, ...] | None = None,
) -> Asked:
    """What the crew has to show of its work."""
    return asked(meaning, short, engineer, *figures, given=given, limit=limit, crew=crew, concerns=Audience.CREW)


def _at_depth(meaning: str, short: str, because: str) -> Asked:
    """What holds at its depth only where the hole ends there."""
    return _of_work(
        meaning,
        short,
        f"{because}: a hole of {{hole_depth_mm}} mm; {{hole_depth_max_mm}} mm is the most that still counts",
        Quantity("hole_depth_mm", "mm"),
        Quantity("hole_depth_max_mm", "mm"),
        given="hole_depth_mm",
        limit="hole_depth_max_mm",
    )


class AsBuiltRequirementCode(AskedCode):
    """Requirements of the work as built."""

    NOTHING_MEASURED = _of_work(
        "Something of the work was measured; given only where nothing ever was.",
        "nothing measured",
        "nothing was said of the work, so nothing of it is shown",
    )
    NOTHING_NEW_REPORTED = _of_work(
        "Something new was said of the work; given only where nothing was, and the record holds what was measured.",
        "nothing new reported",
        "nothing new was said of the work, so no more of it is shown than the record shows",
    )
    DECISIVE_NOT_MEASURED = _of_work(
        "What this kind of fastener turns on was measured; given only where something was not, once for each.",
        "not measured, and nothing is shown without it",
        (
            "nothing is shown of this kind of fastener without: {measurement} or {alternative}",
            "nothing is shown of this kind of fastener without: {measurement}",
        ),
        Term("measurement", Measurement),
        Term("alternative", Measurement),
    )
    TORQUE_NOT_READ = _of_work(
        "A torque was read where the assessment asks for one; given only where none was.",
        "no torque read",
        (
            "the assessment asks for {installation_torque_nm} N·m, and nobody has read a torque: not shown",
            "an impact wrench may be set to {torque_max_nm} N·m, and nobody has said what it was set to: not shown",
        ),
        Quantity("installation_torque_nm", "Nm"),
        Quantity("torque_max_nm", "Nm"),
        limit="installation_torque_nm",
        crew=(
            "{installation_torque_nm} N·m is asked for, and nobody has read a torque",
            "an impact wrench may be set to {torque_max_nm} N·m, and nobody has said what it was set to",
        ),
    )
    INSTALLATION_TORQUE = _of_work(
        "The torque read is the installation torque, or no more than an impact wrench may have.",
        "torque not as it has to be",
        (
            (
                "torque read {torque_nm} N·m; installation torque {installation_torque_nm} N·m, read between "
                "{torque_min_nm} and {torque_max_nm} N·m"
            ),
            ("torque read {torque_nm} N·m; installation torque {installation_torque_nm} N·m, the most that it may get"),
            (
                "impact wrench set to {torque_nm} N·m; no more than {torque_max_nm} N·m, which shows nothing "
                "until the head is seen seated"
            ),
            "the assessment gives no torque for an impact wrench, and an impact wrench shows none",
        ),
        Quantity("torque_nm", "Nm"),
        Quantity("installation_torque_nm", "Nm"),
        Quantity("torque_min_nm", "Nm"),
        Quantity("torque_max_nm", "Nm"),
        given="torque_nm",
        crew=(
            "torque read {torque_nm} N·m; it has to be between {torque_min_nm} and {torque_max_nm} N·m",
            "torque read {torque_nm} N·m; at most {installation_torque_nm} N·m",
            "impact wrench set to {torque_nm} N·m; at most {torque_max_nm} N·m, and the head has to be seated",
            "no impact wrench is allowed here, and an impact wrench shows no torque",
        ),
    )
    HEAD_SEATED = _of_work(
        "The head is seated on the fixture; given where it was said, or a short depth puts it in doubt.",
        "head not shown to be seated",
        (
            (
                "a head seated on the fixture puts the end of the fastener {tip_mm} mm deep, and the hole was "
                "said to be {hole_depth_mm} mm"
            ),
            (
                "a head seated on the fixture puts the end of the fastener {tip_mm} mm deep, and the set depth was "
                "said to be {set_depth_mm} mm"
            ),
            "the head is {head}",
            "hole or set depth is short of what its length needs, and nobody said whether its head is seated",
        ),
        Term("head", Head),
        Quantity("tip_mm", "mm"),
        Quantity("hole_depth_mm", "mm"),
        Quantity("set_depth_mm", "mm"),
        given="head",
    )
    HOLE_DIAMETER = _of_work(
        "The holes were drilled with the bit that the fastener needs.",
        "hole not of its diameter",
        (
            (
                "drilled with {hole_diameter_mm} mm; what stands there is assessed in a hole of "
                "{hole_diameter_needed_mm} mm and no other"
            ),
            (
                "another fastener stands there than was ordered, which needs a hole of {hole_diameter_needed_mm} "
                "mm, and nobody said with which bit it was drilled"
            ),
        ),
        Quantity("hole_diameter_mm", "mm"),
        Quantity("hole_diameter_needed_mm", "mm"),
        given="hole_diameter_mm",
        limit="hole_diameter_needed_mm",
        crew=(
            "drilled with Ø{hole_diameter_mm} mm; it needs Ø{hole_diameter_needed_mm} mm",
            "it needs a hole of Ø{hole_diameter_needed_mm} mm, and nobody said with which bit it was drilled",
        ),
    )
    SET_DEPTH_IN_HOLE = _of_work(
        "The fastener reaches no deeper than its hole; given only where it was said to.",
        "set deeper than its hole",
        "a set depth of {set_depth_mm} mm and a hole of {hole_depth_mm} mm can't both be: no fastener reaches "
        "deeper than its hole",
        Quantity("set_depth_mm", "mm"),
        Quantity("hole_depth_mm", "mm"),
        given="set_depth_mm",
        limit="hole_depth_mm",
    )
    EMBEDMENT_REACHED = _of_work(
        "The embedment that was reached is assessed, or a shallower one is.",
        "not set deep enough",
        (
            "a set depth of {set_depth_mm} mm is {reached_mm} mm effective; {counted_mm} mm counts, {why}",
            "{reached_mm} mm effective; {counted_mm} mm counts, {why}",
            (
                "a set depth of {set_depth_mm} mm is {reached_mm} mm effective, which is less than any assessed "
                "embedment ({assessed_mm} mm), so nothing can be verified for it"
            ),
            (
                "{reached_mm} mm is less than any assessed embedment ({assessed_mm} mm), so nothing can be "
                "verified for it"
            ),
        ),
        Quantity("reached_mm", "mm"),
        Quantity("set_depth_mm", "mm"),
        Quantity("counted_mm", "mm"),
        Term("why", Counted),
        Quantity("assessed_mm", "mm"),
        given="reached_mm",
        limit="assessed_mm",
        crew=(
            "set depth {set_depth_mm} mm: {reached_mm} mm of it hold; {counted_mm} mm counts, {why}",
            "{reached_mm} mm hold; {counted_mm} mm counts, {why}",
            "set depth {set_depth_mm} mm: only {reached_mm} mm of it hold, which is too little",
            "only {reached_mm} mm hold, which is too little",
        ),
    )
    THREAD_SERVES = _of_work(
        "The fitted length clamps the fixture at the depth that was reached.",
        "nut not on its whole thread",
        (
            (
                "{length_mm} mm ({article}) set at {embedment_mm} mm clamps up to {clamped_max_mm} mm; it "
                "projects {projects_mm} mm farther than planned, so its nut has to run down {projects_mm} mm "
                "farther, and only {clamped_mm} mm lies under it: its thread is not known to reach that far"
            ),
            (
                "{length_mm} mm ({article}) set at {embedment_mm} mm clamps up to {clamped_max_mm} mm, "
                "{deeper_mm} mm deeper than ordered, as the limit of a length leaves its nut a few threads over; "
                "fixture, grout and stand-off: {clamped_mm} mm"
            ),
            (
                "{length_mm} mm ({article}) set at {embedment_mm} mm clamps up to {clamped_max_mm} mm; fixture, "
                "grout and stand-off: {clamped_mm} mm"
            ),
        ),
        Quantity("clamped_mm", "mm"),
        Quantity("clamped_max_mm", "mm"),
        Quantity("length_mm", "mm"),
        Verbatim("article"),
        Quantity("embedment_mm", "mm"),
        Quantity("deeper_mm", "mm"),
        Quantity("projects_mm", "mm"),
        given="clamped_mm",
        limit="clamped_max_mm",
        crew=(
            (
                "{article}: it stands out {projects_mm} mm farther than planned, and only {clamped_mm} mm lies "
                "under its nut: nobody knows whether its thread reaches that far down"
            ),
            (
                "{article}: as deep as it was set it clamps up to {clamped_max_mm} mm; fixture, grout and "
                "stand-off: {clamped_mm} mm"
            ),
        ),
    )
    REMAINING_THICKNESS = _of_work(
        "What is left of the member behind too deep a hole is what the assessment leaves.",
        "too little concrete behind the hole",
        (
            (
                "a hole of {hole_depth_mm} mm ({known_by}) goes through the {thickness_mm} mm of the member, by "
                "{through_mm} mm; the assessment leaves {left_min_mm} mm behind its own hole of "
                "{assessed_hole_mm} mm"
            ),
            (
                "a hole of {hole_depth_mm} mm ({known_by}) leaves {left_mm} mm of {thickness_mm} mm of the "
                "member; the assessment leaves {left_min_mm} mm behind its own hole of {assessed_hole_mm} mm: "
                "what is lacking is no more than the {reading_mm} mm that a tape leaves open"
            ),
            (
                "a hole of {hole_depth_mm} mm ({known_by}) leaves {left_mm} mm of {thickness_mm} mm of the "
                "member; the assessment leaves {left_min_mm} mm behind its own hole of {assessed_hole_mm} mm: "
                "it is no more than the {allowed_mm} mm too deep that the rulebook allows"
            ),
            (
                "a hole of {hole_depth_mm} mm ({known_by}) leaves {left_mm} mm of {thickness_mm} mm of the "
                "member; the assessment leaves {left_min_mm} mm behind its own hole of {assessed_hole_mm} mm"
            ),
        ),
        Quantity("left_mm", "mm"),
        Quantity("left_min_mm", "mm"),
        Quantity("hole_depth_mm", "mm"),
        Term("known_by", HoleKnownBy),
        Quantity("thickness_mm", "mm"),
        Quantity("through_mm", "mm"),
        Quantity("reading_mm", "mm"),
        Quantity("allowed_mm", "mm"),
        Quantity("assessed_hole_mm", "mm"),
        given="left_mm",
        limit="left_min_mm",
        crew=(
            (
                "a hole of {hole_depth_mm} mm ({known_by}) goes through the {thickness_mm} mm of concrete, by "
                "{through_mm} mm"
            ),
            (
                "a hole of {hole_depth_mm} mm ({known_by}) leaves {left_mm} mm of concrete behind it; at least "
                "{left_min_mm} mm, and a tape leaves {reading_mm} mm open"
            ),
            (
                "a hole of {hole_depth_mm} mm ({known_by}) leaves {left_mm} mm of concrete behind it; at least "
                "{left_min_mm} mm, and a hole may be {allowed_mm} mm too deep"
            ),
            (
                "a hole of {hole_depth_mm} mm ({known_by}) leaves {left_mm} mm of concrete behind it; at least "
                "{left_min_mm} mm"
            ),
        ),
    )
    SLEEVE_AT_DEPTH = _at_depth(
        "The hole of a drop-in is no deeper than it may be, as its sleeve rests on the bottom.",
        "hole too deep for the sleeve",
        "the sleeve rests on the bottom of the hole",
    )
    UNDERCUT_AT_DEPTH = _at_depth(
        "The hole of an undercut is no deeper than it may be, as it is cut from the bottom.",
        "hole too deep for the undercut",
        "the undercut is cut from the bottom of the hole",
    )
    SLEEVE_EXPANDED = _of_work(
        "The setting tool met the sleeve of a drop-in with its shoulder; given where it was said.",
        "sleeve not expanded",
        "{sleeve}",
        Term("sleeve", Sleeve),
        given="sleeve",
    )
    SCREWED_IN = _of_work(
        "Bolt or rod is screwed into the sleeve as far as the assessment has it; given where it was measured.",
        "not screwed in as far as it has to be",
        (
            (
                "a bolt {bolt_length_mm} mm long under its head, with {clamped_mm} mm below that, is "
                "{screwed_in_mm} mm in its sleeve; the assessment has {screw_in_min_mm} to {screw_in_max_mm} mm"
            ),
            "a bolt {bolt_length_mm} mm long under its head, and nobody said how thick the fixture is",
            "screwed {screwed_in_mm} mm into the sleeve; the assessment has {screw_in_min_mm} to {screw_in_max_mm} mm",
        ),
        Quantity("screwed_in_mm", "mm"),
        Quantity("screw_in_min_mm", "mm"),
        Quantity("screw_in_max_mm", "mm"),
        Quantity("bolt_length_mm", "mm"),
        Quantity("clamped_mm", "mm"),
        given="screwed_in_mm",
        crew=(
            (
                "a bolt {bolt_length_mm} mm long under its head, with {clamped_mm} mm below that, is "
                "{screwed_in_mm} mm in its sleeve; it has to be {screw_in_min_mm} to {screw_in_max_mm} mm"
            ),
            "a bolt {bolt_length_mm} mm long under its head, and nobody said how thick the fixture is",
            "screwed {screwed_in_mm} mm into the sleeve; it has to be {screw_in_min_mm} to {screw_in_max_mm} mm",
        ),
    )
    MARK_SHOWS = _of_work(
        "The mark shows that an undercut fastener is expanded; given where it was said.",
        "mark does not show",
        "{mark}",
        Term("mark", Mark),
        given="mark",
    )
    WELD_TESTED = _of_work(
        "The weld of every stud was tested and passed; given where it was said.",
        "weld not tested, or not passed",
        "{weld}",
        Term("weld", Weld),
        given="weld",
    )
    MASONRY_UNCRACKED = _of_work(
        "No crack was seen in masonry; given only where one was.",
        "cracked wall",
        "cracks in masonry: pulls show walls without, and a cracked wall is not covered",
        crew="cracks in masonry: a cracked wall is not covered",
    )
    DRILLED_AS_ORDERED = _of_work(
        "Holes for resin were drilled as the sheet orders, whose cleaning is that of such holes; given only where they "
        "were drilled otherwise.",
        "drilled otherwise than ordered",
        "drilled by {drilling} where {ordered} was ordered: the cleaning that was ordered is not that of such a hole, "
        "and its wall holds resin otherwise",
        Verbatim("drilling"),
        Verbatim("ordered"),
        given="drilling",
        limit="ordered",
    )
    HOLE_CLEANED = _of_work(
        "The hole was cleaned in the steps of the assessment; given where it was said.",
        "hole not cleaned",
        "the hole was {cleaning} in the steps of the assessment",
        Term("cleaning", Cleaning),
        given="cleaning",
        crew="the hole was {cleaning} in the steps of the sheet",
    )
    SETTING_TEMPERATURE = _of_work(
        "The resin was set at a temperature of its table; given where it was measured.",
        "resin set too cold or too warm",
        "set at {temperature_c} °C; the resin may be set in concrete of {temperature_min_c} to {temperature_max_c} °C",
        Quantity("temperature_c", "°C"),
        Quantity("temperature_min_c", "°C"),
        Quantity("temperature_max_c", "°C"),
        given="temperature_c",
    )
    WORKING_TIME = _of_work(
        "It was set within the working time of the resin; given where it was said.",
        "resin had begun to stiffen",
        "{setting}",
        Term("setting", SetWithin),
        given="setting",
    )
    CURING_TIME = _of_work(
        "The resin had cured before it was tightened or loaded; given where it was said.",
        "resin not shown to have cured",
        (
            (
                "waited {curing_minutes} minutes; at least {curing_min_minutes} minutes at {coldest_c} °C, the "
                "coldest until then, in a {hole} hole"
            ),
            "at least {curing_min_minutes} minutes at {coldest_c} °C, the coldest until then, in a {hole} hole",
            (
                "at {coldest_c} °C, the coldest until then, the table has no curing time; it has "
                "{temperature_min_c} to {temperature_max_c} °C"
            ),
            "how long it has to cure goes by the coldest that the concrete was until then, which nobody took",
        ),
        Quantity("curing_minutes", "min"),
        Quantity("curing_min_minutes", "min"),
        Quantity("coldest_c", "°C"),
        Quantity("temperature_min_c", "°C"),
        Quantity("temperature_max_c", "°C"),
        Term("hole", HoleState),
        given="curing_minutes",
        limit="curing_min_minutes",
    )
    RESIN_FILLED = _of_work(
        "Resin came out of every hole, at the surface of the concrete, when the rod was set; given where it was said.",
        "hole not filled with resin",
        "{resin}",
        Term("resin", ResinSeen),
        given="resin",
    )
    FIXTURE_BEARS = _of_work(
        "What the fixture lies on was said; given only where its grout is thinner than it was verified and nobody said "
        "whether a gap is left.",
        "not said what the fixture lies on",
        "grout {thickness_mm} mm thick, verified with {verified_mm} mm: nobody said whether the fixture came down by "
        "as much or stands on packers over a gap, and the less favourable counts",
        Quantity("thickness_mm", "mm"),
        Quantity("verified_mm", "mm"),
        given="thickness_mm",
        limit="verified_mm",
        crew="grout {thickness_mm} mm thick, planned {verified_mm} mm: nobody said whether the plate came down by as "
        "much or stands on packers over a gap",
    )
    ATTACHED_IN_PLACE = _of_work(
        "What stands on the fixture stands where it was verified; given only where it stands elsewhere.",
        "what stands on the fixture is elsewhere",
        "what stands on the fixture stands elsewhere than it was verified, and its load with it",
    )
    ALL_SET = _of_work(
        "Every fastener is set; given only where some still are to be.",
        "not all set",
        "still to be set: fastener {numbers}; of these nothing is shown",
        Quantity("numbers", "1"),
    )
    ABORTED_HOLES_SAID = _of_work(
        "Whether holes were given up was said, and the hole of each fastener that is missing, still to be set or set "
        "anew elsewhere; given only where one is, or stands in another hole.",
        "aborted holes not said",
        "missing, still to be set, set anew, or in another hole than verified or checked before: fastener {numbers}; "
        "nobody said whether a hole was aborted for it, or that none was drilled, which weakens the concrete",
        Quantity("numbers", "1"),
    )
    SET_IN_NEW_HOLE = _of_work(
        "A fastener that was set anew stands in a new hole; given only where one stands in that of the one that was "
        "taken out, or nearer to it than a hole is wide.",
        "set anew in a used hole",
        "fastener {numbers} was set anew in the hole of the one that was taken out, or nearer to it than a hole is "
        "wide, where nothing is assessed: {removal}",
        Quantity("numbers", "1"),
        Verbatim("removal"),
        crew="fastener {numbers} was set anew in the old hole, or nearer to it than a hole is wide: {removal}",
    )
    ABORTED_HOLE_DISTANCE = _of_work(
        "Each aborted hole, of earlier checks too, is as far from fasteners as the rulebook asks.",
        "aborted hole too near",
        "the aborted hole at x {x_mm}, y {y_mm} mm is {distance_mm:.4g} mm from fastener {number}, {filling}: at "
        "least {distance_min_mm} mm",
        Quantity("x_mm", "mm"),
        Quantity("y_mm", "mm"),
        Quantity("number", "1"),
        Quantity("distance_mm", "mm"),
        Quantity("distance_min_mm", "mm"),
        Term("filling", Filling),
        given="distance_mm",
        limit="distance_min_mm",
    )
    STRENGTH_SHOWN = asked(
        "How far the strength that was found is shown, and whether it counts.",
        "strength of the concrete not shown",
        "{taken_mpa} MPa is taken, the lower of the {found_mpa} MPa that was found and the {verified_mpa} MPa that "
        "was verified; found by {found_by}",
        Quantity("taken_mpa", "MPa"),
        Quantity("found_mpa", "MPa"),
        Quantity("verified_mpa", "MPa"),
        Term("found_by", FoundBy),
        given="found_by",
    )
