"""Which length to buy: the shortest that clamps fixture, grout and stand-off."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from service.verification.assumptions import Assumptions
from service.verification.requirements import Requirement
from service.verification.selection import Selection

NUT_ON_THREAD = ("through_bolt", "threaded_rod", "undercut_bolt")
"""Forms whose nut runs on a thread that stands out: how deep they are set decides what they clamp."""


@dataclass(frozen=True, slots=True)
class Length:
    """The chosen length (mm) with its article code, None where none is chosen."""

    length_mm: float | None
    article_code: str | None
    requirements: tuple[Requirement, ...]


def clamped_mm(fixture: Mapping[str, Any]) -> float | None:
    """Fixture, grout and stand-off together (mm), None where the fixture's thickness is not known."""
    thickness = fixture.get("thickness_mm")
    if thickness is None:
        return None
    grout = fixture.get("grout") or {}
    return float(thickness) + float(fixture.get("stand_off_mm") or 0.0) + float(grout.get("thickness_mm") or 0.0)


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


def choose_length(
    selection: Selection,
    wanted_mm: float | None,
    fixture: Mapping[str, Any],
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
    clamped = clamped_mm(fixture)
    lengths = sorted(selection.row["lengths"], key=lambda entry: float(entry["length_mm"]))
    if wanted_mm is not None:
        return _wanted(selection, lengths, wanted_mm, clamped, reached_mm)
    if clamped is None:
        assumptions.add(
            "length_not_chosen", "Thickness of the fixture not given: no length is chosen", "#/fixture/thickness_mm"
        )
        return Length(None, None, ())
    fitting = [entry for entry in lengths if _clamps(entry, clamped)]
    if not fitting:
        return Length(None, None, (_clamping(selection, lengths[-1], clamped),))
    chosen = fitting[0]
    assumptions.add(
        "length_chosen",
        f"Length not given: {chosen['length_mm']:g} mm is the shortest that clamps {clamped:g} mm",
        "#/fastener/length_mm",
    )
    return Length(float(chosen["length_mm"]), chosen["article_code"], (_clamping(selection, chosen, clamped),))


def _wanted(
    selection: Selection,
    lengths: list[Mapping[str, Any]],
    wanted_mm: float,
    clamped_mm: float | None,
    reached_mm: float | None,
) -> Length:
    known = ", ".join(f"{entry['length_mm']:g}" for entry in lengths)
    entry = next((e for e in lengths if _is(e, wanted_mm)), None)
    if entry is None and clamped_mm is not None and reached_mm is not None:
        serves = thread_range(selection, wanted_mm, reached_mm)
        if serves is not None:
            return _as_built(selection, serves, wanted_mm, clamped_mm, reached_mm)
    listed = Requirement(
        "length_listed", entry is not None, f"lengths of this size and embedment: {known} mm", wanted_mm, known, "mm",
        selection.row_path("lengths"),
    )  # fmt: skip
    if entry is None:
        return Length(wanted_mm, _article(selection, wanted_mm), (listed,))
    more = () if clamped_mm is None else (_clamping(selection, entry, clamped_mm),)
    return Length(wanted_mm, entry["article_code"], (listed, *more))


def _as_built(
    selection: Selection, serves: ThreadRange, length_mm: float, clamped_mm: float, reached_mm: float
) -> Length:
    """A length that is listed for another embedment and set at the depth that was found: does its thread serve?"""
    met = serves.least_mm - 1e-9 <= clamped_mm <= serves.most_mm + 1e-9
    known = ", ".join(f"{depth:g}" for depth in serves.listed_for_mm)
    limit = f"{serves.least_mm:.6g} to {serves.most_mm:.6g}"
    words = (
        f"{length_mm:g} mm is listed for {known} mm embedment; set at {reached_mm:g} mm its thread clamps {limit} mm, "
        f"and {clamped_mm:g} mm lies between nut and concrete"
    )
    listed = Requirement("length_listed", met, words, clamped_mm, limit, "mm", selection.size_path("embedments"))
    return Length(length_mm, _article(selection, length_mm), (listed,))


def _is(entry: Mapping[str, Any], length_mm: float) -> bool:
    return abs(float(entry["length_mm"]) - length_mm) < 1e-9


def _article(selection: Selection, wanted_mm: float) -> str | None:
    """The article of a length that is listed for another embedment of the size: what was fitted stays what it is."""
    entries = (entry for row in selection.size["embedments"].values() for entry in row["lengths"])
    return next((e["article_code"] for e in entries if _is(e, wanted_mm)), None)


def _clamps(entry: Mapping[str, Any], clamped_mm: float) -> bool:
    most = entry["fixture_thickness_max_mm"]
    return most is None or clamped_mm <= float(most) + 1e-9


def _clamping(selection: Selection, entry: Mapping[str, Any], clamped_mm: float) -> Requirement:
    most = entry["fixture_thickness_max_mm"]
    met = _clamps(entry, clamped_mm)
    words = (
        "not limited by the length" if most is None else f"length {entry['length_mm']:g} mm clamps up to {most:g} mm"
    )
    return Requirement(
        "fixture_thickness", met, f"fixture, grout and stand-off together: {words}", clamped_mm, most, "mm",
        selection.row_path("lengths"),
    )  # fmt: skip
