"""The torque that was read, or was not."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from service.rulebook import Rulebook
from service.site.as_built.model import TOLERANCE, Built, Requirement, bonded, cast_in
from service.site.sheet.content import Figure
from service.site.sheet.source import Source
from service.site.sheet.tightening import TIGHTENING_EXPANDS, torque_range
from service.site.sheet.work import Work
from service.verification.requirements import IMPACT_DRIVER
from service.verification.selection import Selection

MISREAD = 2.0
"""A reading beyond so many times the largest torque that the assessment names is rather a slip; from memory."""


def torque(built: Built, answer: Mapping[str, Any], rulebook: Rulebook) -> Iterator[Requirement]:
    """Hold the torque against the assessment.

    Args:
        built: The work as built.
        answer: The answer to its request.
        rulebook: The rulebook, with what a wrench may be off.

    Yields:
        What was found; nothing where no torque is asked for and none was read.
    """
    selection = built.selection
    setting, path = selection.size["setting"], selection.size_path("setting", "installation_torque_nm")
    asked, most = setting["installation_torque_nm"], setting["impact_driver_torque_max_nm"]
    driven = (built.request.get("site") or {}).get("torque_control") == IMPACT_DRIVER and not cast_in(selection)
    read = built.found.values.get("torque_nm")
    if driven and most is None:
        yield _no_driver(selection, read)
    elif read is None:
        if asked is not None:
            cured = ", only after the curing time of the resin," if bonded(selection) else ""
            yield Requirement(
                "torque_not_read",
                None,
                f"the assessment asks for {asked:g} N·m, and nobody has read a torque: not shown",
                None,
                asked,
                "Nm",
                path,
                f"check each with a calibrated torque wrench set to {asked:g} N·m{cured} and say torque_nm",
            )
    elif driven or asked is None:
        yield _driven(built, float(read), float(most))
    else:
        work = Work(Source(built.request, answer, rulebook))
        least, largest = torque_range(work, Figure("torque", asked, "Nm"))
        yield _read(built, float(read), least.number, largest.number)


def _no_driver(selection: Selection, read: float | None) -> Requirement:
    return Requirement(
        "installation_torque",
        False,
        "the assessment gives no torque for an impact driver, and an impact driver shows none",
        read,
        "no impact driver",
        "Nm",
        selection.size_path("setting", "impact_driver_torque_max_nm"),
        f"nobody knows how tight it got: {_too_tight(selection)}",
    )


def _driven(built: Built, read: float, most: float) -> Requirement:
    selection = built.selection
    met, to_do = _of_seated_head(built, read <= most + TOLERANCE)
    return Requirement(
        "installation_torque", met, f"no more than {most:g} N·m, which shows nothing until the head is seen seated",
        read, f"at most {most:g}", "Nm", selection.size_path("setting", "impact_driver_torque_max_nm"),
        _misread(selection, read) + _too_tight(selection) if met is False else to_do,
    )  # fmt: skip


def _read(built: Built, read: float, least: float, largest: float) -> Requirement:
    selection = built.selection
    asked = float(selection.size["setting"]["installation_torque_nm"])
    low, high = read < least - TOLERANCE, read > largest + TOLERANCE
    met, to_do = _of_seated_head(built, not (low or high))
    if met is False:
        to_do = _too_loose(selection) if low else _misread(selection, read) + _too_tight(selection)
    return Requirement(
        "installation_torque",
        met,
        f"installation torque {asked:g} N·m, read between {least:g} and {largest:g} N·m",
        read,
        f"{least:g} to {largest:g}",
        "Nm",
        selection.size_path("setting", "installation_torque_nm"),
        to_do,
    )


def _of_seated_head(built: Built, within: bool) -> tuple[bool | None, str | None]:
    """A screw cuts its thread under torque: the reading counts only when the head is seen seated."""
    screw = built.selection.family["mechanism"] == "concrete_screw"
    if within and screw and built.found.values.get("head_seated") is not True:
        return None, "see whether the head is seated on the fixture without a gap, and say head_seated"
    return within, None


def _misread(selection: Selection, read: float) -> str:
    setting = selection.size["setting"]
    named = max(float(setting[name] or 0.0) for name in ("installation_torque_nm", "impact_driver_torque_max_nm"))
    if read <= MISREAD * named:
        return ""
    return f"{read:g} N·m is more than twice what the assessment names, {named:g} N·m: read it again first; if so, "


def _too_loose(selection: Selection) -> str:
    if selection.family["mechanism"] in TIGHTENING_EXPANDS:
        return (
            "tighten it to the installation torque with a calibrated wrench; if it turns without reaching it, it is "
            "not expanded: take it out of use, treat the hole as aborted and set a new fastener at the distance for "
            "that"
        )
    return (
        "tighten it to the installation torque with a calibrated wrench, resin only after its curing time; if it turns "
        "in the hole or does not reach the torque, take it out of use and treat the hole as aborted"
    )


def _too_tight(selection: Selection) -> str:
    removal = str(selection.family["installation"]["removal"])
    return (
        "too high a torque may have damaged thread, bond or concrete, and slackening it does not undo that: look for "
        "cracks and a stretched thread, and replace the fastener in a new hole, or have it proof-loaded and accepted "
        f"by the engineer; {removal[0].lower()}{removal[1:]}"
    )
