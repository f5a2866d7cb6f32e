"""How deep it was drilled and set, and what that leaves: embedment, thread, and the member behind the hole."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Any

from service.contract.wanted import Fixture, made
from service.site.as_built.model import TOLERANCE, Built, FoundOnSite, Requirement, bonded, has_head
from service.site.as_built.set_depth import below_tip_mm, effective_mm
from service.site.holes.depth_windows import EXPANDED_AT_THE_BOTTOM, Tolerances
from service.site.holes.needed import needed_hole_mm, tip_mm
from service.site.holes.remaining_thickness import least_behind_mm, too_little_behind
from service.verification.length import thread_range
from service.verification.selection import Selection
from service.verification.statements import rounded

MM3_PER_ML = 1000.0
AGREES_MM = 1.0
"""So far a set depth may be read beyond the depth of the hole, each by a tape; from memory."""
HEAD_AGREES_MM = 2.0
"""So far length, fixture and set depth, each measured, may disagree; from memory."""
NEW_HOLE = "drill a new hole to the full depth at the distance for aborted holes"


def reached_mm(
    selection: Selection, found: FoundOnSite, request: Mapping[str, Any], tolerances: Tolerances
) -> float | None:
    """The effective embedment that was reached.

    Args:
        selection: What the record's request chose.
        found: What was found by now.
        request: The request as built, with length and fixture as they are and the embedment of the record or of what
            was built.
        tolerances: How far depths may be off.

    Returns:
        The embedment (mm), the less of what set depth and hole allow; None where nothing was said of either.
    """
    values, row = found.values, selection.row
    reached = [float(values["embedment_mm"])] if "embedment_mm" in values else []
    if "hole_depth_mm" in values and row is not None:
        lacking = _lacking_mm(selection, found, request, tolerances)
        # A hole that is short by so much lets the fastener reach less deep by as much.
        if lacking > 0.0 or not reached:
            reached.append(float(row["depth"]["effective_mm"]) - lacking)
    return min(reached, default=None)


def _lacking_mm(selection: Selection, found: FoundOnSite, request: Mapping[str, Any], tolerances: Tolerances) -> float:
    """By how much the hole is too short (mm); what only takes room for dust is not counted where the depth is shown."""
    row, form = selection.row or {}, selection.family["form"]
    ordered, nominal = float(row["depth"]["hole_mm"]), float(row["depth"]["nominal_mm"])
    if selection.family["mechanism"] == "torque_controlled_expansion" and has_head(selection):
        # Its sleeve reaches as deep as its length has it, and needs as much room below it.
        length, clamped = request["fastener"]["length_mm"], made(Fixture, request["fixture"]).clamped_mm
        nominal = tip_mm(form, row, length, clamped)
        ordered = needed_hole_mm(form, row, length, clamped) or ordered
    hole = float(found.values["hole_depth_mm"])
    lacking = max(ordered - hole, 0.0)
    shown = "embedment_mm" in found.values or (has_head(selection) and found.values.get("head_seated") is True)
    of_bottom = selection.family["mechanism"] in EXPANDED_AT_THE_BOTTOM
    dust_only = shown and not of_bottom and hole >= nominal and lacking <= tolerances.hole_shorter_mm + TOLERANCE
    return 0.0 if dust_only else lacking


def assessed_embedment(selection: Selection, reached: float, tolerances: Tolerances) -> float:
    """The deepest assessed embedment that was reached.

    Args:
        selection: What was chosen.
        reached: The embedment that was reached (mm).
        tolerances: How far depths may be off: what a reading does not tell counts as reached.

    Returns:
        The assessed embedment (mm); what was reached, where none is that shallow.
    """
    depths = [float(row["depth"]["effective_mm"]) for row in selection.size["embedments"].values()]
    covered = [depth for depth in depths if depth <= reached + tolerances.reading_mm + TOLERANCE]
    found = max(covered, default=reached)
    return int(found) if found.is_integer() else found


def depth(built: Built) -> Iterator[Requirement]:
    """Hold the depth as built against what is assessed.

    Args:
        built: The work as built.

    Yields:
        What was found, where something was said of the depth.
    """
    verified = float(built.record.request["fastener"]["embedment_mm"])
    reached = reached_mm(built.verified, built.found, built.request, built.tolerances)
    yield from _in_hole(built)
    if reached is not None:
        yield _embedment(built, reached)
        # A bolt that was measured stands where it was measured, however short its hole.
        stands = float(built.found.values.get("embedment_mm", reached))
        if abs(stands - verified) > TOLERANCE:
            yield from _thread(built, stands)
    short = reached is not None and reached < verified - built.tolerances.reading_mm - TOLERANCE
    yield from _head(built, short=short)
    yield from _too_deep(built)


def _in_hole(built: Built) -> Iterator[Requirement]:
    """No fastener reaches deeper than its hole."""
    hole, tip = _read_mm(built, "hole_depth_mm"), _read_tip_mm(built)
    if hole is None or tip is None or tip <= hole + AGREES_MM + TOLERANCE:
        return
    yield Requirement(
        "set_depth_in_hole",
        False,
        f"a set depth of {tip:g} mm and a hole of {hole:g} mm can't both be: no fastener reaches deeper than its hole",
        rounded(tip),
        rounded(hole),
        "mm",
        None,
        "one of them was measured wrong: measure again how far it projects from the concrete, and check again",
    )


def _read_mm(built: Built, name: str) -> float | None:
    """A depth that was measured (mm), None where it was not, or only of fasteners in other holes."""
    code = {"hole_depth_mm": "hole_depth", "embedment_mm": "set_depth"}[name]
    if code not in built.found.said or name not in built.found.values:
        return None
    return float(built.given.get(name, built.found.values[name]))


def _read_tip_mm(built: Built) -> float | None:
    """How deep the end of the fastener was measured to be (mm), None where it was not."""
    now = effective_mm(built.verified, built.given)
    reached = _read_mm(built, "embedment_mm") if now is None else now
    return None if reached is None else reached + below_tip_mm(built.verified)


def more_resin_ml(built: Built) -> tuple[float, int] | None:
    """What more resin a hole takes that is deeper than assessed.

    Args:
        built: The work as built.

    Returns:
        By how much it is deeper (mm) and the resin (ml, rounded up); None where it is not, or needs no resin.
    """
    extra = _deeper_mm(built)
    if extra is None or not bonded(built.verified):
        return None
    diameter = float(built.verified.size["geometry"]["hole_diameter_mm"])
    return extra, math.ceil(math.pi / 4.0 * diameter**2 * extra / MM3_PER_ML)


def _embedment(built: Built, reached: float) -> Requirement:
    counts = float(built.request["fastener"]["embedment_mm"])
    known, met = ", ".join(built.verified.size["embedments"]), built.selection.row is not None
    if met and counts < reached - TOLERANCE:
        words = f"{reached:g} mm is not assessed; the shallower {counts:g} mm is, and is what was verified"
    elif met:
        words = f"{counts:g} mm is assessed and is what was verified"
        if counts > reached + TOLERANCE:
            words += f"; {reached:g} mm lacks no more of it than a tape leaves open"
    else:
        words = f"{reached:g} mm is less than any assessed embedment ({known} mm), so nothing can be verified for it"
    if "nominal_embedment_mm" in built.given:
        words = f"a set depth of {built.given['nominal_embedment_mm']:g} mm is {reached:g} mm effective; {words}"
    return Requirement(
        "embedment_reached", met, words, rounded(reached), known, "mm", built.verified.size_path("embedments"),
        None if met else f"{NEW_HOLE}, or have the fixing sized anew",
    )  # fmt: skip


def _thread(built: Built, stands: float) -> Iterator[Requirement]:
    """Whether the nut still finds thread: a bolt that projects farther or less clamps something else."""
    length, clamped = built.request["fastener"]["length_mm"], made(Fixture, built.request["fixture"]).clamped_mm
    if length is None or clamped is None:
        return
    serves = thread_range(built.verified, float(length), stands)
    if serves is None:
        return
    planned = float(built.record.request["fastener"]["embedment_mm"])
    if planned not in serves.listed_for_mm:
        planned = serves.listed_for_mm[-1]
    deeper = stands - planned
    # The limit of each length leaves its nut a few threads over.
    spare = deeper if 0.0 < deeper <= built.tolerances.set_deeper_mm + TOLERANCE else 0.0
    most = serves.most_mm + spare
    article = f"{float(length):g} mm ({built.record.answer['fastener']['article_code']})"
    words = f"{article} set at {stands:g} mm clamps up to {most:g} mm"
    met: bool | None = clamped <= most + TOLERANCE
    to_do = "the nut does not find its whole thread: fit a thinner fixture, or set a new fastener in a new hole"
    if met and clamped < serves.least_mm - TOLERANCE:
        met = None
        words += (
            f"; it projects {-deeper:g} mm farther than planned, so its nut has to run down {-deeper:g} mm farther, "
            f"and only {clamped:g} mm lies under it: its thread is not known to reach that far"
        )
        to_do = (
            f"{article} stays in the record as fitted; see that the nut runs on free thread down to the washer and the "
            "fixture is tight, without packing, and have the engineer accept this length at this depth; else set a new "
            "fastener in a new hole"
        )
    elif spare:
        words += f", {deeper:g} mm deeper than ordered, as the limit of a length leaves its nut a few threads over"
    yield Requirement(
        "thread_serves", met, words, rounded(clamped), rounded(most), "mm", built.verified.row_path("lengths"),
        None if met else to_do,
    )  # fmt: skip


def _head(built: Built, *, short: bool) -> Iterator[Requirement]:
    seated = built.found.values.get("head_seated")
    if not has_head(built.verified) or (seated is None and not short and not _short_of_tip(built)):
        return
    met, words, to_do = _SEATED[seated]
    contradicts = _contradicts_head(built) if seated else None
    if contradicts is not None:
        met, words = None, contradicts
        to_do = (
            "one of length, fixture, depth or head was measured wrong: measure them again; if it is that shallow, the "
            "head is not seated"
        )
    given = {True: "seated", False: "not seated", None: None}[seated]
    yield Requirement("head_seated", met, words, given, "seated", None, None, to_do)


def _contradicts_head(built: Built) -> str | None:
    """What was measured that a seated head leaves no room for, None where it all agrees."""
    length, clamped = built.request["fastener"]["length_mm"], made(Fixture, built.request["fixture"]).clamped_mm
    tip, hole, read = _tip_mm(built), built.found.values.get("hole_depth_mm"), _read_tip_mm(built)
    if tip is not None and hole is not None and hole < tip - built.tolerances.reading_mm - TOLERANCE:
        return f"a head seated on the fixture puts its tip {tip:g} mm deep, and the hole was said to be {hole:g} mm"
    if length is None or clamped is None or read is None:
        return None
    under_head = float(length) - clamped
    if abs(under_head - read) <= HEAD_AGREES_MM + TOLERANCE:
        return None
    return (
        f"a head seated on the fixture puts the end of {float(length):g} mm {under_head:g} mm deep, and the set depth "
        f"was said to be {read:g} mm"
    )


_SEATED: Mapping[bool | None, tuple[bool | None, str, str | None]] = MappingProxyType({
    True: (True, "the head is seated on the fixture", None),
    False: (
        False,
        "the head is not seated on the fixture: nothing is clamped, and the fastener bends",
        f"do not pack it: take it out, drill the hole to its depth or {NEW_HOLE}, and set it until its head is seated",
    ),
    None: (
        None,
        "hole or set depth is short of what its length needs, and nobody said whether its head is seated",
        "see whether the head is seated on the fixture without a gap, and say head_seated",
    ),
})


def _ordered_mm(built: Built) -> float | None:
    """The hole that a sheet of the record asks for (mm)."""
    return _needed_mm(built, built.record.request["fixture"], built.record.answer["fastener"]["length_mm"])


def _needed_as_built_mm(built: Built) -> float | None:
    return _needed_mm(built, built.request["fixture"], built.request["fastener"]["length_mm"])


def _needed_mm(built: Built, fixture: Mapping[str, Any], length: float | None) -> float | None:
    row = built.verified.row
    if row is None:
        return None
    return needed_hole_mm(built.verified.family["form"], row, length, made(Fixture, fixture).clamped_mm)


def _tip_mm(built: Built) -> float | None:
    row, length = built.verified.row, built.request["fastener"]["length_mm"]
    if row is None:
        return None
    return tip_mm(built.verified.family["form"], row, length, made(Fixture, built.request["fixture"]).clamped_mm)


def _short_of_tip(built: Built) -> bool:
    """Whether the hole, as said or as ordered, is shorter than the fastener with its head seated needs."""
    needed = _needed_as_built_mm(built)
    hole = built.found.values.get("hole_depth_mm", _ordered_mm(built))
    return needed is not None and hole is not None and hole < needed - TOLERANCE


def _hole_mm(built: Built) -> float | None:
    """How deep the hole is (mm): as said, or as ordered; where it was set deeper, deeper by as much."""
    row, values = built.verified.row, built.found.values
    if row is None or row["depth"]["hole_mm"] is None:
        return None
    assessed, verified = float(row["depth"]["hole_mm"]), float(built.record.request["fastener"]["embedment_mm"])
    beyond = max(float(values.get("embedment_mm", verified)) - verified, 0.0)
    if built.found.deepest_hole_mm is not None:
        # It is at least as deep as what stands in it.
        return max(built.found.deepest_hole_mm, float(row["depth"]["nominal_mm"]) + beyond if beyond else 0.0)
    return max(assessed + beyond, _ordered_mm(built) or 0.0, _needed_as_built_mm(built) or 0.0)


def _deeper_mm(built: Built) -> float | None:
    """By how much the hole is deeper than the assessed one (mm), None where it is not or nobody said."""
    hole = _hole_mm(built)
    if hole is None or built.verified.row is None:
        return None
    deeper = hole - float(built.verified.row["depth"]["hole_mm"])
    return deeper if deeper > TOLERANCE else None


def _too_deep(built: Built) -> Iterator[Requirement]:
    deeper, row = _deeper_mm(built), built.verified.row
    if deeper is None or row is None:
        return
    hole_mm, member_mm = float(row["depth"]["hole_mm"]) + deeper, float(built.request["member"]["thickness_mm"])
    behind = least_behind_mm(row)
    if behind is None:
        return
    left = member_mm - hole_mm
    read = built.found.deepest_hole_mm is not None
    met = not too_little_behind(row, member_mm, hole_mm - (built.tolerances.reading_mm if read else 0.0))
    measured = "" if read else ", as its length and set depth need,"
    reaches = f"leaves {left:g} mm of {member_mm:g} mm" if left > 0 else f"goes through the {member_mm:g} mm"
    yield Requirement(
        "remaining_thickness",
        met,
        f"a hole of {hole_mm:g} mm{measured} {reaches} of the member; the assessment leaves {behind:g} mm behind its "
        f"own hole of {float(row['depth']['hole_mm']):g} mm",
        rounded(left),
        rounded(behind),
        "mm",
        built.verified.row_path("limits", "member_thickness_min_mm"),
        None
        if met
        else "take it out of use: look at the far side for what broke out, fill the hole with high-strength grout, "
        f"and {NEW_HOLE}",
        decisive=True,
    )
    yield from _moved_by_depth(built, row, hole_mm)


def _moved_by_depth(built: Built, row: Mapping[str, Any], hole_mm: float) -> Iterator[Requirement]:
    """What sits at the bottom of its hole, or is cut from there, is not at its depth in too deep a hole."""
    found = _AT_DEPTH.get(built.verified.family["mechanism"])
    if found is None:
        return
    code, words = found
    least = float(row["depth"]["hole_mm"])
    most = least + built.tolerances.hole_deeper_mm
    met = hole_mm <= most + TOLERANCE
    at = f"at its depth, as {most:g} mm still counts" if met else f"not at its depth; the most is {most:g} mm"
    yield Requirement(
        code,
        met,
        f"{words}: in a hole of {hole_mm:g} mm it is {at}",
        rounded(hole_mm),
        rounded(most),
        "mm",
        built.verified.row_path("depth", "hole_mm"),
        None
        if met
        else f"do not pack the hole: drill a new one with a stop at {least:g} mm at the distance for aborted holes",
        decisive=True,
    )


_AT_DEPTH: Mapping[str, tuple[str, str]] = MappingProxyType({
    "deformation_controlled_expansion": ("sleeve_at_depth", "the sleeve rests on the bottom of the hole"),
    "undercut": ("undercut_at_depth", "the undercut is cut from the bottom of the hole"),
})
