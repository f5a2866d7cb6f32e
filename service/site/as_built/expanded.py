"""What was seen of what holds a fastener, where nobody can tell by a torque: that it is expanded, or its weld."""

from __future__ import annotations

from collections.abc import Iterator

from service.contract.as_built_codes import AsBuiltRequirementCode, Mark, Sleeve, ToDoCode, Weld
from service.site.as_built.model import Built, Requirement
from service.words import Statement


def expanded(built: Built) -> Iterator[Requirement]:
    """Say whether it was seen to be expanded.

    Args:
        built: The work as built.

    Yields:
        One requirement, where it was said.
    """
    met = built.found.values.get("sleeve_expanded")
    if met is not None:
        sleeve = Sleeve.EXPANDED if met else Sleeve.NOT_EXPANDED
        to_do = () if met else (Statement(ToDoCode.DRIVE_TOOL_TO_SLEEVE),)
        code = AsBuiltRequirementCode.SLEEVE_EXPANDED
        yield Requirement(code, bool(met), {"sleeve": sleeve}, to_do=to_do, decisive=True)
    shows = built.found.values.get("mark_shows")
    if shows is not None:
        mark = Mark.SHOWS if shows else Mark.HIDDEN
        to_do = () if shows else (Statement(ToDoCode.DRIVE_SLEEVE_TO_MARK),)
        yield Requirement(AsBuiltRequirementCode.MARK_SHOWS, bool(shows), {"mark": mark}, to_do=to_do, decisive=True)


def weld(built: Built) -> Iterator[Requirement]:
    """Say whether the welds of studs were tested and passed.

    Args:
        built: The work as built.

    Yields:
        One requirement, where it was said.
    """
    met = built.found.values.get("weld_tested")
    if met is not None:
        seen = Weld.PASSED if met else Weld.NOT_PASSED
        to_do = () if met else (Statement(ToDoCode.TEST_WELDS),)
        yield Requirement(AsBuiltRequirementCode.WELD_TESTED, bool(met), {"weld": seen}, to_do=to_do, decisive=True)
