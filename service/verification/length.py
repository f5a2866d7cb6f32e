"""Which length to buy: the shortest that clamps fixture, grout and stand-off."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from service.contract import wanted
from service.contract.verification_codes import AssumptionCode, RequirementCode
from service.verification.assumptions import Assumptions
from service.verification.fixture_holes import washer_mm
from service.verification.requirements import Requirement
from service.verification.selection import Selection
from service.verification.tolerance import keeps_mm, reaches_mm, same_mm
from service.words import Value

NUT_ON_THREAD = ("through_bolt", "threaded_rod", "undercut_bolt")
"""Forms whose nut runs on a thread that stands out: how deep they are set decides what they clamp."""
WELDED_ON = "welded_headed_stud"
"""The form that begins at the plate itself: what lies between plate and concrete is missing in the concrete."""


@dataclass(frozen=True, slots=True)
class Length:
    """The chosen length (mm) with its article code, None where none is chosen."""

    length_mm: float | None
    article_code: str | None
    requirements: tuple[Requirement, ...]


@dataclass(frozen=True, slots=True)
class ThreadRange:
    """What a length clamps (mm) at the depth that it was set at, and the embedments (mm) that list it."""

    least_mm: float
    most_mm: float
    listed_for_mm: tuple[float, ...]


def thread_range(selection: Selection, length_mm: float, reached_mm: float) -> ThreadRange | None:
    """What the nut of a length clamps at the depth that was reached.

    A bolt that stands out farther than planned lets its nut clamp more, and asks it to run down as much farther; that
    its thread reaches down to the concrete at the shallowest embedment that lists it is from memory of assessments,
    which name no least fixture thickness.

    Args:
        selection: Family and size.
        length_mm: The length (mm).
        reached_mm: The effective embedment that was reached (mm).

    Returns:
        The range; None where no embedment of the size lists the length with a limit, or no nut runs on its thread.
    """
    if selection.family["form"] not in NUT_ON_THREAD:
        return None
    listed = [
        (float(row["depth"]["effective_mm"]), float(entry["fixture_thickness_max_mm"]))
        for row in selection.size["embedments"].values()
        for entry in row["lengths"]
        if _is(entry, length_mm) and entry["fixture_thickness_max_mm"] is not None
    ]
    if not listed:
        return None
    depths = tuple(sorted(depth for depth, _ in listed))
    return ThreadRange(
        max(depths[0] - reached_mm, 0.0), min(depth + most for depth, most in listed) - reached_mm, depths
    )


def clamped_by(selection: Selection, fixture: wanted.Fixture) -> float | None:
    """All that lies between head or nut and concrete.

    Args:
        selection: The fastener.
        fixture: The fixture of a request.

    Returns:
        Fixture, grout, stand-off and a washer over a wide or filled hole (mm); None where the fixture's thickness is
        not known.
    """
    clamped = fixture.clamped_mm
    return None if clamped is None else clamped + washer_mm(fixture, selection)


def choose_length(
    selection: Selection,
    wanted_mm: float | None,
    fixture: wanted.Fixture,
    assumptions: Assumptions,
    reached_mm: float | None = None,
) -> Length:
    """The wanted length, or the shortest that clamps what lies between nut and concrete.

    Args:
        selection: Family, size and embedment.
        wanted_mm: Length of the request (mm), or None.
        fixture: The fixture of the request.
        assumptions: Where a choice is noted.
        reached_mm: The effective embedment that an as-built check found (mm), None where none has: a length that is
            listed for another embedment of the size then serves while its thread does.

    Returns:
        The length with its requirements.
    """
    if selection.row is None:
        return Length(wanted_mm, None, ())
    clamped = clamped_by(selection, fixture)
    lengths = sorted(selection.row["lengths"], key=lambda entry: float(entry["length_mm"]))
    if wanted_mm is not None:
        return _wanted(selection, lengths, wanted_mm, fixture, reached_mm)
    longest = tuple(_in_concrete(selection, float(lengths[-1]["length_mm"]), fixture))
    if clamped is None:
        assumptions.add(AssumptionCode.LENGTH_NOT_CHOSEN, "#/fixture/thickness_mm")
        return Length(None, None, longest)
    fitting = [
        entry
        for entry in lengths
        if _clamps(entry, clamped)
        and all(each.met for each in _in_concrete(selection, float(entry["length_mm"]), fixture))
    ]
    if not fitting:
        return Length(None, None, (_clamping(selection, lengths[-1], clamped, fixture), *longest))
    chosen = fitting[0]
    length_mm = float(chosen["length_mm"])
    code, pointer = AssumptionCode.LENGTH_CHOSEN, "#/fastener/length_mm"
    assumptions.add(code, pointer, length_mm=length_mm, clamped_mm=clamped)
    reaches = _in_concrete(selection, length_mm, fixture)
    return Length(length_mm, chosen["article_code"], (_clamping(selection, chosen, clamped, fixture), *reaches))


def _wanted(
    selection: Selection,
    lengths: list[Mapping[str, Any]],
    wanted_mm: float,
    fixture: wanted.Fixture,
    reached_mm: float | None,
) -> Length:
    clamped_mm = clamped_by(selection, fixture)
    entry = next((e for e in lengths if _is(e, wanted_mm)), None)
    if entry is None and clamped_mm is not None and reached_mm is not None:
        serves = thread_range(selection, wanted_mm, reached_mm)
        if serves is not None:
            return _as_built(selection, serves, wanted_mm, clamped_mm, reached_mm)
    figures = _lengths(wanted_mm, tuple(float(each["length_mm"]) for each in lengths))
    listed = Requirement(RequirementCode.LENGTH_LISTED, entry is not None, figures, selection.row_path("lengths"))
    reaches = tuple(_in_concrete(selection, wanted_mm, fixture))
    if entry is None:
        return Length(wanted_mm, _article(selection, wanted_mm), (listed, *reaches))
    more = () if clamped_mm is None else (_clamping(selection, entry, clamped_mm, fixture),)
    return Length(wanted_mm, entry["article_code"], (listed, *more, *reaches))


def _as_built(
    selection: Selection, serves: ThreadRange, length_mm: float, clamped_mm: float, reached_mm: float
) -> Length:
    """A length that is listed for another embedment and set at the depth that was found: does its thread serve?"""
    met = reaches_mm(clamped_mm, serves.least_mm) and keeps_mm(clamped_mm, serves.most_mm)
    figures = _lengths(length_mm, ()) | {
        "embedment_mm": reached_mm,
        "listed_for_mm": serves.listed_for_mm,
        "clamped_mm": clamped_mm,
        "clamped_min_mm": serves.least_mm,
        "clamped_max_mm": serves.most_mm,
    }
    listed = Requirement(RequirementCode.LENGTH_LISTED, met, figures, selection.size_path("embedments"))
    return Length(length_mm, _article(selection, length_mm), (listed,))


def _lengths(length_mm: float, listed_mm: tuple[float, ...]) -> dict[str, Value]:
    """What is said of a length that is held against a list (mm)."""
    return {
        "length_mm": length_mm,
        "lengths_mm": listed_mm,
        "embedment_mm": None,
        "listed_for_mm": None,
        "clamped_mm": None,
        "clamped_min_mm": None,
        "clamped_max_mm": None,
    }


def _is(entry: Mapping[str, Any], length_mm: float) -> bool:
    return same_mm(float(entry["length_mm"]), length_mm)


def _article(selection: Selection, wanted_mm: float) -> str | None:
    """The article of a length that is listed for another embedment of the size: what was fitted stays what it is."""
    entries = (entry for row in selection.size["embedments"].values() for entry in row["lengths"])
    return next((e["article_code"] for e in entries if _is(e, wanted_mm)), None)


def _clamps(entry: Mapping[str, Any], clamped_mm: float) -> bool:
    most = entry["fixture_thickness_max_mm"]
    return most is None or keeps_mm(clamped_mm, float(most))


def _clamping(
    selection: Selection, entry: Mapping[str, Any], clamped_mm: float, fixture: wanted.Fixture
) -> Requirement:
    most = entry["fixture_thickness_max_mm"]
    figures: dict[str, Value] = {
        "clamped_mm": clamped_mm,
        "clamped_max_mm": most,
        "length_mm": float(entry["length_mm"]),
        "washer_mm": washer_mm(fixture, selection) or None,
    }
    rule = selection.row_path("lengths")
    return Requirement(RequirementCode.FIXTURE_THICKNESS, _clamps(entry, clamped_mm), figures, rule)


def _in_concrete(selection: Selection, length_mm: float, fixture: wanted.Fixture) -> Iterator[Requirement]:
    """Whether a stud reaches as deep into the concrete as assessed, where its plate does not lie on it."""
    if selection.row is None or selection.family["form"] != WELDED_ON or not fixture.raised:
        return
    left, least = length_mm - fixture.gap_mm, float(selection.row["depth"]["nominal_mm"])
    figures: dict[str, Value] = {
        "length_mm": length_mm,
        "gap_mm": fixture.gap_mm,
        "in_concrete_mm": left,
        "in_concrete_min_mm": least,
    }
    rule = selection.row_path("depth", "nominal_mm")
    yield Requirement(RequirementCode.LENGTH_IN_CONCRETE, reaches_mm(left, least), figures, rule, decisive=True)
