"""The torque that was read, or was not."""

from __future__ import annotations

from collections.abc import Iterator

from service.contract.as_built_codes import AsBuiltCautionCode
from service.rulebook import Rulebook
from service.site.as_built.model import TOLERANCE, Built, Requirement, bonded, cast_in
from service.site.sheet.tightening import TIGHTENING_EXPANDS
from service.verification.requirements import IMPACT_DRIVER
from service.verification.selection import Selection
from service.words import Statement

MISREAD = 2.0
"""A reading beyond so many times the largest torque that the assessment names is rather a slip; from memory."""


def torque(built: Built, rulebook: Rulebook) -> Iterator[Requirement]:
    """Hold the torque against the assessment.

    Args:
        built: The work as built.
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
        yield _read(built, float(read), float(asked), rulebook)


def below_asked(built: Built, rulebook: Rulebook) -> Iterator[Statement]:
    """Say that a torque which is only the most allowed was read well below: the fixture may be loose.

    Args:
        built: The work as built.
        rulebook: The rulebook, with what a wrench may be off.

    Yields:
        One caution, or none.
    """
    selection, read = built.selection, built.found.values.get("torque_nm")
    asked = selection.size["setting"]["installation_torque_nm"]
    driven = (built.request.get("site") or {}).get("torque_control") == IMPACT_DRIVER
    if read is None or asked is None or driven or _expands(selection):
        return
    if float(read) < float(asked) * (1.0 - _wrench_share(rulebook)) - TOLERANCE:
        figures = {"torque_nm": float(read), "torque_max_nm": float(asked)}
        yield Statement(AsBuiltCautionCode.TORQUE_BELOW_ASKED, figures)


def _expands(selection: Selection) -> bool:
    """Whether the torque is what expands it, and so a target; to all others it is the most that they may get."""
    return selection.family["mechanism"] in TIGHTENING_EXPANDS


def _wrench_share(rulebook: Rulebook) -> float:
    return float(rulebook.factors["installation"]["torque"]["tolerance_share"])


def _no_driver(selection: Selection, read: float | None) -> Requirement:
    return Requirement(
        "installation_torque",
        False,
        "the assessment gives no torque for an impact wrench, and an impact wrench shows none",
        read,
        "no impact wrench",
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


def _read(built: Built, read: float, asked: float, rulebook: Rulebook) -> Requirement:
    selection, expands = built.selection, _expands(built.selection)
    share = _wrench_share(rulebook) if expands else 0.0
    least, largest = asked * (1.0 - share) if expands else 0.0, asked * (1.0 + share)
    low, high = read < least - TOLERANCE, read > largest + TOLERANCE
    met, to_do = _of_seated_head(built, not (low or high))
    if met is False:
        to_do = _too_loose() if low else _above(selection, read, rulebook)
    between = f"read between {least:g} and {largest:g} N·m" if expands else "the most that it may get"
    return Requirement(
        "installation_torque",
        met,
        f"installation torque {asked:g} N·m, {between}",
        read,
        f"{least:g} to {largest:g}" if expands else f"at most {largest:g}",
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


def _too_loose() -> str:
    return (
        "tighten it to the installation torque with a calibrated wrench; if it turns without reaching it, it is "
        "not expanded: take it out of use, treat the hole as aborted and set a new fastener at the distance for that"
    )


def _above(selection: Selection, read: float, rulebook: Rulebook) -> str:
    """What to do above the most: no more above a maximum than a wrench may be off is for the engineer to look at."""
    asked = float(selection.size["setting"]["installation_torque_nm"])
    if not _expands(selection) and read <= asked * (1.0 + _wrench_share(rulebook)) + TOLERANCE:
        return (
            f"slightly above the {asked:g} N·m, by no more than a wrench may be off: have the engineer look at it; do "
            "not slacken it"
        )
    return _misread(selection, read) + _too_tight(selection)


def _too_tight(selection: Selection) -> str:
    removal = str(selection.family["installation"]["removal"])
    return (
        "too high a torque may have damaged thread, bond or concrete, and slackening it does not undo that: look for "
        "cracks and a stretched thread, and replace the fastener in a new hole, or have it proof-loaded and accepted "
        f"by the engineer; {removal[0].lower()}{removal[1:]}"
    )
