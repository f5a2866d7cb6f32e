"""How deep it was drilled and set, and what that leaves: embedment, thread, and the member behind the hole."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

from service.contract.as_built_codes import AsBuiltRequirementCode, Counted, Head, HoleKnownBy, Measurement, ToDoCode
from service.contract.wanted import standing_in
from service.rulebook import Rulebook
from service.site.as_built.model import Built, FoundOnSite, Requirement, bonded, has_head, lengths_mm
from service.site.as_built.set_depth import below_tip_mm, effective_mm
from service.site.holes.depth_windows import EXPANDED_AT_THE_BOTTOM, Tolerances
from service.verification.aborted_hole import least_distance
from service.verification.fixture_holes import washer_mm
from service.verification.hole_depth import hole_leaves_member, least_behind_mm, needed_hole_mm, tip_mm
from service.verification.length import clamped_by, thread_range
from service.verification.selection import Selection
from service.verification.tolerance import keeps_mm, reaches_mm, same_mm
from service.words import Statement, Value
from service.words.units import up

MM3_PER_ML = 1000.0
AGREES_MM = 1.0
"""So far a set depth may be read beyond the depth of the hole, each by a tape; from memory."""
HEAD_AGREES_MM = 2.0
"""So far length, fixture and set depth, each measured, may disagree; from memory."""


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
    """By how much the hole is too short (mm) for the length that asks for most."""
    return max(_lacking_of(selection, found, request, tolerances, length) for length in lengths_mm(request))


def _lacking_of(
    selection: Selection,
    found: FoundOnSite,
    request: Mapping[str, Any],
    tolerances: Tolerances,
    length: float | None,
) -> float:
    """The same for one length; what only takes room for dust is not counted where the depth is shown."""
    row, form = selection.row or {}, selection.family["form"]
    ordered, nominal = float(row["depth"]["hole_mm"]), float(row["depth"]["nominal_mm"])
    if selection.family["mechanism"] == "torque_controlled_expansion" and has_head(selection):
        # Its sleeve reaches as deep as its length has it, and needs as much room below it.
        clamped = standing_in(request).clamped_mm
        nominal = tip_mm(form, row, length, clamped)
        ordered = needed_hole_mm(form, row, length, clamped) or ordered
    hole = float(found.values["hole_depth_mm"])
    lacking = max(ordered - hole, 0.0)
    shown = "embedment_mm" in found.values or (has_head(selection) and found.values.get("head_seated") is True)
    of_bottom = selection.family["mechanism"] in EXPANDED_AT_THE_BOTTOM
    dust_only = shown and not of_bottom and hole >= nominal and keeps_mm(lacking, tolerances.hole_shorter_mm)
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
    covered = [depth for depth in depths if keeps_mm(depth, reached + tolerances.reading_mm)]
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
        if not same_mm(stands, verified):
            for length in built.lengths_mm:
                yield from _thread(built, stands, length)
    short = reached is not None and not reaches_mm(reached, verified - built.tolerances.reading_mm)
    yield from _head(built, short=short)
    yield from _too_deep(built)


def _in_hole(built: Built) -> Iterator[Requirement]:
    """No fastener reaches deeper than its hole."""
    hole, tip = _read_mm(built, "hole_depth_mm"), _read_tip_mm(built)
    if hole is None or tip is None or keeps_mm(tip, hole + AGREES_MM):
        return
    yield Requirement(
        AsBuiltRequirementCode.SET_DEPTH_IN_HOLE,
        False,
        {"set_depth_mm": tip, "hole_depth_mm": hole},
        to_do=(Statement(ToDoCode.MEASURE_DEPTH_AGAIN),),
    )


def _read_mm(built: Built, name: str) -> float | None:
    """A depth that was measured (mm), None where it was not, or only of fasteners in other holes."""
    code = {"hole_depth_mm": Measurement.HOLE_DEPTH, "embedment_mm": Measurement.SET_DEPTH}[name]
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


def replace_shallow(built: Built, rulebook: Rulebook) -> Statement | None:
    """Say which fasteners are replaced, as they alone are too shallow, and how far new ones stand from their holes.

    Args:
        built: The work as built.
        rulebook: The rulebook, with the distance to aborted holes.

    Returns:
        What to do; None where nobody said which are shallow, or nothing is drilled.
    """
    shallow, hole, diameter = built.shallow, _hole_mm(built), built.verified.size["geometry"]["hole_diameter_mm"]
    if not shallow or hole is None or diameter is None:
        return None
    apart_mm = up(least_distance(rulebook, float(diameter), hole).distance_mm)
    return Statement(ToDoCode.REPLACE_SHALLOW, {"numbers": built.named(shallow), "apart_mm": apart_mm})


def _embedment(built: Built, reached: float) -> Requirement:
    counts, met = float(built.request["fastener"]["embedment_mm"]), built.selection.row is not None
    why = Counted.REACHED
    if not reaches_mm(counts, reached):
        why = Counted.SHALLOWER
    elif not keeps_mm(counts, reached):
        why = Counted.WITHIN_READING
    figures: dict[str, Value] = {
        "reached_mm": reached,
        "set_depth_mm": built.given.get("nominal_embedment_mm"),
        "counted_mm": counts if met else None,
        "why": why if met else None,
        "assessed_mm": tuple(float(depth) for depth in built.verified.size["embedments"]),
    }
    to_do = () if met else (Statement(ToDoCode.DRILL_TO_DEPTH),)
    path = built.verified.size_path("embedments")
    return Requirement(AsBuiltRequirementCode.EMBEDMENT_REACHED, met, figures, path, to_do)


def _thread(built: Built, stands: float, length: float | None) -> Iterator[Requirement]:
    """Whether the nut still finds thread: a bolt that projects farther or less clamps something else."""
    clamped = clamped_by(built.verified, built.fixture)
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
    spare = deeper if deeper > 0.0 and keeps_mm(deeper, built.tolerances.set_deeper_mm) else 0.0
    most = serves.most_mm + spare
    fits = keeps_mm(clamped, most)
    projects = -deeper if fits and not reaches_mm(clamped, serves.least_mm) else None
    article: dict[str, Value] = {
        "length_mm": float(length),
        "article": _article(built, length),
    }
    figures: dict[str, Value] = {
        "clamped_mm": clamped,
        "clamped_max_mm": most,
        **article,
        "embedment_mm": stands,
        "deeper_mm": spare or None,
        "projects_mm": projects,
    }
    met, to_do = fits, () if fits else (Statement(ToDoCode.THINNER_FIXTURE),)
    path = built.verified.row_path("lengths")
    if projects is None:
        yield Requirement(AsBuiltRequirementCode.THREAD_SERVES, met, figures, path, to_do)
    else:
        see = Statement(ToDoCode.SEE_FREE_THREAD, article)
        yield Requirement(AsBuiltRequirementCode.THREAD_SERVES, None, figures, path, (see,))


def _article(built: Built, length: float) -> str | None:
    """The article of a length, that of the record where the rules have none."""
    fitted = built.record.answer["fastener"]
    article: str | None = fitted["article_code"]
    if fitted["length_mm"] == length:
        return article
    entries = (entry for row in built.verified.size["embedments"].values() for entry in row["lengths"])
    return next((str(one["article_code"]) for one in entries if same_mm(float(one["length_mm"]), length)), article)


def _head(built: Built, *, short: bool) -> Iterator[Requirement]:
    seated = built.found.values.get("head_seated")
    if not has_head(built.verified) or (seated is None and not short and not _short_of_tip(built)):
        return
    code, figures = AsBuiltRequirementCode.HEAD_SEATED, _no_contradiction()
    if seated is None:
        yield Requirement(code, None, figures, to_do=(Statement(ToDoCode.SEE_HEAD),))
    elif not seated:
        figures["head"] = Head.NOT_SEATED
        yield Requirement(code, False, figures, to_do=(Statement(ToDoCode.SEAT_HEAD),))
    else:
        contradicts = _contradicts_head(built)
        figures |= {"head": Head.SEATED, **contradicts}
        to_do = (Statement(ToDoCode.MEASURE_HEAD_AGAIN),) if contradicts else ()
        yield Requirement(code, None if contradicts else True, figures, to_do=to_do)


def _no_contradiction() -> dict[str, Value]:
    return {"head": None, "tip_mm": None, "hole_depth_mm": None, "set_depth_mm": None}


def _contradicts_head(built: Built) -> dict[str, Value]:
    """What was measured that a seated head leaves no room for (mm); nothing where it all agrees."""
    lengths, clamped = built.lengths_mm, built.fixture.clamped_mm
    tip, hole, read = _tip_mm(built), built.found.values.get("hole_depth_mm"), _read_tip_mm(built)
    if tip is not None and hole is not None and not reaches_mm(hole, tip - built.tolerances.reading_mm):
        return {"tip_mm": tip, "hole_depth_mm": hole}
    under_heads = [length - clamped for length in lengths if length is not None and clamped is not None]
    # A washer over a wide hole takes of the length what it is thick; of one that nobody measured, as much as it may be.
    over = washer_mm(built.fixture, built.verified)
    thin = over if built.fixture.washer_thickness_mm is not None else 0.0
    agree = (keeps_mm(one - over - HEAD_AGREES_MM, read) and keeps_mm(read, one - thin + HEAD_AGREES_MM)
             for one in under_heads if read is not None)  # fmt: skip
    if read is None or not under_heads or any(agree):
        return {}
    return {"tip_mm": under_heads[0], "set_depth_mm": read}


def _ordered_mm(built: Built) -> float | None:
    """The hole that a sheet of the record asks for (mm)."""
    return _needed_mm(built, built.record.request, built.record.answer["fastener"]["length_mm"])


def _needed_as_built_mm(built: Built) -> float | None:
    needed = (_needed_mm(built, built.request, length) for length in built.lengths_mm)
    return max((one for one in needed if one is not None), default=None)


def _needed_mm(built: Built, request: Mapping[str, Any], length: float | None) -> float | None:
    row = built.verified.row
    if row is None:
        return None
    return needed_hole_mm(built.verified.family["form"], row, length, standing_in(request).clamped_mm)


def _tip_mm(built: Built) -> float | None:
    row, form = built.verified.row, built.verified.family["form"]
    if row is None:
        return None
    return max(tip_mm(form, row, length, built.fixture.clamped_mm) for length in built.lengths_mm)


def _short_of_tip(built: Built) -> bool:
    """Whether the hole, as said or as ordered, is shorter than the fastener with its head seated needs."""
    needed = _needed_as_built_mm(built)
    hole = built.found.values.get("hole_depth_mm", _ordered_mm(built))
    return needed is not None and hole is not None and not reaches_mm(hole, needed)


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
    return None if keeps_mm(deeper, 0.0) else deeper


def _too_deep(built: Built) -> Iterator[Requirement]:
    deeper, row = _deeper_mm(built), built.verified.row
    if deeper is None or row is None:
        return
    hole_mm = float(row["depth"]["hole_mm"]) + deeper
    behind = least_behind_mm(row)
    if behind is None:
        return
    read = built.found.deepest_hole_mm is not None
    needed = _needed_as_built_mm(built)
    if read or needed is None or not keeps_mm(hole_mm, needed):
        # The hole that the fitted length asks for is a requirement of the verification itself.
        yield _behind(built, row, hole_mm, behind, read=read)
    yield from _moved_by_depth(built, row, hole_mm)


def _behind(built: Built, row: Mapping[str, Any], hole_mm: float, behind: float, *, read: bool) -> Requirement:
    """What a hole that was measured or ordered leaves behind it."""
    member_mm = float(built.request["member"]["thickness_mm"])
    left = 0.0 if same_mm(member_mm, hole_mm) else member_mm - hole_mm
    reading_mm = built.tolerances.reading_mm if read else 0.0
    by_tape = hole_leaves_member(row, member_mm, hole_mm - reading_mm)
    # A hole is never to the millimetre: within what the rulebook allows it counts as the assessment's own.
    assessed_mm = float(row["depth"]["hole_mm"])
    within = read and keeps_mm(hole_mm - assessed_mm, built.tolerances.hole_deeper_mm)
    met = by_tape or (within and hole_leaves_member(row, member_mm, assessed_mm))
    forgiven = met and not hole_leaves_member(row, member_mm, hole_mm)
    figures: dict[str, Value] = {
        "left_mm": left,
        "left_min_mm": behind,
        "hole_depth_mm": hole_mm,
        "known_by": HoleKnownBy.MEASURED if read else HoleKnownBy.NEEDED,
        "thickness_mm": member_mm,
        "through_mm": -left if left < 0 else None,
        "reading_mm": reading_mm if forgiven and by_tape else None,
        "allowed_mm": built.tolerances.hole_deeper_mm if forgiven and not by_tape else None,
        "assessed_hole_mm": assessed_mm,
    }
    to_do = () if met else (Statement(ToDoCode.GROUT_AND_DRILL_ANEW),)
    path = built.verified.row_path("limits", "member_thickness_min_mm")
    return Requirement(AsBuiltRequirementCode.REMAINING_THICKNESS, met, figures, path, to_do, decisive=True)


def _moved_by_depth(built: Built, row: Mapping[str, Any], hole_mm: float) -> Iterator[Requirement]:
    """What sits at the bottom of its hole, or is cut from there, is not at its depth in too deep a hole."""
    code = _AT_DEPTH.get(built.verified.family["mechanism"])
    if code is None:
        return
    least = float(row["depth"]["hole_mm"])
    most = least + built.tolerances.hole_deeper_mm
    met = keeps_mm(hole_mm, most)
    figures = {"hole_depth_mm": hole_mm, "hole_depth_max_mm": most}
    to_do = () if met else (Statement(ToDoCode.DRILL_WITH_STOP, {"hole_depth_mm": least}),)
    yield Requirement(code, met, figures, built.verified.row_path("depth", "hole_mm"), to_do, decisive=True)


_AT_DEPTH: Mapping[str, AsBuiltRequirementCode] = {
    "deformation_controlled_expansion": AsBuiltRequirementCode.SLEEVE_AT_DEPTH,
    "undercut": AsBuiltRequirementCode.UNDERCUT_AT_DEPTH,
}
