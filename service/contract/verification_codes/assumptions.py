"""Assumptions: what is taken because a request does not say it, or what it states and has to be shown."""

from __future__ import annotations

from functools import partial

from service.contract.verification_codes.terms import ConcreteState, Consequence, Edge, HoleState, ToppingKind
from service.words import Audience, Code, Quantity, Severity, Term, Verbatim, means

taken = partial(means, severity=Severity.DECIDE)
"""An assumption: somebody has to decide or find out unless it says otherwise."""


REACH = (
    Quantity("reach_mm", "mm"),
    Quantity("reach_at_edge_mm", "mm"),
    Quantity("reach_no_deeper_mm", "mm"),
    Quantity("no_deeper_mm", "mm"),
)
"""Within which distances no other fastener stands: of any depth, at an edge, and known to be no deeper than ours."""


class AssumptionCode(Code):
    """What a request leaves open."""

    MATERIAL_NOT_GIVEN = taken(
        "Nothing was said of what the fixing is set into: solid normal-weight concrete was taken.",
        "Base material not given: taken as solid normal-weight concrete. In a hollow-core slab, lightweight or "
        "aerated concrete or masonry nothing of this holds",
        crew="Not said what the wall or slab is made of: taken as solid ordinary concrete. In a slab with hollow "
        "cores, in lightweight or aerated concrete, in bricks or blocks nothing of this holds",
        short="taken as solid ordinary concrete",
        concerns=Audience.CREW,
    )
    ASSESSED_ON_TODAY = taken(
        "No day was given: today was taken.",
        "No day given: assessed on {day}",
        Verbatim("day"),
        severity=Severity.KNOW,
    )
    STRENGTH_UNKNOWN = taken(
        "The strength of the concrete is not known: what the rulebook says was taken.",
        "Strength of the concrete not known: taken as {strength_class}",
        Verbatim("strength_class"),
        short="taken as {strength_class}; weaker concrete is not covered: have it tested",
    )
    STATE_UNKNOWN = taken(
        "The state of the concrete is not known: what the rulebook says was taken.",
        "State of the concrete not known: taken as {state}",
        Term("state", ConcreteState),
        crew="Not known whether the concrete is cracked: taken as {state}",
        short="taken as {state}",
    )
    UNCRACKED_TO_BE_SHOWN = taken(
        "Uncracked concrete was stated and has to be shown.",
        "Uncracked concrete was stated; it must be shown for the service life (EN 1992-4, 4.7)",
        crew="Uncracked concrete was stated; an engineer has to show it",
    )
    EDGES_OUT_OF_REACH = taken(
        "Edges that are not given were taken to be out of reach.",
        "Not given: {edges}. Taken as no edge, joint or opening within {edge_reach_mm:.6g} mm of a fastener",
        Term("edges", Edge),
        Quantity("edge_reach_mm", "mm"),
        crew="Check {edges}: no edge, joint or opening within {edge_reach_mm:.6g} mm of a fastener. If there is "
        "one, stop "
        "and report its distance",
        concerns=Audience.CREW,
    )
    EDGES_COUNT_ANYWHERE = taken(
        "The check of edges that are not given would govern also beyond the distance that is told for them, as in a "
        "thin and narrow member; it was left out, but what the group may carry ends where it is used up.",
        "Not given: {edges}. Their check governs also beyond the distance that is told for them, with a utilisation of "
        "{utilisation:.3g}; it was left out of the checks, but not of what the group may carry. Give where the member "
        "ends, or decide that it need not be made (EN 1992-4, 7.2.2.5)",
        Term("edges", Edge),
        Quantity("utilisation", "1"),
        crew="Where the concrete ends at {edges} was not told, and here it matters however far off: ask the engineer",
    )
    NEIGHBOURS_NOT_GIVEN = taken(
        "Nothing was said of neighbours: no fastener of another fixing was taken to be near enough to matter. One "
        "that is known to be no deeper than ours may stand nearer than one of which nobody knows.",
        (
            (
                "Neighbours not given. Taken as no other fastener within {reach_mm:.6g} mm of a fastener, both "
                "along x and along y, or within {reach_no_deeper_mm:.6g} mm where it is known to be no deeper than "
                "{no_deeper_mm:.6g} mm; and none within {reach_at_edge_mm:.6g} mm along or towards an edge"
            ),
            (
                "Neighbours not given. Taken as no other fastener within {reach_mm:.6g} mm of a fastener, both "
                "along x and along y, or within {reach_no_deeper_mm:.6g} mm where it is known to be no deeper than "
                "{no_deeper_mm:.6g} mm"
            ),
            (
                "Neighbours not given. Taken as no other fastener within {reach_mm:.6g} mm of a fastener, both "
                "along x and along y"
            ),
        ),
        *REACH,
        crew=(
            (
                "Look for other anchors. None may stand in the square that reaches {reach_no_deeper_mm:.6g} mm to "
                "each side of an anchor, nor within {reach_at_edge_mm:.6g} mm along or towards an edge; up to "
                "{reach_mm:.6g} mm only such as the engineer names as no deeper than {no_deeper_mm:.6g} mm by their "
                "assessment, which nobody can see on them. If another stands there, stop, measure where it is and "
                "report it"
            ),
            (
                "Look for other anchors. None may stand in the square that reaches {reach_no_deeper_mm:.6g} mm to "
                "each side of an anchor; up to {reach_mm:.6g} mm only such as the engineer names as no deeper than "
                "{no_deeper_mm:.6g} mm by their assessment, which nobody can see on them. If another stands there, "
                "stop, measure where it is and report it"
            ),
            (
                "Look for other anchors. None may stand in the square that reaches {reach_mm:.6g} mm to each side "
                "of an anchor. If one stands there, stop, measure where it is and report it"
            ),
        ),
        concerns=Audience.CREW,
    )
    NO_OTHER_NEIGHBOURS = taken(
        "Beside the neighbours that the request names, or where it says that there are none, no other fastener is "
        "near enough to matter. One that is known to be no deeper than ours may stand nearer than one of which "
        "nobody knows.",
        (
            (
                "No other fastener within {reach_mm:.6g} mm of a fastener, both along x and along y, or within "
                "{reach_no_deeper_mm:.6g} mm where it is known to be no deeper than {no_deeper_mm:.6g} mm; and "
                "none within {reach_at_edge_mm:.6g} mm along or towards an edge, as the request says"
            ),
            (
                "No other fastener within {reach_mm:.6g} mm of a fastener, both along x and along y, or within "
                "{reach_no_deeper_mm:.6g} mm where it is known to be no deeper than {no_deeper_mm:.6g} mm, as the "
                "request says"
            ),
            (
                "No other fastener within {reach_mm:.6g} mm of a fastener, both along x and along y, as the "
                "request says"
            ),
        ),
        *REACH,
        crew=(
            (
                "Look for other anchors. Beside those named here none may stand in the square that reaches "
                "{reach_no_deeper_mm:.6g} mm to each side of an anchor, nor within {reach_at_edge_mm:.6g} mm along or "
                "towards an edge; up to {reach_mm:.6g} mm only such as the engineer names as no deeper than "
                "{no_deeper_mm:.6g} mm by their assessment, which nobody can see on them. If another stands there, "
                "stop, measure where it is and report it"
            ),
            (
                "Look for other anchors. Beside those named here none may stand in the square that reaches "
                "{reach_no_deeper_mm:.6g} mm to each side of an anchor; up to {reach_mm:.6g} mm only such as the "
                "engineer names as no deeper than {no_deeper_mm:.6g} mm by their assessment, which nobody can see on "
                "them. If another stands there, stop, measure where it is and report it"
            ),
            (
                "Look for other anchors. Beside those named here none may stand in the square that reaches "
                "{reach_mm:.6g} mm to each side of an anchor. If one stands there, stop, measure where it is and "
                "report it"
            ),
        ),
        severity=Severity.KNOW,
        concerns=Audience.CREW,
    )
    NO_OLD_HOLES = taken(
        "No old hole was taken to be near enough to matter, but for those that the request names.",
        "No other old hole, open or filled, nearer to a fastener than {depth_factor:.6g} times its own depth or "
        "{hole_diameter_factor:.6g} times its diameter",
        Quantity("depth_factor", "1"),
        Quantity("hole_diameter_factor", "1"),
        crew="Look for old holes, filled ones too: but for those named here none nearer to an anchor than "
        "{depth_factor:.6g} times its own depth or {hole_diameter_factor:.6g} times its width. If there is one, or "
        "nobody knows how deep it is, stop, measure where it is and report it",
        concerns=Audience.CREW,
    )
    NEIGHBOUR_STATE_UNKNOWN = taken(
        "It is not known whether neighbours are loaded: each was taken to be as loaded as our worst fastener.",
        "Not known whether neighbours no. {neighbours} are loaded: each taken as loaded as the worst fastener of "
        "this fixing",
        Quantity("neighbours", "1"),
        crew="Not known whether the other anchors no. {neighbours} carry anything: each taken as loaded as the "
        "worst one here",
        short="taken as loaded as the worst fastener of this fixing",
    )
    NEIGHBOUR_DEPTH_UNKNOWN = taken(
        "It is not known how deep neighbours are: each was taken to need all the concrete that both would.",
        "Not known how deep neighbours no. {neighbours} are: taken as {embedment_mm:.6g} mm, and all concrete that "
        "both need as theirs",
        Quantity("neighbours", "1"),
        Quantity("embedment_mm", "mm"),
        crew="Not known how deep the other anchors no. {neighbours} are: taken as {embedment_mm:.6g} mm",
        short="taken as {embedment_mm:.6g} mm",
    )
    NEIGHBOUR_UNLOADED_TO_BE_SHOWN = taken(
        "Neighbours were stated to carry nothing, which has to be shown.",
        "Neighbours no. {neighbours} were stated to carry nothing; that they never will has to be shown",
        Quantity("neighbours", "1"),
        crew="That the other anchors no. {neighbours} carry nothing was stated; an engineer has to show that they "
        "never will",
    )
    OLD_HOLE_FILLED_TO_BE_SHOWN = taken(
        "Old holes were stated to be filled with high-strength grout, which has to be shown.",
        "Old holes no. {neighbours} were stated to be filled with high-strength grout that has hardened, which "
        "has to be shown",
        Quantity("neighbours", "1"),
        crew="Check that the old holes no. {neighbours} are filled with high-strength grout and that it is hard. "
        "If not, stop and report it",
        concerns=Audience.CREW,
    )
    TOPPING_NOT_GIVEN = taken(
        "No topping was named: the fixture was taken to lie on bare concrete.",
        "No topping named: the fixture taken to lie on bare concrete. Screed, plaster or insulation that stays "
        "under it counts as stand-off, and the fasteners bend in it; shims, nuts or grout below it are to be given too",
        crew="Look where it goes: nothing on it, no screed, plaster or insulation. If something lies there and stays, "
        "stop and report how thick it is",
        short="taken to lie on bare concrete",
        concerns=Audience.CREW,
    )
    TOPPING_COMES_OFF = taken(
        "What lies on the concrete was stated to come off: the fixture was taken to lie on bare concrete.",
        "{topping} of {thickness_mm:.6g} mm was stated to come off under the whole fixture, down to the concrete, "
        "before the hole is drilled; where it stays it counts as stand-off",
        Term("topping", ToppingKind),
        Quantity("thickness_mm", "mm"),
        crew="Take off what lies on the concrete, {topping} of {thickness_mm:.6g} mm, under the whole plate before "
        "drilling. If any of it stays, stop and report it",
        concerns=Audience.CREW,
    )
    REINFORCEMENT_UNKNOWN = taken(
        "The reinforcement is not known: no credit was given for it.",
        "Reinforcement not known: taken as close (no credit for wide spacing), no edge bar, cracks not held",
        crew="Reinforcement not known: no credit was taken for it",
        severity=Severity.KNOW,
    )
    REINFORCEMENT_SPACING_UNKNOWN = taken(
        "The spacing of the reinforcement is not known: it was taken as close.",
        "Spacing of the reinforcement not known: taken as close",
        severity=Severity.KNOW,
    )
    REINFORCEMENT_DIAMETER_UNKNOWN = taken(
        "The diameter of the reinforcement is not known: it was taken as over 10 mm.",
        "Diameter of the reinforcement not known: taken as over 10 mm",
        severity=Severity.KNOW,
    )
    EDGE_REINFORCEMENT_TO_BE_SHOWN = taken(
        "Edge bar and stirrups were stated; that they count has to be shown.",
        "Edge bar and stirrups were stated; they count only where the embedment is at least 2.5 times the cover of "
        "the edge bar, which has to be shown",
    )
    STIRRUP_SPACING_UNKNOWN = taken(
        "The spacing of the stirrups is not known: no credit was given for them.",
        "Spacing of the stirrups not known: no credit for edge reinforcement",
        severity=Severity.KNOW,
    )
    SITUATION_NOT_GIVEN = taken(
        "The design situation was taken as persistent.",
        "Design situation not given: taken as persistent",
        crew="Only loads of everyday use were taken, none of an accident",
        severity=Severity.KNOW,
    )
    ACCIDENTAL_TO_BE_SHOWN = taken(
        "An accidental design situation was stated: that everyday loads are carried too has to be shown.",
        "Accidental design situation as stated, with its smaller partial factors: it has to be shown that these loads "
        "are those of an accident alone, and that the same fixing also carries the loads of everyday use (persistent "
        "situation)",
        crew="Its loads are those of an accident alone, as was stated; an engineer has to show that, and that it "
        "carries the loads of everyday use too",
    )
    REDUNDANT_NOT_GIVEN = taken(
        "The use was taken as not redundant.",
        "Redundancy not given: taken as not redundant",
        crew="Not said whether other fixings take its load if it fails: taken as no",
        severity=Severity.KNOW,
    )
    REDUNDANT_TO_BE_SHOWN = taken(
        "Redundant use was stated and has to be shown.",
        (
            ("Redundant: {points} fixing points share the load, and {bridging_shown_by} has shown that the others "
            "carry the share of one that fails"),
            ("Redundant use was stated; that there are enough fixing points, each lightly loaded, and that the "
            "others carry the load of one that fails has to be shown"),
        ),
        Quantity("points", "1"),
        Verbatim("bridging_shown_by"),
        crew=(
            ("{points} fixing points share the load, and {bridging_shown_by} has shown that the others carry the "
            "share of one that fails"),
            "That other fixings take its load if it fails was stated; an engineer has to show it",
        ),
    )
    STRUCTURAL_NOT_GIVEN = taken(
        "The use was taken as structural.",
        "Not said whether the use is structural: taken as structural",
        crew="Not said whether anyone could be hurt if it failed: taken as yes",
        severity=Severity.KNOW,
    )
    CONSEQUENCE_OF_LOAD_MODEL = taken(
        "What the loads came from says more of what comes of it for people than the request does: both count.",
        "The loads come from {load_models}, so that besides what the request says this counts: {consequence}",
        Verbatim("load_models"),
        Term("consequence", Consequence),
        crew="What is held says so itself, whatever else was answered: {consequence}",
    )
    CONSEQUENCE_NOT_GIVEN = taken(
        "Nobody said whether people could be hurt if it failed: taken as yes; given only for families that are "
        "restricted for it.",
        "Not said whether people could be hurt if it failed: taken as yes",
    )
    NOBODY_HURT_TO_BE_SHOWN = taken(
        "It was stated that nobody could be hurt if it failed; given only for families that are restricted for it.",
        "It was stated that nobody could be hurt if it failed: it protects nobody from falling, lifts nothing and "
        "hangs over nobody",
    )
    OVERHEAD_NOT_GIVEN = taken(
        "The hole was taken to be drilled overhead.",
        "Not said whether the fixing is overhead: taken as overhead",
        crew="Not said whether the holes are drilled upwards: taken as yes",
        severity=Severity.KNOW,
    )
    EXPOSURE_UNKNOWN = taken(
        "The exposure is not known: what the rulebook says was taken.",
        "Exposure not known: taken as {exposure}",
        Verbatim("exposure"),
        short="taken as {exposure}",
    )
    HOLE_UNKNOWN = taken(
        "The condition of the hole is not known: what the rulebook says was taken.",
        (
            "Condition of the hole not known: taken as {hole}; not covered: {not_covered}",
            "Condition of the hole not known: taken as {hole}",
        ),
        Term("hole", HoleState),
        Term("not_covered", HoleState),
        crew=(
            (
                "Look into each hole before setting. Do not set where it is {not_covered}; drier than {hole} is "
                "no worse"
            ),
            "Hole not known: taken as {hole}; say how it is",
        ),
        short="taken as {hole}",
        concerns=Audience.CREW,
    )
    TEMPERATURE_RANGE_UNKNOWN = taken(
        "The temperature range is not known: what the rulebook says was taken.",
        (
            "Temperature range not given: taken as {range}",
            "Temperature range not given: taken as the least favourable that is assessed",
        ),
        Verbatim("range"),
        crew=(
            "Not known how warm the concrete gets: taken as {range}",
            "Not known how warm the concrete gets: the least favourable that is assessed was taken",
        ),
        short=("taken as {range}", "taken as the least favourable that is assessed"),
    )
    CLEARANCE_NOT_GIVEN = taken(
        "The clearance holes were taken as normal.",
        "Clearance holes not described: taken as no wider than normal. In wider or slotted ones not every fastener "
        "bears: give clearance or hole_diameter_mm",
        crew="Holes in the plate: taken as no wider than listed for the fastener, with the gap left open",
    )
    HOLES_FILLED_TO_BE_SHOWN = taken(
        "Filled clearance holes were stated; the filling has to be shown.",
        "Filled clearance holes were stated; the filling has to be shown",
        crew="Fill the gap between each fastener and its hole in the plate, not the drilled hole, with the "
        "filler that the "
        "engineer names, and record it",
        concerns=Audience.CREW,
    )
    ROTATION_NOT_GIVEN = taken(
        "The fixture was taken as free to rotate.",
        "Restraint of the fixture against rotation not given: taken as free",
        crew="Not said whether the plate is held against tilting: taken as free to tilt",
        severity=Severity.KNOW,
    )
    ROTATION_HELD_TO_BE_SHOWN = taken(
        "A fixture held against rotation was stated; what holds it has to be shown.",
        "A fixture held against rotation was stated; what holds it has to carry the moment of the restraint",
        crew="That the plate is held against tilting was stated; an engineer has to show what holds it",
    )
    GROUT_STRENGTH_UNKNOWN = taken(
        "The strength of the grout is not known: the fixture was taken not to bear on it.",
        "Strength of the grout not known: the fixture is taken not to bear on it",
        crew="Strength of the grout not known: taken to carry nothing",
        short="taken to carry nothing",
    )
    SUSTAINED_SHARE_NOT_GIVEN = taken(
        "The sustained share of a load case was taken as 1.",
        "Sustained share of '{load_case}' not given: taken as 1",
        Verbatim("load_case"),
        crew="Not said how much of the pull of load case {load_case} stays for long: taken as all of it",
        severity=Severity.KNOW,
    )
    ACTION_SUSTAINED_SHARE_NOT_GIVEN = taken(
        "The sustained share of a variable action was taken as 1.",
        "Sustained share of '{action}' not given: taken as 1",
        Verbatim("action"),
        crew="Not said how much of {action} stays for long: taken as all of it",
        severity=Severity.KNOW,
    )
    PSI_NOT_GIVEN = taken(
        "Combination factors ψ of a variable action were taken as 1.",
        "Combination factors of '{action}' not all given: those left out taken as 1, so that it acts in full "
        "beside others",
        Verbatim("action"),
        crew="Not said how likely {action} comes together with other loads: taken in full beside them",
        severity=Severity.KNOW,
    )
    SOURCE_NOT_GIVEN = taken(
        "A permanent action was taken to have a source of its own.",
        "Source of '{action}' not given: taken to be larger or smaller by itself",
        Verbatim("action"),
        severity=Severity.KNOW,
    )
    HOLDING_DOWN_NOT_GIVEN = taken(
        "A permanent action that does not say whether it holds down was taken as one that does.",
        "'{action}' does not say whether it holds down: taken as weight that does, counted {factor} times where it "
        "helps",
        Verbatim("action"),
        Quantity("factor", "1"),
        severity=Severity.KNOW,
    )
    LENGTH_CHOSEN = taken(
        "No length was given: the shortest that clamps was chosen.",
        "Length not given: {length_mm} mm is the shortest that clamps {clamped_mm} mm",
        Quantity("length_mm", "mm"),
        Quantity("clamped_mm", "mm"),
        crew="{length_mm} mm is the shortest fastener that reaches through {clamped_mm} mm of plate and grout",
        severity=Severity.KNOW,
    )
    LENGTH_NOT_CHOSEN = taken(
        "The thickness of the fixture is not known: no length was chosen.",
        "Thickness of the fixture not given: no length is chosen",
        crew="Thickness of the plate not given: no length is chosen",
    )
    SPLITTING_NOT_NEEDED = taken(
        "Splitting under load was not verified: edges and thickness make it unnecessary.",
        "Splitting under load was not verified: the edges are far enough and the member is thick enough "
        "(EN 1992-4, 7.2.1.7)",
        crew="Splitting of the concrete was not calculated: the edges are far enough and the concrete is thick "
        "enough (EN 1992-4, 7.2.1.7)",
        severity=Severity.KNOW,
    )
    SITE_CONDITION_UNKNOWN = (
        "{condition}_unknown",
        taken(
            "A site condition of the rulebook is not known: what the rulebook says was taken.",
            "{title}: not known, every resistance times {factor}",
            Verbatim("condition"),
            Verbatim("title"),
            Quantity("factor", "1"),
            crew="{title}: not known, every resistance times {factor}",
            short="every resistance times {factor}",
            concerns=Audience.CREW,
        ),
    )
