"""As-built checks: does it still verify as it was built?"""

from dataclasses import replace
from typing import Any

from service.api.operations import Call, bound
from service.api.routes.opened import opened
from service.contract.as_built import PATHS
from service.contract.faults import Fault, Refused, faults_of
from service.contract.recorded import RecordedRequest
from service.site import as_built, new_requests
from service.verification.refusal import RefusedRequest

PLACE = "#/as_built"
SAID = (
    ("#/fixture/thickness_mm", "fixture_thickness_mm"),
    ("#/built/aborted_holes", "aborted_holes"),
    ("#/site/torque_control", "torque_tool"),
    ("#/site/drilling", "drilling"),
    ("#/site/installer", "installer"),
)
"""Where a field of the request is said of the work."""


def check_as_built(call: Call) -> dict[str, Any]:
    """Check the work as built of a call.

    Args:
        call: The call, with a record and what was really done as its body.

    Returns:
        The answer.

    Raises:
        Refused: The record is not true, or what was done does not fit it.
    """
    fixing = opened(call, call.body["record"], "/record")
    place = "#/record/request" if "answer" in call.body["record"] else "#/record"
    record, done = as_built.Record(fixing.request, fixing.answer, place=place), call.body["as_built"]
    request = as_built.new_request(record, done, fixing.rulebook)
    faults = list(faults_of(RecordedRequest().validate(request)))
    if faults:
        raise Refused(422, [_as_built(fault) for fault in faults])
    try:
        new_requests.refuse_differing(fixing.request, fixing.rulebook, place)
        new_requests.refuse_left_out(fixing.request, fixing.answer, [fixing.request["positions"]], place)
    except RefusedRequest as refused:
        raise Refused(422, refused.faults) from None
    try:
        return as_built.check(record, done, request, fixing.rulebook, fixing.now)
    except RefusedRequest as refused:
        raise Refused(422, [_as_built(fault) for fault in refused.faults]) from None


def _as_built(fault: Fault) -> Fault:
    """Turn what is wrong with the request as built to what the caller said of the work."""
    place = fault.pointer or "#"
    for of_request, said in SAID:
        if place == of_request or place.startswith(f"{of_request}/"):
            return replace(fault, pointer=f"{PLACE}/{said}{place.removeprefix(of_request)}")
    place = place.removeprefix("#/")
    return replace(fault, detail=f"as built, {place}: {fault.detail}" if place else fault.detail, pointer=PLACE)


OPERATIONS = bound(
    PATHS,
    {"checkAsBuilt": check_as_built},
)
