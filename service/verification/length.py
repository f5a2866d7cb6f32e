"""Which length to buy: the shortest that clamps fixture, grout and stand-off."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from service.verification.assumptions import Assumptions
from service.verification.requirements import Requirement
from service.verification.selection import Selection


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


def choose_length(
    selection: Selection, wanted_mm: float | None, fixture: Mapping[str, Any], assumptions: Assumptions
) -> Length:
    """The wanted length, or the shortest that clamps what lies between nut and concrete.

    Args:
        selection: Family, size and embedment.
        wanted_mm: Length of the request (mm), or None.
        fixture: The fixture of the request.
        assumptions: Where a choice is noted.

    Returns:
        The length with its requirements.
    """
    if selection.row is None:
        return Length(wanted_mm, None, ())
    clamped = clamped_mm(fixture)
    lengths = sorted(selection.row["lengths"], key=lambda entry: float(entry["length_mm"]))
    if wanted_mm is not None:
        return _wanted(selection, lengths, wanted_mm, clamped)
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
    selection: Selection, lengths: list[Mapping[str, Any]], wanted_mm: float, clamped_mm: float | None
) -> Length:
    known = ", ".join(f"{entry['length_mm']:g}" for entry in lengths)
    entry = next((e for e in lengths if abs(float(e["length_mm"]) - wanted_mm) < 1e-9), None)
    listed = Requirement(
        "length_listed", entry is not None, f"lengths of this size and embedment: {known} mm", wanted_mm, known, "mm",
        selection.row_path("lengths"),
    )  # fmt: skip
    if entry is None:
        return Length(wanted_mm, _article(selection, wanted_mm), (listed,))
    more = () if clamped_mm is None else (_clamping(selection, entry, clamped_mm),)
    return Length(wanted_mm, entry["article_code"], (listed, *more))


def _article(selection: Selection, wanted_mm: float) -> str | None:
    """The article of a length that is listed for another embedment of the size: what was fitted stays what it is."""
    entries = (entry for row in selection.size["embedments"].values() for entry in row["lengths"])
    return next((e["article_code"] for e in entries if abs(float(e["length_mm"]) - wanted_mm) < 1e-9), None)


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
