"""The torque that was read, or was not."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook import Rulebook
from service.site.as_built.model import TOLERANCE, Built, Requirement, bonded, cast_in
from service.verification.requirements import IMPACT_DRIVER
from service.verification.selection import Selection

TIGHTENS_ITSELF = ("torque_controlled_expansion", "undercut")


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
    read = built.given.get("torque_nm")
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
    elif driven:
        yield _driven(selection, float(read), float(most))
    elif asked is None:
        words = "the assessment asks for no torque, so the reading shows nothing"
        yield Requirement("installation_torque", True, words, read, None, "Nm", path)
    else:
        yield _read(
            selection, float(read), float(asked), float(rulebook.factors["installation"]["torque"]["tolerance_share"])
        )


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


def _driven(selection: Selection, read: float, most: float) -> Requirement:
    path = selection.size_path("setting", "impact_driver_torque_max_nm")
    met = read <= most + TOLERANCE
    return Requirement(
        "installation_torque", met, f"an impact driver with no more than {most:g} N·m", read, f"at most {most:g}", "Nm",
        path, None if met else _too_tight(selection),
    )  # fmt: skip


def _read(selection: Selection, read: float, asked: float, share: float) -> Requirement:
    # To all that the torque does not expand it is the most they may get, as the sheet says.
    least, largest = asked * (1 - share), asked * (1 + share if selection.family["mechanism"] in TIGHTENS_ITSELF else 1)
    low, high = read < least - TOLERANCE, read > largest + TOLERANCE
    return Requirement(
        "installation_torque",
        not (low or high),
        f"installation torque {asked:g} N·m, read between {least:g} and {largest:g} N·m",
        read,
        f"{least:g} to {largest:g}",
        "Nm",
        selection.size_path("setting", "installation_torque_nm"),
        _too_loose(selection) if low else _too_tight(selection) if high else None,
    )


def _too_loose(selection: Selection) -> str:
    if selection.family["mechanism"] in TIGHTENS_ITSELF:
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
