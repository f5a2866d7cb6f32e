"""What was met in the base: a crack in masonry, and a hole that was drilled otherwise than ordered."""

from __future__ import annotations

from collections.abc import Iterator

from service.contract.as_built_codes import AsBuiltRequirementCode, ToDoCode
from service.contract.fields import UNKNOWN
from service.site.as_built.model import Built, Requirement, bonded
from service.site.holes.ordered import drilling_ordered
from service.words import Statement, Value


def wall_cracked(built: Built) -> Iterator[Requirement]:
    """Say that masonry is cracked: pulls show walls without cracks, and no state of concrete stands for that.

    Args:
        built: The work as built.

    Yields:
        One requirement, or none. No figure may stand beside it.
    """
    if built.masonry and built.given.get("cracks_seen"):
        to_do = (Statement(ToDoCode.LEAVE_CRACKED_WALL),)
        yield Requirement(AsBuiltRequirementCode.MASONRY_UNCRACKED, False, to_do=to_do, decisive=True)


def drilled_as_ordered(built: Built) -> Iterator[Requirement]:
    """Say that holes for resin were drilled otherwise than ordered, so that their cleaning was that of other holes.

    Args:
        built: The work as built.

    Yields:
        One requirement, or none. No figure may stand beside it: the resistance is that of a hole cleaned for its wall.
    """
    ordered = drilling_ordered(built.verified, (built.record.request.get("site") or {}).get("drilling") or UNKNOWN)
    drilled = built.given.get("drilling", UNKNOWN)
    if bonded(built.selection) and UNKNOWN not in {drilled, ordered} and drilled != ordered:
        figures: dict[str, Value] = {"drilling": drilled, "ordered": ordered}
        code, path = AsBuiltRequirementCode.DRILLED_AS_ORDERED, built.selection.path("installation", "cleaning_steps")
        to_do = (Statement(ToDoCode.SHOW_CLEANING_OF_OTHER_HOLE, figures),)
        yield Requirement(code, False, figures, path, to_do, decisive=True)
