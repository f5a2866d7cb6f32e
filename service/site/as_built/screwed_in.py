"""How far what is screwed into a sleeve reaches into its thread."""

from __future__ import annotations

from collections.abc import Iterator

from service.contract.as_built_codes import AsBuiltRequirementCode, Measurement, ToDoCode
from service.contract.as_built_codes.measurements import fields_of
from service.site.as_built.model import Built, Requirement
from service.site.sheet.work import INNER_THREAD
from service.verification.selection import Selection
from service.verification.tolerance import keeps_mm, reaches_mm
from service.words import Statement, Value


def has_inner_thread(selection: Selection) -> bool:
    """Say whether something is screwed into it.

    Args:
        selection: The fastener.

    Returns:
        True for a sleeve with an inner thread.
    """
    return selection.family["form"] in INNER_THREAD


def engagement_mm(selection: Selection) -> tuple[float, float] | None:
    """How far it is to be screwed in, at least and at most (mm).

    Args:
        selection: The fastener.

    Returns:
        The assessment's figures; None where nothing is, or the rulebook does not have them.
    """
    setting = selection.size["setting"]
    least, most = setting.get("screw_in_min_mm"), setting.get("screw_in_max_mm")
    if not has_inner_thread(selection) or least is None or most is None:
        return None
    return float(least), float(most)


def screwed_in(built: Built) -> Iterator[Requirement]:
    """Hold how far a bolt or rod is screwed in against the assessment: by its length, by a tape, or by both.

    Args:
        built: The work as built.

    Yields:
        One requirement for each way in which it was said.
    """
    engagement = engagement_mm(built.selection)
    if engagement is None:
        return
    length_mm, read_mm = (built.found.values.get(name) for name in fields_of(Measurement.SCREWED_IN))
    if length_mm is not None:
        yield _by_length(built, float(length_mm), engagement)
    if read_mm is not None:
        yield _held(built, {"screwed_in_mm": float(read_mm)}, engagement)


def _by_length(built: Built, length_mm: float, engagement: tuple[float, float]) -> Requirement:
    clamped_mm, figures = built.fixture.clamped_mm, _figures(engagement) | {"bolt_length_mm": length_mm}
    if clamped_mm is None:
        to_do = (Statement(ToDoCode.FIT_BOLTS, {"least_mm": None, "most_mm": None}),)
        return Requirement(AsBuiltRequirementCode.SCREWED_IN, None, figures, to_do=to_do)
    said = {"bolt_length_mm": length_mm, "clamped_mm": clamped_mm, "screwed_in_mm": max(length_mm - clamped_mm, 0.0)}
    return _held(built, said, engagement)


def _held(built: Built, said: dict[str, float], engagement: tuple[float, float]) -> Requirement:
    (least, most), clamped_mm, reached = engagement, built.fixture.clamped_mm, said["screwed_in_mm"]
    met = reaches_mm(reached, least) and keeps_mm(reached, most)
    lengths = (None, None) if clamped_mm is None else (clamped_mm + least, clamped_mm + most)
    fit: dict[str, Value] = dict(zip(("least_mm", "most_mm"), lengths, strict=True))
    to_do = () if met else (Statement(ToDoCode.FIT_BOLTS, fit),)
    path = built.selection.size_path("setting", "screw_in_min_mm")
    figures = {**_figures(engagement), **said}
    return Requirement(AsBuiltRequirementCode.SCREWED_IN, met, figures, path, to_do, decisive=True)


def _figures(engagement: tuple[float, float]) -> dict[str, Value]:
    least, most = engagement
    return {
        "screwed_in_mm": None, "screw_in_min_mm": least, "screw_in_max_mm": most, "bolt_length_mm": None,
        "clamped_mm": None,
    }  # fmt: skip
