"""Requirements: limits that are met or not, each with its figures and its sentence."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from service.contract.verification_codes.terms import (
    ApprovalStatus,
    ConcreteState,
    Consequence,
    Edge,
    Filling,
    FixtureFigure,
    HoleState,
    Importance,
    Redundancy,
    ToppingKind,
)
from service.words import Audience, Code, Meaning, Quantity, Severity, Term, Value, Verbatim

_BOUND = re.compile(r"_(min|max)(?=_|$)")
"""Part of a name that tells a limit from the figure that is held against it: ``edge_min_mm``, ``variation_max``."""


@dataclass(frozen=True, slots=True)
class Asked(Meaning):
    """Meaning of a requirement, with which of its figures is the one given and which the limit, where there is one."""

    given: str | None = None
    limit: str | None = None
    unit: str | None = None
    """Unit of both; None where they have none."""

    @property
    def compared(self) -> tuple[tuple[str, str], ...]:
        """The one given with the limit, and every figure with the least and the most of it."""
        names = [figure.name for figure in self.figures if isinstance(figure, Quantity)]
        bounds = ((_BOUND.sub("", name), name) for name in names)
        pairs = [(given, limit) for given, limit in bounds if given != limit and given in names]
        if self.given in names and self.limit in names:
            pairs.append((self.given, self.limit))
        return tuple(dict.fromkeys(pairs))

    def given_of(self, figures: Mapping[str, Value]) -> float | str | None:
        """The figure that is given; None where there is none, or several."""
        return _single(self.given, figures)

    def limit_of(self, figures: Mapping[str, Value]) -> float | str | None:
        """The figure that is allowed; None where there is none, or several."""
        return _single(self.limit, figures)


def _single(name: str | None, figures: Mapping[str, Value]) -> float | str | None:
    value = None if name is None else figures[name]
    if isinstance(value, tuple):
        return value[0] if len(value) == 1 else None
    return value


def asked(
    meaning: str,
    short: str,
    engineer: str | tuple[str, ...],
    *figures: Quantity | Term | Verbatim,
    given: str | None = None,
    limit: str | None = None,
    crew: str | tuple[str, ...] | None = None,
    concerns: Audience = Audience.ENGINEER,
) -> Asked:
    """State a requirement.

    Args:
        meaning: When it is given.
        short: What is wrong where it is not met, in a few words.
        engineer: Its sentence.
        *figures: Its figures.
        given: Name of the figure that the request gives.
        limit: Name of the one that is allowed.
        crew: Its sentence for crews.
        concerns: Who has to act where it is not met.

    Returns:
        The meaning; a requirement that is not met stops the work.
    """
    units = (each.unit for each in figures if isinstance(each, Quantity) and each.name in {given, limit})
    unit = next((unit for unit in units if unit != "1"), None)
    return Asked(meaning, engineer, crew, Severity.STOPS, concerns, figures, short, given, limit, unit)


_NOT_TOLD = (
    "not given of the fixture: {missing}; the forces that were found hold under a stiff plate only, and whatever these "
    "are, one {thickness_min_mm:.3g} mm thick would be stiff: "
)
_NOT_TOLD_TO_CREWS = "not told of the plate: {missing}; {thickness_min_mm:.3g} mm would be thick enough in any case: "

NEAR_EDGES = (Term("near_edges", Edge), Quantity("near_edge_numbers", "1"), Quantity("near_edges_mm", "mm"))
"""What is too near an edge, entry by entry: the edge, a fastener, how far that is; None: nothing."""
NEAR_PAIRS = (
    Quantity("near_first_numbers", "1"),
    Quantity("near_second_numbers", "1"),
    Quantity("near_spacings_mm", "mm"),
)
"""What stands too near each other, entry by entry: both fasteners of the pair and how far apart; None: nothing."""


def _least(meaning: str, short: str, engineer: str, name: str, crew: str, *more: Quantity | Term | Verbatim) -> Asked:
    """A distance (mm) that has to be at least so large; None is out of reach. More figures say where it is not."""
    given, limit = f"{name}_mm", f"{name}_min_mm"
    figures = Quantity(given, "mm"), Quantity(limit, "mm"), *more
    return asked(
        meaning,
        short,
        (f"{engineer} {{{given}}} mm, at least {{{limit}}} mm", f"{engineer} out of reach, at least {{{limit}}} mm"),
        *figures,
        given=given,
        limit=limit,
        crew=(
            f"{crew}: {{{given}}} mm, at least {{{limit}}} mm",
            f"{crew}: none within reach, at least {{{limit}}} mm",
        ),
        concerns=Audience.CREW,
    )


def _use(use: str, figure: Term | Verbatim, crew: str) -> Asked:
    """A use that the approval is for, with what the request says of its own."""
    return asked(
        f"Approved for {use} use only.",
        f"approved for {use} use only",
        f"the company's approval is for {use} use only; the fixing counts as {{{figure.name}}}",
        figure,
        crew=f"the company allows it only {crew}; here: {{{figure.name}}}",
    )


class AskedCode(Code):
    """A list of requirements."""

    says: Asked


class RequirementCode(AskedCode):
    """Requirements of rulebook, approval, assessment and method."""

    RULEBOOK_IN_FORCE = asked(
        "The rulebook is in force on the day of the assessment.",
        "rulebook not in force on the day",
        (
            "rulebook {version} is in force from {start} to {until}; assessed on {day}",
            "rulebook {version} is in force from {start} until further notice; assessed on {day}",
        ),
        Verbatim("version"),
        Verbatim("day"),
        Verbatim("start"),
        Verbatim("until"),
        given="day",
    )
    SITE_ABOVE_FLOOR = asked(
        "Enough is known of the site: its factors multiply to the rulebook's floor at least; given only where they "
        "do not.",
        "site below the floor of the rulebook",
        (
            (
                "improve the site first, and fix nothing before: its factors multiply to {product:.3g}, below the "
                "rulebook's floor of {floor}; not known: {unknown_titles}"
            ),
            (
                "improve the site first, and fix nothing before: its factors multiply to {product:.3g}, below the "
                "rulebook's floor of {floor}"
            ),
        ),
        Quantity("product", "1"),
        Quantity("floor", "1"),
        Verbatim("unknown"), Verbatim("unknown_titles"),
        given="product",
        limit="floor",
        crew=(
            "improve the site first, and fix nothing before; not known: {unknown_titles}",
            "improve the site first, and fix nothing before",
        ),
        concerns=Audience.CREW,
    )
    NOT_SUSPENDED = asked(
        "Nothing of the fixing is suspended for new work; given only where something is.",
        "suspended for new work",
        (
            "version {version} of the rulebook is suspended for new work since {since}: {reason}",
            "{family} {size} is suspended for new work since {since}: {reason}",
            "{family} is suspended for new work since {since}: {reason}",
        ),
        Verbatim("version"),
        Verbatim("family"),
        Verbatim("size"),
        Verbatim("since"),
        Verbatim("reason"),
    )
    APPROVAL_STATUS = asked(
        "The company approves the family or size, with or without a restriction.",
        "not approved by the company",
        (
            "the company's approval is: {status} ({reason}); use {replacement} instead",
            "the company's approval is: {status} ({reason})",
        ),
        Term("status", ApprovalStatus),
        Verbatim("reason"),
        Verbatim("replacement"),
        given="status",
    )
    APPROVAL_IN_FORCE = asked(
        "The day of the assessment is within the time of the approval.",
        "approval not in force on the day",
        (
            "approved from {start} to {until}; assessed on {day}",
            "approved from {start} until further notice; assessed on {day}",
        ),
        Verbatim("day"),
        Verbatim("start"),
        Verbatim("until"),
        given="day",
    )
    APPROVED_USE_REDUNDANT = _use(
        "redundant", Term("redundancy", Redundancy), "where other fixings take its load if it fails"
    )
    APPROVED_USE_NON_STRUCTURAL = _use(
        "non-structural", Term("importance", Importance), "where nobody could be hurt if it failed"
    )
    APPROVED_USE_TEMPORARY = asked(
        "Approved for temporary use only, which a request cannot show.",
        "approved for temporary use only",
        "the company's approval is for temporary use only, which a request cannot show",
        crew="the company allows it for temporary work only: ask the engineer",
    )
    APPROVED_USE_DRY_INTERNAL = _use("dry internal", Verbatim("exposure"), "in the dry, indoors")
    USE_NOT_EXCLUDED = asked(
        "The rulebook does not exclude what comes of it for people if it fails; given only for families that it "
        "excludes from some use.",
        "not for this use",
        "the rulebook excludes this family where {excluded}; here: {consequence}",
        Term("excluded", Consequence),
        Term("consequence", Consequence),
        crew="not allowed where {excluded}; here: {consequence}",
    )
    EMBEDMENT_ASSESSED = asked(
        "The assessment covers the embedment.",
        "depth not assessed",
        "h_ef {embedment_mm} mm; assessed for {size}: {assessed_mm} mm",
        Quantity("embedment_mm", "mm"),
        Quantity("assessed_mm", "mm"),
        Verbatim("size"),
        given="embedment_mm",
        limit="assessed_mm",
        crew="effective depth {embedment_mm} mm; assessed for size {size}: {assessed_mm} mm",
    )
    STRENGTH_COVERED = asked(
        "The assessment covers the strength of the concrete.",
        "strength of the concrete not covered",
        "f_ck {strength_mpa} MPa; assessed for {strength_min_mpa} to {strength_max_mpa} MPa",
        Quantity("strength_mpa", "MPa"),
        Quantity("strength_min_mpa", "MPa"),
        Quantity("strength_max_mpa", "MPa"),
        given="strength_mpa",
        crew="concrete strength {strength_mpa} MPa; assessed for {strength_min_mpa} to {strength_max_mpa} MPa",
    )
    STRENGTH_SHOWN = asked(
        "The strength of the concrete is shown; given only where it is not known.",
        "strength of the concrete not shown",
        "strength of the concrete to be shown, by its records or by tests: it was taken as {strength_class}, and "
        "may be less",
        Verbatim("strength_class"),
        limit="strength_class",
        crew="nobody knows how strong the concrete is: have it shown first, by its records or by tests; calculated "
        "as {strength_class}",
    )
    STATE_COVERED = asked(
        "The assessment covers cracked or uncracked concrete, as it is.",
        "state of the concrete not covered",
        "the concrete is {state}; assessed for {covered} concrete",
        Term("state", ConcreteState),
        Term("covered", ConcreteState),
        given="state",
        limit="covered",
        crew="the concrete is {state}; assessed: {covered}",
    )
    HOLE_COVERED = asked(
        "The assessment covers the condition of the hole.",
        "condition of the hole not covered",
        ("the hole is {hole}; assessed for holes that are {covered}", "the hole is {hole}; no hole is assessed"),
        Term("hole", HoleState),
        Term("covered", HoleState),
        given="hole",
        limit="covered",
        concerns=Audience.CREW,
    )
    HOLE_NOT_FROZEN = asked(
        "Resin is not set in a wet hole where water freezes, unless the assessment covers that by name; given only "
        "where it is.",
        "wet hole and frost",
        "the hole is {hole} and the concrete gets to {coldest_c} °C: water freezes at or below {freezing_c} °C, "
        "and the assessment does not cover resin in ice by name",
        Term("hole", HoleState),
        Quantity("coldest_c", "°C"),
        Quantity("freezing_c", "°C"),
        given="coldest_c",
        crew="the hole is {hole} and the concrete gets to {coldest_c} °C: no resin into a wet hole at or below "
        "{freezing_c} °C; dry the hole, or wait until the concrete stays warmer",
        concerns=Audience.CREW,
    )
    TIGHTENED_ON_CONCRETE = asked(
        "An anchor that its torque expands is tightened against concrete; given only where a topping stays, or off the "
        "concrete without a nut and washer on it.",
        "not tightened against the concrete",
        (
            (
                "the {topping} ({thickness_mm} mm) stays under the fixture: the anchor expands by its torque, which is "
                "assessed against concrete and not against what lies on it; take it off, or choose an anchor that no "
                "torque expands"
            ),
            (
                "the anchor expands by its torque, and {stand_off_mm} mm off the concrete there is nothing to tighten "
                "it against but a nut and washer on the concrete (washer_clamped), which need a thread there; have "
                "them, or choose an anchor that no torque expands"
            ),
        ),
        Term("topping", ToppingKind),
        Quantity("thickness_mm", "mm"),
        Quantity("stand_off_mm", "mm"),
        given="thickness_mm",
        crew=(
            (
                "the {topping} ({thickness_mm} mm) under the plate: this anchor may be tightened against concrete "
                "alone, so have it taken off down to the concrete"
            ),
            (
                "{stand_off_mm} mm off the concrete this anchor can be tightened only against a nut and washer on the "
                "concrete: without them it does not expand, whatever torque is read"
            ),
        ),
        concerns=Audience.CREW,
    )
    RESIN_CURES = asked(
        "The assessment has curing times for the coldest that the concrete gets; given only where it has none.",
        "too cold or too warm for the resin",
        "the concrete is {coldest_c} °C at its coldest until the resin has cured; its assessment has times from "
        "{temperature_min_c} to {temperature_max_c} °C only",
        Quantity("coldest_c", "°C"),
        Quantity("temperature_min_c", "°C"),
        Quantity("temperature_max_c", "°C"),
        given="coldest_c",
        crew="the concrete is {coldest_c} °C at its coldest: this resin is set and cures between "
        "{temperature_min_c} and {temperature_max_c} °C only",
        concerns=Audience.CREW,
    )
    REDUNDANT_USE = asked(
        "The assessment covers redundant use only.",
        "assessed for redundant use only",
        (
            ("assessed for redundant use only; the fixing counts as {redundancy}: {points} points, fasteners at "
            "each {fasteners_per_point}, action on each {action_kn:.4g} kN; assessed, in each list the first "
            "figures together, or the next: at least {points_needed} points, fasteners at each at least "
            "{fasteners_needed}, action on each at most {action_allowed_kn} kN"),
            ("assessed for redundant use only; the fixing counts as {redundancy}; assessed, in each list the first "
            "figures together, or the next: at least {points_needed} points, fasteners at each at least "
            "{fasteners_needed}, action on each at most {action_allowed_kn} kN"),
            "assessed for redundant use only; the fixing counts as {redundancy}",
        ),
        Term("redundancy", Redundancy),
        Quantity("points", "1"),
        Quantity("fasteners_per_point", "1"),
        Quantity("action_kn", "kN"),
        Quantity("points_needed", "1"),
        Quantity("fasteners_needed", "1"),
        Quantity("action_allowed_kn", "kN"),
        crew=(
            ("assessed only where other fixings take its load if it fails; here: {redundancy} ({points} points, "
            "{action_kn:.4g} kN each; needed, in each list the first figures together, or the next: "
            "{points_needed} points, at most {action_allowed_kn} kN each)"),
            "assessed only where other fixings take its load if it fails; here: {redundancy}",
        ),
    )
    TEMPERATURE_RANGE_COVERED = asked(
        "The assessment covers the temperature range.",
        "temperature range not covered",
        (
            "temperature range {range}; assessed in {state} concrete and a {hole} hole: {covered}",
            "temperature range {range}; none is assessed in {state} concrete and a {hole} hole",
        ),
        Verbatim("range"),
        Verbatim("covered"),
        Term("state", ConcreteState),
        Term("hole", HoleState),
        given="range",
        limit="covered",
    )
    MEMBER_THICKNESS = _least(
        "The member is at least as thick as h_min.",
        "concrete too thin",
        "member thickness h",
        "thickness",
        "concrete thickness",
    )
    EDGE_DISTANCE = _least(
        "Every edge is at least c_min away, or what a label allows; the lists say each that is nearer.",
        "edge too near",
        "nearest edge c",
        "edge",
        "distance to the nearest edge",
        *NEAR_EDGES,
    )
    SPACING = _least(
        "Fasteners are at least s_min apart, or what a label allows; the lists say each pair that is closer.",
        "fasteners too close",
        "smallest spacing s",
        "spacing",
        "distance between fasteners",
        *NEAR_PAIRS,
    )
    EDGE_WITH_SPACING = asked(
        "Edge distance and spacing together are one of the pairs that are assessed. edge_covered_mm is the least "
        "edge distance with this spacing, spacing_covered_mm the least spacing with this edge distance, null where "
        "none is covered; the lists say each edge and pair that is nearer.",
        "edge distance and spacing do not go together",
        (
            (
                "c {edge_mm} mm with s {spacing_mm} mm; assessed: c from {edge_min_mm} mm with s from "
                "{edge_min_spacing_mm} mm, or s from {spacing_min_mm} mm with c from {spacing_min_edge_mm} mm"
            ),
            (
                "c {edge_mm} mm, one fastener; assessed: c from {edge_min_mm} mm with s from "
                "{edge_min_spacing_mm} mm, "
                "or s from {spacing_min_mm} mm with c from {spacing_min_edge_mm} mm"
            ),
            (
                "no edge in reach, s {spacing_mm} mm; assessed: c from {edge_min_mm} mm with s from "
                "{edge_min_spacing_mm} mm, or s from {spacing_min_mm} mm with c from {spacing_min_edge_mm} mm"
            ),
            (
                "no edge in reach, one fastener; assessed: c from {edge_min_mm} mm with s from "
                "{edge_min_spacing_mm} mm, or s from {spacing_min_mm} mm with c from {spacing_min_edge_mm} mm"
            ),
        ),
        Quantity("edge_mm", "mm"),
        Quantity("spacing_mm", "mm"),
        Quantity("edge_min_mm", "mm"),
        Quantity("edge_min_spacing_mm", "mm"),
        Quantity("spacing_min_mm", "mm"),
        Quantity("spacing_min_edge_mm", "mm"),
        Quantity("edge_covered_mm", "mm"),
        Quantity("spacing_covered_mm", "mm"),
        *NEAR_EDGES,
        *NEAR_PAIRS,
        crew=(
            (
                "edge {edge_mm} mm with spacing {spacing_mm} mm: needs edge {edge_min_mm} mm or more with spacing "
                "{edge_min_spacing_mm} mm or more, or spacing {spacing_min_mm} mm or more with edge "
                "{spacing_min_edge_mm} mm or more"
            ),
            (
                "edge {edge_mm} mm: needs edge {edge_min_mm} mm or more with spacing {edge_min_spacing_mm} mm or "
                "more, "
                "or spacing {spacing_min_mm} mm or more with edge {spacing_min_edge_mm} mm or more"
            ),
            "no edge in reach, spacing {spacing_mm} mm: needs spacing {spacing_min_mm} mm or more",
            "no edge in reach, one fastener: needs no spacing",
        ),
        concerns=Audience.CREW,
    )
    OPEN_ENDS = asked(
        "Edges that are not given, and whose check governs also beyond the distance that is told for them, as in a "
        "thin and narrow member, would pass. Given only where they do not.",
        "end of the member not given",
        "{edges} not given: the check of the concrete edge there governs also beyond the distance that is told for "
        "them, with a utilisation of {utilisation:.3g}, at most {utilisation_max}; give where the member ends",
        Term("edges", Edge),
        Quantity("utilisation", "1"),
        Quantity("utilisation_max", "1"),
        given="utilisation",
        limit="utilisation_max",
        crew="where the concrete ends at {edges} was not told, and here it matters however far off: {utilisation:.3g} "
        "of what the edge holds, at most {utilisation_max}: ask the engineer",
    )
    NEIGHBOUR_SPACING = asked(
        "A fastener of another fixing is at least s_min away, the larger of ours and of its own; given for each.",
        "another anchor too near",
        "neighbour {neighbour} at x {x_mm}, y {y_mm} mm is {spacing_mm:.4g} mm from fastener {number}: at least "
        "{spacing_min_mm} mm",
        Quantity("neighbour", "1"),
        Quantity("number", "1"),
        Quantity("x_mm", "mm"),
        Quantity("y_mm", "mm"),
        Quantity("spacing_mm", "mm"),
        Quantity("spacing_min_mm", "mm"),
        given="spacing_mm",
        limit="spacing_min_mm",
        crew="other anchor {neighbour} at x {x_mm}, y {y_mm} mm is {spacing_mm:.4g} mm from anchor {number}: at "
        "least {spacing_min_mm} mm",
        concerns=Audience.CREW,
    )
    OLD_HOLE_DISTANCE = asked(
        "An old hole is as far from fasteners as the rulebook asks of an aborted one; given for each.",
        "old hole too near",
        "old hole {neighbour} at x {x_mm}, y {y_mm} mm is {distance_mm:.4g} mm from fastener {number}, {filling}: "
        "at least {distance_min_mm} mm",
        Quantity("neighbour", "1"),
        Quantity("number", "1"),
        Quantity("x_mm", "mm"),
        Quantity("y_mm", "mm"),
        Quantity("distance_mm", "mm"),
        Quantity("distance_min_mm", "mm"),
        Term("filling", Filling),
        given="distance_mm",
        limit="distance_min_mm",
        crew="old hole {neighbour} at x {x_mm}, y {y_mm} mm is {distance_mm:.4g} mm from anchor {number}, "
        "{filling}: at least {distance_min_mm} mm",
        concerns=Audience.CREW,
    )
    EXPOSURE_ALLOWED = asked(
        "The family may be used in the exposure.",
        "exposure not allowed",
        "exposure {exposure}; allowed: {allowed}",
        Verbatim("exposure"),
        Verbatim("allowed"),
        given="exposure",
        limit="allowed",
    )
    OVERHEAD_ALLOWED = asked(
        "The assessment covers setting overhead; given only where it does not.",
        "overhead setting not covered",
        "set overhead, which is not assessed",
        crew="its holes are drilled upwards, which is not assessed",
        concerns=Audience.CREW,
    )
    DRILLING_METHOD = asked(
        "The assessment covers the drilling method.",
        "drilling method not covered",
        "drilled by {drilling}; assessed: {assessed}",
        Verbatim("drilling"),
        Verbatim("assessed"),
        given="drilling",
        limit="assessed",
        concerns=Audience.CREW,
    )
    IMPACT_DRIVER_ALLOWED = asked(
        "The assessment allows an impact driver; given only where the site uses one.",
        "no impact wrench allowed",
        (
            "impact wrench allowed up to {impact_driver_torque_max_nm} N·m",
            "no impact wrench is assessed: tighten to {torque_nm} N·m with a calibrated torque wrench",
            "no impact wrench is assessed: set it by hand",
        ),
        Quantity("impact_driver_torque_max_nm", "Nm"),
        Quantity("torque_nm", "Nm"),
        limit="impact_driver_torque_max_nm",
        concerns=Audience.CREW,
    )
    LENGTH_LISTED = asked(
        "The length is one of the family's; as built, one whose thread still serves.",
        "no such length",
        (
            (
                "length {length_mm} mm is listed for h_ef {listed_for_mm} mm; set at {embedment_mm} mm its thread "
                "clamps {clamped_min_mm} to {clamped_max_mm} mm; fixture, grout and stand-off: {clamped_mm} mm"
            ),
            "length {length_mm} mm; lengths of this size and embedment: {lengths_mm} mm",
        ),
        Quantity("length_mm", "mm"),
        Quantity("lengths_mm", "mm"),
        Quantity("embedment_mm", "mm"),
        Quantity("listed_for_mm", "mm"),
        Quantity("clamped_mm", "mm"),
        Quantity("clamped_min_mm", "mm"),
        Quantity("clamped_max_mm", "mm"),
        given="length_mm",
        limit="lengths_mm",
        crew=(
            (
                "length {length_mm} mm, set {embedment_mm} mm deep (effective), clamps {clamped_min_mm} to "
                "{clamped_max_mm} mm; plate and grout together: {clamped_mm} mm"
            ),
            "length {length_mm} mm; lengths of this size and depth: {lengths_mm} mm",
        ),
        concerns=Audience.CREW,
    )
    FIXTURE_THICKNESS = asked(
        "The length clamps fixture, grout and stand-off, and a washer over a wide or filled hole of the fixture.",
        "plate too thick for the length",
        (
            (
                "fixture, grout and stand-off with a washer of {washer_mm} mm over each hole: {clamped_mm} mm; length "
                "{length_mm} mm clamps up to {clamped_max_mm} mm"
            ),
            "fixture, grout and stand-off: {clamped_mm} mm; length {length_mm} mm clamps up to {clamped_max_mm} mm",
            "fixture, grout and stand-off: {clamped_mm} mm; not limited by the length",
        ),
        Quantity("clamped_mm", "mm"),
        Quantity("clamped_max_mm", "mm"),
        Quantity("length_mm", "mm"),
        Quantity("washer_mm", "mm"),
        given="clamped_mm",
        limit="clamped_max_mm",
        crew=(
            (
                "plate and grout with a washer of {washer_mm} mm over each hole {clamped_mm} mm; a length of "
                "{length_mm} mm clamps up to {clamped_max_mm} mm"
            ),
            "plate and grout together {clamped_mm} mm; a length of {length_mm} mm clamps up to {clamped_max_mm} mm",
            "plate and grout together {clamped_mm} mm; the length sets no limit",
        ),
        concerns=Audience.CREW,
    )
    LENGTH_IN_CONCRETE = asked(
        "A stud that is welded to its plate reaches as deep into the concrete as assessed; given only where grout "
        "or a gap lies between plate and concrete.",
        "stud too short below the grout",
        "a stud of {length_mm} mm on a plate {gap_mm} mm off the concrete reaches {in_concrete_mm} mm into it, at "
        "least {in_concrete_min_mm} mm: cast the plate in flush with the concrete, or take fasteners that are "
        "drilled and set",
        Quantity("length_mm", "mm"),
        Quantity("gap_mm", "mm"),
        Quantity("in_concrete_mm", "mm"),
        Quantity("in_concrete_min_mm", "mm"),
        given="in_concrete_mm",
        limit="in_concrete_min_mm",
        crew="a stud {length_mm} mm long on a plate {gap_mm} mm off the concrete is only {in_concrete_mm} mm in "
        "the concrete, at least {in_concrete_min_mm} mm",
        concerns=Audience.CREW,
    )
    HOLE_LEAVES_MEMBER = asked(
        "Behind a hole that is deeper than the assessment's own, as the head of a long fastener has it, as much of "
        "the member is left as behind its own; given only for such holes.",
        "hole leaves too little concrete behind it",
        (
            (
                "length {length_mm} mm under its head, fixture, grout and stand-off {clamped_mm} mm: a hole of "
                "{hole_depth_mm} mm leaves {left_mm} mm of {thickness_mm} mm of the member, at least {left_min_mm} "
                "mm; where it leaves less, take a shorter length or pack the fixture"
            ),
            (
                "length {length_mm} mm under its head, the fixture not given and taken as thin: a hole of "
                "{hole_depth_mm} mm leaves {left_mm} mm of {thickness_mm} mm of the member, at least {left_min_mm} "
                "mm"
            ),
        ),
        Quantity("length_mm", "mm"),
        Quantity("clamped_mm", "mm"),
        Quantity("hole_depth_mm", "mm"),
        Quantity("thickness_mm", "mm"),
        Quantity("left_mm", "mm"),
        Quantity("left_min_mm", "mm"),
        given="left_mm",
        limit="left_min_mm",
        crew=(
            (
                "{length_mm} mm long, through {clamped_mm} mm of plate and grout: a hole of {hole_depth_mm} mm "
                "leaves {left_mm} mm of concrete behind it, at least {left_min_mm} mm; where it leaves less, take "
                "a shorter one or pack the plate"
            ),
            (
                "{length_mm} mm long, the plate not measured: a hole of {hole_depth_mm} mm leaves {left_mm} mm of "
                "concrete behind it, at least {left_min_mm} mm"
            ),
        ),
        concerns=Audience.CREW,
    )
    SET_THROUGH_PLATE = asked(
        "A fastener that is set through a plate, or welded to one, has one; given only where it has none.",
        "needs a plate, and there is none",
        "the family is set through its fixture and clamps it, or is welded to it: it does not hold as a bare rod",
        crew="it is set through a plate and clamps it, or is welded to one: it does not hold without a plate",
    )
    FASTENER_PASSES_FIXTURE = asked(
        "The fastener, and the bit where it is drilled through the fixture, go through the holes of the fixture; "
        "given only where their diameter is.",
        "holes of the plate too narrow",
        "holes of {fixture_hole_mm} mm in the fixture, at least {fixture_hole_min_mm} mm to go through",
        Quantity("fixture_hole_mm", "mm"),
        Quantity("fixture_hole_min_mm", "mm"),
        given="fixture_hole_mm",
        limit="fixture_hole_min_mm",
        crew="holes of {fixture_hole_mm} mm in the plate, at least {fixture_hole_min_mm} mm for it to go through",
    )
    HEAD_SPANS_HOLE = asked(
        "Head or nut do not go through the holes of the fixture; given only where they do. No washer is reckoned "
        "with: no assessment here has one that carries load over a hole.",
        "holes of the plate let the head through",
        "holes of {fixture_hole_mm} mm in the fixture, at most {fixture_hole_max_mm} mm: a head or nut "
        "{head_mm} mm across goes through; have plates with holes that fit welded over them",
        Quantity("fixture_hole_mm", "mm"),
        Quantity("fixture_hole_max_mm", "mm"),
        Quantity("head_mm", "mm"),
        given="fixture_hole_mm",
        limit="fixture_hole_max_mm",
        crew="holes of {fixture_hole_mm} mm in the plate, at most {fixture_hole_max_mm} mm: a head or nut "
        "{head_mm} mm across goes through; a washer alone does not do, ask the engineer",
        concerns=Audience.CREW,
    )
    ROOM_BESIDE_SECTION = asked(
        "Head or nut and a common washer lie flat beside what stands on the fixture; given only where they do not.",
        "no room for the nut beside what stands on the plate",
        "fastener {number} is {room_mm:.4g} mm from what stands on the fixture, at least {room_min_mm} mm for head or "
        "nut and washer: move it, or give what stands there as it is",
        Quantity("room_mm", "mm"),
        Quantity("room_min_mm", "mm"),
        Quantity("number", "1"),
        given="room_mm",
        limit="room_min_mm",
        crew="fastener {number} is {room_mm:.4g} mm from what stands on the plate, at least {room_min_mm} mm for head "
        "or nut and washer",
    )
    ROOM_FOR_NUTS = asked(
        "The open gap under the fixture has room for the nuts and washers that have to stand in it: on the concrete "
        "where washers are clamped to it, under the fixture where a fastener is pressed or its torque is that of the "
        "nut on the concrete; given only there.",
        "gap under the plate too low for the nuts",
        "{stand_off_mm} mm clear under the fixture, at least {stand_off_min_mm} mm for the nuts that stand in it on "
        "each fastener ({nuts}), each with its washer",
        Quantity("stand_off_mm", "mm"),
        Quantity("stand_off_min_mm", "mm"),
        Quantity("nuts", "1"),
        given="stand_off_mm",
        limit="stand_off_min_mm",
        crew="{stand_off_mm} mm clear under the plate, at least {stand_off_min_mm} mm for the nuts that stand in it on "
        "each fastener ({nuts}), each with its washer",
        concerns=Audience.CREW,
    )
    HOLE_EDGE_DISTANCE = asked(
        "Each clearance hole keeps its distance to the edge of the fixture.",
        "hole too near the edge of the plate",
        "centre of a clearance hole {hole_edge_mm} mm from the edge of the fixture, at least {hole_edge_min_mm} mm",
        Quantity("hole_edge_mm", "mm"),
        Quantity("hole_edge_min_mm", "mm"),
        given="hole_edge_mm",
        limit="hole_edge_min_mm",
        crew="centre of a hole {hole_edge_mm} mm from the edge of the plate, at least {hole_edge_min_mm} mm",
    )
    FIXTURE_STAYS_ELASTIC = asked(
        "The estimated stress of the fixture stays below yield: the method needs a stiff plate.",
        "plate bends too much",
        "estimated bending stress of the fixture {stress_mpa:.5g} MPa, yield {yield_mpa} MPa: the method needs a "
        "stiff plate; where it is over, take a thicker plate or have it stiffened and checked by an engineer",
        Quantity("stress_mpa", "MPa"),
        Quantity("yield_mpa", "MPa"),
        given="stress_mpa",
        limit="yield_mpa",
        crew="stress in the plate {stress_mpa:.4g} MPa, at most {yield_mpa} MPa; where it is over, do not fix "
        "it: ask "
        "the engineer for a stiffer plate, and have it verified again",
    )
    FIXTURE_STIFF_ENOUGH = asked(
        "The fixture bends no more than is negligible beside what its fasteners give way: the method needs a stiff "
        "plate.",
        "plate not stiff enough",
        "the fixture bends {deformation_mm:.3g} mm between its fasteners and what it carries, at most "
        "{deformation_max_mm:.3g} mm is negligible beside what the fasteners give way: the forces that were found "
        "hold under a stiff plate only; where it is over, take a thicker plate or ribs",
        Quantity("deformation_mm", "mm"),
        Quantity("deformation_max_mm", "mm"),
        given="deformation_mm",
        limit="deformation_max_mm",
        crew="the plate bends {deformation_mm:.3g} mm, at most {deformation_max_mm:.3g} mm; where it is over, do "
        "not fix it: ask the engineer for a stiffer plate, and have it verified again",
    )
    FIXTURE_SHOWN_STIFF = asked(
        "Where figures of the fixture are lacking, it is thick enough to be stiff whatever they are: what stands "
        "on it is taken as a point in its middle and as a leg along its rims, of a known size as an angle too, its "
        "steel as the weakest that is common.",
        "plate not shown to be stiff",
        (
            _NOT_TOLD + "this one has {thickness_mm} mm; where that is less, give them",
            _NOT_TOLD + "give them",
        ),
        Term("missing", FixtureFigure),
        Quantity("thickness_min_mm", "mm"),
        Quantity("thickness_mm", "mm"),
        given="thickness_mm",
        limit="thickness_min_mm",
        crew=(
            _NOT_TOLD_TO_CREWS + "it has {thickness_mm} mm; where that is less, ask the engineer",
            _NOT_TOLD_TO_CREWS + "ask the engineer",
        ),
    )
    CONTACT_PRESSURE = asked(
        "The mean pressure under the compressed part of the fixture stays within the design strength of the "
        "concrete, or of weaker grout; given only where it does not.",
        "fixture presses too hard on the concrete",
        "mean pressure under the compressed part of the fixture {pressure_mpa:.3g} MPa, at most "
        "{pressure_max_mpa:.3g} MPa, the design strength of what it bears on; where it is over, take a larger "
        "fixture or have the bearing designed by an engineer",
        Quantity("pressure_mpa", "MPa"),
        Quantity("pressure_max_mpa", "MPa"),
        given="pressure_mpa",
        limit="pressure_max_mpa",
        crew="the plate presses with {pressure_mpa:.3g} MPa, at most {pressure_max_mpa:.3g} MPa; where it is over, "
        "do not fix it: ask the engineer for a larger plate, and have it verified again",
    )
