"""What is to be done after a check, with the requirement that each answers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from service.contract.as_built_codes import AsBuiltRequirementCode, Measurement, ToDoCode
from service.contract.verification_codes import Mode, RequirementCode, requirement_code
from service.site.as_built.model import NOT_SHOWN, VERIFIED, Requirement
from service.words import Code, Statement, Value


@dataclass(frozen=True, slots=True)
class ToDo:
    """Something to do, and the code of the requirement that it answers, where it answers one."""

    statement: Statement
    requirement: str | None = None


@dataclass(frozen=True, slots=True)
class Checked:
    """What a check came to: what is open of the work and of the verification, and what was not measured.

    ``to_set`` numbers those that are still to be set; where ``goes_on`` is true the new record has the work for them.
    """

    verdict: str
    to_set: tuple[int, ...]
    goes_on: bool
    open: tuple[Requirement, ...]
    unmet: tuple[Mapping[str, Any], ...]
    over: tuple[Mapping[str, Any], ...]
    not_measured: tuple[Measurement, ...]
    decisive: frozenset[Measurement]
    answer: Mapping[str, Any]
    replace: Statement | None = None
    """Which ones are too shallow where the others are not, and how far from them new ones come to stand."""


def to_do(found: Checked) -> Iterator[ToDo]:
    """Say what is to be done, in order.

    Args:
        found: What a check came to.

    Yields:
        What is to be done about the whole, about each requirement, and about what was not measured.
    """
    taken = tuple(code for code in found.not_measured if code not in found.decisive)
    if found.verdict == VERIFIED:
        yield ToDo(Statement(ToDoCode.KEEP_RECORD_AS_MEASURED if taken else ToDoCode.KEEP_RECORD))
    elif found.goes_on:
        yield _of_the_rest(ToDoCode.SET_THE_REST, found)
    elif found.verdict == NOT_SHOWN:
        # Where only news is missing, there is nothing left to measure.
        if any(entry.code is not AsBuiltRequirementCode.NOTHING_NEW_REPORTED for entry in found.open):
            yield ToDo(Statement(ToDoCode.MEASURE_WHAT_IS_MISSING))
    else:
        yield ToDo(Statement(ToDoCode.DO_NOT_LOAD))
        yield ToDo(Statement(ToDoCode.CHECK_AGAIN))
    if found.to_set and not found.goes_on:
        yield _of_the_rest(ToDoCode.SET_NO_MORE_YET, found)
    seen = []
    if found.replace is not None and found.verdict not in {VERIFIED, NOT_SHOWN}:
        yield ToDo(found.replace, AsBuiltRequirementCode.EMBEDMENT_REACHED.value)
        # What is said where every one is too shallow would have the others replaced too.
        seen.append(ToDo(Statement(ToDoCode.DRILL_TO_DEPTH), AsBuiltRequirementCode.EMBEDMENT_REACHED.value))
    for entry in found.open:
        for statement in entry.to_do:
            one = ToDo(statement, entry.code.value)
            if one not in seen:
                seen.append(one)
                yield one
    yield from _of_verification(found)
    if taken:
        yield ToDo(Statement(ToDoCode.TAKEN_AS_VERIFIED, {"measurements": taken}))
    if found.verdict not in {VERIFIED, NOT_SHOWN}:
        yield ToDo(Statement(ToDoCode.TELL_ENGINEER))


def _of_the_rest(code: ToDoCode, found: Checked) -> ToDo:
    numbers: dict[str, Value] = {"numbers": found.to_set}
    return ToDo(Statement(code, numbers), AsBuiltRequirementCode.ALL_SET.value)


_ROUTES: Mapping[Code, ToDoCode] = {
    RequirementCode.HOLE_NOT_FROZEN: ToDoCode.SET_ANEW_WHEN_WARM,
    RequirementCode.RESIN_CURES: ToDoCode.SET_ANEW_WHEN_WARM,
    RequirementCode.HOLE_LEAVES_MEMBER: ToDoCode.GROUT_AND_DRILL_ANEW,
    RequirementCode.LENGTH_LISTED: ToDoCode.LENGTH_NOT_LISTED,
    RequirementCode.EMBEDMENT_ASSESSED: ToDoCode.EMBEDMENT_NOT_ASSESSED,
}
"""What comes next, where a requirement of the verification has a way of its own."""


def _of_verification(found: Checked) -> Iterator[ToDo]:
    for entry in found.unmet:
        code = requirement_code(entry["code"])
        route = _ROUTES.get(code)
        settle = Statement(ToDoCode.SETTLE_REQUIREMENT, {"requirement": code})
        yield ToDo(settle if route is None else Statement(route), code.value)
    modes = tuple(dict.fromkeys(Mode(one["mode"]) for one in found.over))
    if modes:
        yield ToDo(Statement(ToDoCode.OVERLOADED, {"modes": modes}))
    if found.answer["scope_limits"]:
        yield ToDo(Statement(ToDoCode.OUTSIDE_SCOPE))
