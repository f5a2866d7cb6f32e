"""The codes of a sizing: why a choice ranks where it does, what stops a family, and what would let it pass."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from types import MappingProxyType

from service.contract.verification_codes import (
    REQUIREMENTS,
    SCOPE_LIMITS,
    AskedCode,
    ConcreteState,
    Edge,
    HoleState,
    Mechanism,
    Mode,
    ToppingKind,
)
from service.contract.verification_codes.requirements import asked
from service.words import Audience, Code, Meaning, Quantity, Severity, Term, Verbatim, means


class Setting(Code):
    """When the hole is drilled."""

    THROUGH_FIXTURE = "through_fixture", "through the fixture"
    BEFORE_FIXTURE = "before_fixture", "before the fixture"


class Removability(Code):
    """Whether a fastener can be taken out again."""

    REMOVABLE = "removable", "removable"
    NOT_REMOVABLE = "not_removable", "not removable"


class Availability(Code):
    """How soon a fastener is there."""

    STOCK = "stock", "in the company's stores"
    TO_ORDER = "to_order", "to be ordered"


class TorqueTool(Code):
    """What tightens or sets a fastener."""

    TORQUE_WRENCH = "torque_wrench", "torque wrench"
    IMPACT_WRENCH = "impact_wrench", "impact wrench"
    BY_HAND = "by_hand", "by hand"
    NONE = "none", "nothing"


_why = partial(means, severity=Severity.KNOW)


def _ahead(criterion: str, engineer: str, *figures: Quantity | Term) -> Meaning:
    return _why(
        f"It ranks ahead of another family: {criterion}.",
        f"Ahead of {{other}}: {engineer}",
        Verbatim("other"),
        *figures,
    )


def _behind(criterion: str, engineer: str, *figures: Quantity | Term) -> Meaning:
    return _why(
        f"It ranks behind another family: {criterion}.",
        f"Behind {{other}}: {engineer}",
        Verbatim("other"),
        *figures,
    )


def _both(name: str, unit: str) -> tuple[Quantity, Quantity]:
    """A figure of its own and that of the other."""
    return Quantity(name, unit), Quantity(f"other_{name}", unit)


_COUNTS = _both("fastener_count", "1")
_VOLUMES = _both("drilled_volume_cm3", "cm3")
_RANKS = _both("preference_rank", "1")
_USED = _both("utilisation", "1")
_THERE = Term("availability", Availability), Term("other_availability", Availability)

_BY_COUNT = "{fastener_count} against {other_fastener_count}"
_BY_VOLUME = "{drilled_volume_cm3:.3g} cm³ against {other_drilled_volume_cm3:.3g} cm³"
_BY_RANK = "rank {preference_rank} against rank {other_preference_rank}"
_BY_AVAILABILITY = "{availability}, the other {other_availability}"
_BY_USED = "{utilisation:.3g} against {other_utilisation:.3g}"
_EQUAL = "equal in every criterion, so by the order of the names"


class ReasonCode(Code):
    """Why a choice passes, ranks where it does and has this size."""

    PASSES = _why(
        "It passes; names the check that governs.",
        (
            (
                "Passes: {mode} at {edge} governs in load case '{load_case}', utilisation {utilisation:.3g} of "
                "{utilisation_max:.3g} allowed"
            ),
            (
                "Passes: {mode} governs in load case '{load_case}', utilisation {utilisation:.3g} of "
                "{utilisation_max:.3g} allowed"
            ),
        ),
        Term("mode", Mode),
        Verbatim("load_case"),
        Term("edge", Edge),
        *(Quantity(name, "1") for name in ("utilisation", "utilisation_max")),
        crew=(
            "Passes; nearest to its limit: {mode}, {edge}",
            "Passes; nearest to its limit: {mode}",
        ),
    )
    PASSES_UNLOADED = _why(
        "It passes, and no check is left, as the fasteners carry nothing.",
        "Passes: no check is left to make, the fasteners are not loaded",
    )
    ONLY_FAMILY = _why(
        "No other family passes.",
        "The only one of {families} families that passes; what stops each of the others is under rejected",
        Quantity("families", "1"),
        crew="The only one of {families} kinds of fastener that passes",
    )
    AHEAD_BY_FASTENER_COUNT = _ahead("it needs fewer fasteners", f"fewer fasteners, {_BY_COUNT}", *_COUNTS)
    AHEAD_BY_DRILLED_VOLUME = _ahead("less is taken out of the concrete", f"less to drill, {_BY_VOLUME}", *_VOLUMES)
    AHEAD_BY_PREFERENCE_RANK = _ahead("the company prefers it", f"preferred by the company, {_BY_RANK}", *_RANKS)
    AHEAD_BY_AVAILABILITY = _ahead("it is there sooner", _BY_AVAILABILITY, *_THERE)
    AHEAD_BY_UTILISATION = _ahead("less of its resistance is used", f"less of its resistance used, {_BY_USED}", *_USED)
    AHEAD_BY_NAME = _ahead("nothing but the name tells them apart", _EQUAL)
    BEHIND_BY_FASTENER_COUNT = _behind("it needs more fasteners", f"more fasteners, {_BY_COUNT}", *_COUNTS)
    BEHIND_BY_DRILLED_VOLUME = _behind("more is taken out of the concrete", f"more to drill, {_BY_VOLUME}", *_VOLUMES)
    BEHIND_BY_PREFERENCE_RANK = _behind(
        "the company prefers the other", f"less preferred by the company, {_BY_RANK}", *_RANKS
    )
    BEHIND_BY_AVAILABILITY = _behind("it is there later", _BY_AVAILABILITY, *_THERE)
    BEHIND_BY_UTILISATION = _behind(
        "more of its resistance is used", f"more of its resistance used, {_BY_USED}", *_USED
    )
    BEHIND_BY_NAME = _behind("nothing but the name tells them apart", _EQUAL)
    NEXT_SMALLER_FAILS = _why(
        "The next smaller of the family does not pass; its cause stands beside it.",
        "The next smaller of this family, {fastener_count} of size {size} with h_ef {embedment_mm} mm, does not pass",
        Quantity("fastener_count", "1"),
        Verbatim("size"),
        Quantity("embedment_mm", "mm"),
        crew="The next smaller of this kind, {fastener_count} of size {size}, effective depth {embedment_mm} mm, "
        "does not pass",
    )
    NOTHING_SMALLER = _why(
        "The family offers nothing smaller.",
        "Nothing smaller is offered in this family",
        crew="Nothing smaller is offered of this kind",
    )


_USED_AND_ALLOWED = Quantity("utilisation", "1"), Quantity("utilisation_max", "1")


class CauseCode(AskedCode):
    """What stops a family, beside the requirements and the limits of the method: a check, or a limit of the request."""

    MODE_OVER = (
        "{mode}",
        asked(
            "A check is over; the code is that of its mode.",
            "check over its resistance",
            (
                (
                    "{mode} at {edge} is over its resistance in load case '{load_case}': utilisation "
                    "{utilisation:.5g} of {utilisation_max:.5g} allowed"
                ),
                (
                    "{mode} is over its resistance in load case '{load_case}': utilisation {utilisation:.5g} of "
                    "{utilisation_max:.5g} allowed"
                ),
            ),
            Term("mode", Mode),
            Verbatim("load_case"),
            Term("edge", Edge),
            *_USED_AND_ALLOWED,
            given="utilisation",
            limit="utilisation_max",
            crew=(
                "{mode}, {edge}: the load is {utilisation:.5g} times what is allowed",
                "{mode}: the load is {utilisation:.5g} times what is allowed",
            ),
        ),
    )
    UTILISATION = asked(
        "Every check is passed, with more used than limits.utilisation allows.",
        "over limits.utilisation",
        (
            "{mode} at {edge} uses {utilisation:.5g}; limits.utilisation allows {utilisation_max:.5g}",
            "{mode} uses {utilisation:.5g}; limits.utilisation allows {utilisation_max:.5g}",
        ),
        Term("mode", Mode),
        Term("edge", Edge),
        *_USED_AND_ALLOWED,
        given="utilisation",
        limit="utilisation_max",
        crew=(
            "{mode}, {edge}: uses {utilisation:.5g}, where {utilisation_max:.5g} is asked for",
            "{mode}: uses {utilisation:.5g}, where {utilisation_max:.5g} is asked for",
        ),
    )
    MECHANISMS = asked(
        "limits.mechanisms does not name its mechanism.",
        "mechanism not asked for",
        "mechanism: {mechanism}; limits.mechanisms asks for {mechanisms}",
        Term("mechanism", Mechanism),
        Term("mechanisms", Mechanism),
        given="mechanism",
        limit="mechanisms",
        crew="{mechanism}; asked for: {mechanisms}",
    )
    FAMILIES = asked(
        "limits.families does not name it.",
        "family not asked for",
        "{family} is not among limits.families: {families}",
        Verbatim("family"),
        Verbatim("families"),
        given="family",
        limit="families",
        crew="{family}; asked for: {families}",
    )
    REMOVABLE = asked(
        "It can be taken out again where limits.removable asks for the contrary, or the other way round.",
        "other than limits.removable asks",
        "is {removable}; limits.removable asks for one that is {removable_asked}",
        Term("removable", Removability),
        Term("removable_asked", Removability),
        given="removable",
        limit="removable_asked",
        crew="is {removable}; asked for: {removable_asked}",
    )
    SETTING = asked(
        "It is set otherwise than limits.setting asks.",
        "not set as asked",
        "is set {setting}; limits.setting asks for {setting_asked}",
        Term("setting", Setting),
        Term("setting_asked", Setting),
        given="setting",
        limit="setting_asked",
        crew="is set {setting}; asked for: {setting_asked}",
    )
    HOLE_DIAMETER = (
        "hole_diameter_mm",
        asked(
            "Its hole is wider than limits.hole_diameter_mm.",
            "hole wider than allowed",
            "hole diameter {hole_diameter_mm} mm; limits.hole_diameter_mm allows {hole_diameter_max_mm} mm",
            Quantity("hole_diameter_mm", "mm"),
            Quantity("hole_diameter_max_mm", "mm"),
            given="hole_diameter_mm",
            limit="hole_diameter_max_mm",
            crew="hole of {hole_diameter_mm} mm diameter, at most {hole_diameter_max_mm} mm",
        ),
    )
    HOLE_DEPTH = (
        "hole_depth_mm",
        asked(
            "Its hole is deeper than limits.hole_depth_mm.",
            "hole deeper than allowed",
            "hole depth {hole_depth_mm} mm; limits.hole_depth_mm allows {hole_depth_max_mm} mm",
            Quantity("hole_depth_mm", "mm"),
            Quantity("hole_depth_max_mm", "mm"),
            given="hole_depth_mm",
            limit="hole_depth_max_mm",
            crew="hole {hole_depth_mm} mm deep, at most {hole_depth_max_mm} mm",
        ),
    )
    CAST_IN_NOT_ASKED_FOR = asked(
        "It is cast in, and limits name neither it nor its mechanism.",
        "cast in, and not asked for",
        "a {mechanism} suits only concrete that is still to be cast; name it in limits",
        Term("mechanism", Mechanism),
        given="mechanism",
        crew="a {mechanism} suits only concrete that is still to be cast",
    )
    NO_LAYOUT = asked(
        "No grid of the pattern lies on the member.",
        "no grid on the member",
        "no grid of the pattern lies on the member",
        crew="the holes would lie beyond the concrete",
    )


_change = partial(means, severity=Severity.DECIDE)


class RelaxationCode(Code):
    """What in the request, changed by itself, would let a rejected family pass."""

    UTILISATION = _change(
        "limits.utilisation may be higher.",
        "A utilisation of up to {utilisation} in place of {utilisation_max}",
        *_USED_AND_ALLOWED,
    )
    MECHANISM = _change(
        "limits.mechanisms may name one more.",
        "Allowing the mechanism {mechanism} beside {mechanisms}",
        Term("mechanism", Mechanism),
        Term("mechanisms", Mechanism),
    )
    FAMILIES = _change(
        "limits.families may name more.", "Naming them in limits.families: {families}", Verbatim("families")
    )
    REMOVABLE = _change(
        "limits.removable may be dropped.",
        "Dropping limits.removable, so that one is allowed that is {removable}",
        Term("removable", Removability),
        crew="Allowing one that is {removable}",
    )
    SETTING = _change(
        "limits.setting may be dropped.",
        "Dropping limits.setting, so that it may be set {setting}",
        Term("setting", Setting),
        crew="Allowing it to be set {setting}",
    )
    HOLE_DIAMETER = _change(
        "limits.hole_diameter_mm may be larger.",
        "Holes of {hole_diameter_mm} mm diameter in place of {hole_diameter_max_mm} mm at most",
        Quantity("hole_diameter_mm", "mm"),
        Quantity("hole_diameter_max_mm", "mm"),
    )
    HOLE_DEPTH = _change(
        "limits.hole_depth_mm may be larger.",
        "Holes {hole_depth_mm} mm deep in place of {hole_depth_max_mm} mm at most",
        Quantity("hole_depth_mm", "mm"),
        Quantity("hole_depth_max_mm", "mm"),
    )
    MORE_FASTENERS = _change(
        "The pattern may have more fasteners.",
        "{fastener_count} fasteners in place of {fastener_count_max} at most",
        Quantity("fastener_count", "1"),
        Quantity("fastener_count_max", "1"),
    )
    EDGE_FARTHER = _change(
        "An edge may be farther away.",
        "An edge farther away: {edge} {distance_mm} mm from the origin in place of {distance_given_mm} mm",
        Term("edge", Edge),
        Quantity("distance_mm", "mm"),
        Quantity("distance_given_mm", "mm"),
        crew="The edge ({edge}) {distance_mm} mm from the middle of the plate in place of {distance_given_mm} mm",
    )
    MEMBER_THICKNESS = _change(
        "The member may be thicker.",
        "A member {thickness_mm} mm thick in place of {thickness_given_mm} mm",
        Quantity("thickness_mm", "mm"),
        Quantity("thickness_given_mm", "mm"),
        crew="Concrete {thickness_mm} mm thick in place of {thickness_given_mm} mm",
    )
    FIXTURE_THICKNESS = _change(
        "The fixture may have another thickness.",
        "A fixture {thickness_mm} mm thick in place of {thickness_given_mm} mm",
        Quantity("thickness_mm", "mm"),
        Quantity("thickness_given_mm", "mm"),
        crew="A plate {thickness_mm} mm thick in place of {thickness_given_mm} mm",
    )
    GROUT_STRENGTH_KNOWN = _change(
        "The strength of the grout may be known.",
        "Knowing that the grout reaches {strength_mpa} MPa",
        Quantity("strength_mpa", "MPa"),
        crew="Grout known to reach {strength_mpa} MPa",
    )
    TOPPING_OFF = _change(
        "The topping may be taken off down to the concrete.",
        "Taking the {topping} off down to the concrete under the whole fixture",
        Term("topping", ToppingKind),
        crew="The {topping} taken off down to the concrete under the whole plate",
        concerns=Audience.CREW,
    )
    WASHER_CLAMPED = _change(
        "A nut and washer may clamp each fastener to the concrete under a fixture that stands off.",
        "A nut and washer tight against the concrete on each fastener",
        crew="A nut and washer on each fastener, tight against the concrete",
        concerns=Audience.CREW,
    )
    STATE_KNOWN = _change(
        "The state of the concrete may be known; any one of the words will do.",
        "Knowing that the concrete is {state}",
        Term("state", ConcreteState),
        crew="Concrete known to be {state}",
    )
    STRENGTH_SHOWN = _change(
        "The strength of the concrete may be shown.",
        "Showing that the concrete is at least {strength_class}",
        Verbatim("strength_class"),
        crew="Concrete shown to be at least {strength_class}",
    )
    HOLE_KNOWN = _change(
        "The condition of the hole may be known; any one of the words will do.",
        "Knowing the condition of the hole: {hole}",
        Term("hole", HoleState),
        crew="Holes known to be {hole}",
        concerns=Audience.CREW,
    )
    EXPOSURE_KNOWN = _change(
        "The exposure may be known; any one of the words will do.",
        "Knowing the exposure: {exposure}",
        Verbatim("exposure"),
        crew="Exposure known to be {exposure}",
    )
    TEMPERATURE_RANGE_KNOWN = _change(
        "The temperature range may be known; any one of the words will do.",
        "Knowing the temperature range: {range}",
        Verbatim("range"),
        crew="Temperature of the concrete known to be {range}",
    )
    NOT_OVERHEAD_KNOWN = _change(
        "It may be known that the fixing is not overhead.",
        "Knowing that the fixing is not overhead",
        crew="Holes known not to be drilled upwards",
        concerns=Audience.CREW,
    )


CAUSES: Mapping[str, Code] = MappingProxyType({
    code.value: code for code in (*REQUIREMENTS, *SCOPE_LIMITS, *Mode, *CauseCode) if code is not CauseCode.MODE_OVER
})
"""Every code that a cause may have."""
