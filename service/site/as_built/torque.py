"""The torque that was read, or was not."""

from __future__ import annotations

from collections.abc import Iterator

from service.contract.as_built_codes import AsBuiltCautionCode, AsBuiltRequirementCode, Measurement, ToDoCode
from service.rulebook import Rulebook
from service.site.as_built.model import Built, Requirement, bonded, cast_in, still_felt
from service.site.holes.loosened import loosened
from service.site.sheet.tightening import answered_by_feel
from service.verification.requirements import BY_FEEL, IMPACT_DRIVER, TIGHTENED_AGAINST_CONCRETE
from service.verification.selection import Selection
from service.verification.tolerance import TOLERANCE
from service.words import Statement, Value

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
    driven = _is_driven(built)
    read = built.found.values.get("torque_nm")
    if driven and most is None:
        yield _no_driver(selection, read)
    elif driven and read is None:
        most_of = {"torque_max_nm": float(most)}
        to_do = (Statement(ToDoCode.SAY_DRIVER_SETTING, most_of),)
        path = selection.size_path("setting", "impact_driver_torque_max_nm")
        figures = {"installation_torque_nm": None, **most_of}
        yield Requirement(AsBuiltRequirementCode.TORQUE_NOT_READ, None, figures, path, to_do)
    elif asked is not None and not built.bare and (_felt_instead(built) or (read is None and not by_feel(built))):
        yield _not_read(built, float(asked), path)
    elif read is None:
        return
    elif driven or asked is None:
        yield _driven(built, float(read), float(most))
    else:
        yield _read(built, float(read), float(asked), rulebook)


def _is_driven(built: Built) -> bool:
    """Whether an impact wrench tightened it: as was said, whatever the reduction counts, or as it was verified."""
    control = (built.request.get("site") or {}).get("torque_control")
    return IMPACT_DRIVER in {control, built.given.get("torque_tool")} and not cast_in(built.selection)


def _felt_instead(built: Built) -> bool:
    """Whether some of it was tightened by feel where a torque was to be read; what was loosened since was read anew."""
    # A wrench that is put on later clicks on whatever is as tight as its setting or tighter: it shows nothing of the
    # most, nor that this torque expanded anything. Common practice, no source.
    if built.given.get("torque_tool") == BY_FEEL:
        return not answered_by_feel(built.record.request, built.verified.mechanism)
    read_since = Measurement.TORQUE.value in ((built.record.request.get("built") or {}).get("measured") or ())
    anew = read_since or loosened(built.record.request, built.verified)
    return not anew and still_felt(built.record, built.found, built.numbers)


def _not_read(built: Built, asked: float, path: str) -> Requirement:
    figures: dict[str, Value] = {"installation_torque_nm": asked}
    if _felt_instead(built):
        expands = _expands(built.selection)
        to_do = Statement(ToDoCode.EXPANDED_BY_FEEL if expands else ToDoCode.TIGHTENED_BY_FEEL_INSTEAD)
    else:
        once_cured = bonded(built.selection)
        to_do = Statement(ToDoCode.READ_TORQUE_ONCE_CURED if once_cured else ToDoCode.READ_TORQUE, figures)
    code = AsBuiltRequirementCode.TORQUE_NOT_READ
    return Requirement(code, None, figures | {"torque_max_nm": None}, path, (to_do,))


def by_feel(built: Built) -> bool:
    """Say whether it was to be tightened by feel and was, so that nobody reads a torque: the result counts that.

    Args:
        built: The work as built.

    Returns:
        False where a torque was to be read, whatever is said of it now.
    """
    to_be = answered_by_feel(built.record.request, built.verified.mechanism)
    return to_be and built.given.get("torque_tool", BY_FEEL) == BY_FEEL


def felt(built: Built) -> Iterator[Statement]:
    """Say that by feel nothing shows that it is tight, where the assessment asks for a torque.

    Args:
        built: The work as built.

    Yields:
        One caution, or none.
    """
    asked = built.selection.size["setting"]["installation_torque_nm"]
    if asked is not None and not built.bare and by_feel(built):
        yield Statement(AsBuiltCautionCode.TIGHTENED_BY_FEEL, {"installation_torque_nm": float(asked)})


def first_tightening(built: Built) -> Iterator[Statement]:
    """Say that a torque was taken as read at the first tightening, as nobody said with what.

    An answer that gives no record is not remembered: what was told then of a hand, a wrench does not know.

    Args:
        built: The work as built.

    Yields:
        One caution, or none.
    """
    if "torque_nm" in built.given and "torque_tool" not in built.given and not built.bare:
        yield Statement(AsBuiltCautionCode.TORQUE_TAKEN_AS_FIRST)


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
    if read is None or asked is None or _is_driven(built) or _expands(selection):
        return
    if float(read) < float(asked) * (1.0 - _wrench_share(rulebook)) - TOLERANCE:
        figures = {"torque_nm": float(read), "torque_max_nm": float(asked)}
        yield Statement(AsBuiltCautionCode.TORQUE_BELOW_ASKED, figures)


def _expands(selection: Selection) -> bool:
    """Whether the torque is what expands it, and so a target; to all others it is the most that they may get."""
    return selection.family["mechanism"] in TIGHTENED_AGAINST_CONCRETE


def _wrench_share(rulebook: Rulebook) -> float:
    return float(rulebook.factors["installation"]["torque"]["tolerance_share"])


def _figures(
    read: float | None, asked: float | None = None, least: float | None = None, most: float | None = None
) -> dict[str, Value]:
    return {"torque_nm": read, "installation_torque_nm": asked, "torque_min_nm": least, "torque_max_nm": most}


def _no_driver(selection: Selection, read: float | None) -> Requirement:
    path = selection.size_path("setting", "impact_driver_torque_max_nm")
    to_do = Statement(ToDoCode.TIGHTNESS_NOT_KNOWN, _removal(selection))
    return Requirement(AsBuiltRequirementCode.INSTALLATION_TORQUE, False, _figures(read), path, (to_do,))


def _driven(built: Built, read: float, most: float) -> Requirement:
    selection = built.selection
    met, to_do = _of_seated_head(built, read <= most + TOLERANCE)
    if met is False:
        to_do = (*_misread(selection, read), Statement(ToDoCode.OVERTIGHTENED, _removal(selection)))
    path = selection.size_path("setting", "impact_driver_torque_max_nm")
    return Requirement(AsBuiltRequirementCode.INSTALLATION_TORQUE, met, _figures(read, most=most), path, to_do)


def _read(built: Built, read: float, asked: float, rulebook: Rulebook) -> Requirement:
    selection, expands = built.selection, _expands(built.selection)
    share = _wrench_share(rulebook) if expands else 0.0
    least, largest = asked * (1.0 - share) if expands else 0.0, asked * (1.0 + share)
    low, high = read < least - TOLERANCE, read > largest + TOLERANCE
    met, to_do = _of_seated_head(built, not (low or high))
    if met is False:
        to_do = (Statement(ToDoCode.TIGHTEN),) if low else tuple(_above(selection, read, rulebook))
    figures = _figures(read, asked, least if expands else None, largest)
    path = selection.size_path("setting", "installation_torque_nm")
    return Requirement(AsBuiltRequirementCode.INSTALLATION_TORQUE, met, figures, path, to_do)


def _of_seated_head(built: Built, within: bool) -> tuple[bool | None, tuple[Statement, ...]]:
    """A screw cuts its thread under torque: the reading counts only when the head is seen seated."""
    screw = built.selection.family["mechanism"] == "concrete_screw"
    if within and screw and built.found.values.get("head_seated") is not True:
        return None, (Statement(ToDoCode.SEE_HEAD),)
    return within, ()


def _misread(selection: Selection, read: float) -> Iterator[Statement]:
    setting = selection.size["setting"]
    named = max(float(setting[name] or 0.0) for name in ("installation_torque_nm", "impact_driver_torque_max_nm"))
    if read > MISREAD * named:
        yield Statement(ToDoCode.READ_TORQUE_AGAIN, {"torque_nm": read, "named_nm": named})


def _above(selection: Selection, read: float, rulebook: Rulebook) -> Iterator[Statement]:
    """What to do above the most: no more above a maximum than a wrench may be off is for the engineer to look at."""
    asked = float(selection.size["setting"]["installation_torque_nm"])
    if not _expands(selection) and read <= asked * (1.0 + _wrench_share(rulebook)) + TOLERANCE:
        yield Statement(ToDoCode.SLIGHTLY_ABOVE, {"installation_torque_nm": asked})
        return
    yield from _misread(selection, read)
    yield Statement(ToDoCode.OVERTIGHTENED, _removal(selection))


def _removal(selection: Selection) -> dict[str, Value]:
    """How the rulebook says that it is taken out."""
    return {"removal": str(selection.family["installation"]["removal"])}
