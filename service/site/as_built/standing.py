"""What stands there: the fastener that was set in place of the one that was ordered, and those that are missing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from service.contract.as_built_codes import AsBuiltCautionCode, AsBuiltRequirementCode, ToDoCode
from service.contract.wanted import PulledFastener
from service.rulebook import Rulebook
from service.site.as_built.model import Built, Record, Requirement
from service.site.holes.depth_windows import Tolerances, tolerances_of
from service.verification.fixture_holes import widest_mm
from service.verification.refusal import Refusal, RefusedRequest
from service.verification.selection import Selection, select
from service.verification.tolerance import keeps_mm, same_mm
from service.words import Statement

PLACE = "#/as_built"


def as_it_stands(record: Record, given: Mapping[str, Any], rulebook: Rulebook) -> Record:
    """The record with the fastener that stands there in place of the one that was ordered.

    Args:
        record: The record, found to be true.
        given: What was said of the work, without nulls.
        rulebook: Its rulebook.

    Returns:
        The record itself where what was ordered stands there. Else its embedment is the deepest that the set depth
        or the hole reaches, the shallowest of all where nobody said, and its length the one that was said.

    Raises:
        RefusedRequest: The rulebook has no such fastener, or pulls show another one.
    """
    ordered, installed = record.request["fastener"], given.get("installed")
    if installed is None or all(installed[name] == ordered[name] for name in ("family", "size")):
        return record
    selection = _selected(installed, rulebook)
    if record.request.get("site_test") is not None:
        words = "pulls on site show what was pulled, not another fastener: have it verified anew"
        raise RefusedRequest(Refusal(f"{PLACE}/installed", "conflict", words, {"fields": ["site_test"]}))
    row = _row_reached(selection, given, tolerances_of(rulebook))
    length = given["length_mm"]
    articles = {entry["length_mm"]: entry["article_code"] for entry in row["lengths"]}
    stands = {**ordered, **installed, "embedment_mm": row["depth"]["effective_mm"], "length_mm": length}
    fitted = {**record.answer["fastener"], "length_mm": length, "article_code": articles.get(length)}
    return replace(
        record,
        request={**record.request, "fastener": stands},
        answer={**record.answer, "fastener": fitted},
        ordered=ordered,
        made_for_mm=widest_mm(_selected(ordered, rulebook)),
    )


def _selected(installed: Mapping[str, Any], rulebook: Rulebook) -> Selection:
    try:
        return select(PulledFastener(installed["family"], installed["size"], 0.0), rulebook)
    except RefusedRequest as refused:
        said = (
            replace(one, pointer=one.pointer.replace("#/fastener", f"{PLACE}/installed")) for one in refused.errors
        )
        raise RefusedRequest(*said) from None


def _row_reached(selection: Selection, given: Mapping[str, Any], tolerances: Tolerances) -> Mapping[str, Any]:
    """The deepest embedment that was reached, the shallowest where none was or nobody said."""
    every: list[Mapping[str, Any]] = list(selection.size["embedments"].values())
    rows = sorted(every, key=lambda row: float(row["depth"]["effective_mm"]))
    for said, asked in (
        ("nominal_embedment_mm", "nominal_mm"), ("embedment_mm", "effective_mm"), ("hole_depth_mm", "hole_mm"),
    ):  # fmt: skip
        if said in given:
            most = float(given[said]) + tolerances.reading_mm
            reached = [row for row in rows if row["depth"][asked] is None or keeps_mm(float(row["depth"][asked]), most)]
            return reached[-1] if reached else rows[0]
    return rows[0]


def hole_diameter(built: Built, rulebook: Rulebook) -> Iterator[Requirement]:
    """Hold the bit that was used against what stands in the hole.

    Args:
        built: The work as built.
        rulebook: Its rulebook.

    Yields:
        One requirement, where the bit was said, or that of the fastener that was ordered is another one.
    """
    needed = built.selection.size["geometry"]["hole_diameter_mm"]
    drilled, ordered = built.found.values.get("hole_diameter_mm"), built.record.ordered
    if needed is None:
        return
    if drilled is None:
        asked = None if ordered is None else _selected(ordered, rulebook).size["geometry"]["hole_diameter_mm"]
        if ordered is None or (asked is not None and same_mm(float(asked), float(needed))):
            return
    figures = {"hole_diameter_mm": drilled, "hole_diameter_needed_mm": float(needed)}
    code, rule = AsBuiltRequirementCode.HOLE_DIAMETER, built.selection.size_path("geometry", "hole_diameter_mm")
    if drilled is None:
        yield Requirement(code, None, figures, rule, (Statement(ToDoCode.SAY_HOLE_DIAMETER),))
        return
    met = same_mm(float(drilled), float(needed))
    to_do = () if met else (Statement(ToDoCode.SET_ANEW_IN_RIGHT_HOLE, {"hole_diameter_mm": float(needed)}),)
    yield Requirement(code, met, figures, rule, to_do, decisive=True)


def of_standing(built: Built, answer: Mapping[str, Any]) -> Iterator[Statement]:
    """Say what stands there that was not ordered, what is missing, and in what arrangement the standard does not draw.

    Args:
        built: The work as built.
        answer: The answer to its request.

    Yields:
        A caution each.
    """
    ordered = built.record.ordered
    if ordered is not None:
        yield Statement(
            AsBuiltCautionCode.OTHER_INSTALLED,
            {
                "family": built.selection.family_id,
                "size": built.selection.size_name,
                "ordered_family": str(ordered["family"]),
                "ordered_size": str(ordered["size"]),
            },
        )
    if built.missing:
        figures = {"numbers": built.named(built.missing), "standing": built.named(built.numbers)}
        yield Statement(AsBuiltCautionCode.FASTENERS_MISSING, figures)
    said = {caution["code"] for caution in answer["cautions"]}
    for code in (AsBuiltCautionCode.ARRANGEMENT_NEAR_EDGE, AsBuiltCautionCode.CLEARANCE_HOLES_NEAR_EDGE):
        if code.value in said:
            yield Statement(code)
