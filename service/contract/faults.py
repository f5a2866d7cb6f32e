"""What is wrong with a request: faults at their places, refusals, and the problem document (RFC 9457) they make."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from http import HTTPStatus
from itertools import islice
from typing import Any
from urllib.parse import quote

from marshmallow.exceptions import SCHEMA

from service.contract.codes import parted
from service.contract.given import given_at
from service.contract.names import mode_name

MEDIA_TYPE = "application/problem+json"
MOST_ERRORS = 50
LARGEST_BYTES = 1024 * 1024
LONGEST_POINTER = 300


@dataclass(frozen=True)
class Kind:
    """A kind of problem: the end of its URN, its title, and what to say where nothing closer is known."""

    name: str
    title: str
    detail: str


KINDS: Mapping[int, Kind] = {
    400: Kind("malformed-body", "The body can't be read", "The body must be one JSON object."),
    404: Kind("not-found", "Not found", "No such path; /openapi.json lists the paths."),
    405: Kind(
        "method-not-allowed", "The path does not take this method", "The Allow header names the methods it takes."
    ),
    406: Kind("not-acceptable", "No media type that was asked for is available", "The Accept header leaves none."),
    409: Kind("conflict", "Not possible for this", "What is asked for does not go with what was sent."),
    411: Kind(
        "length-required", "The length of the body must be stated", "Send Content-Length, not Transfer-Encoding."
    ),
    413: Kind(
        "body-too-large",
        "The body is too large",
        f"The body may have at most {LARGEST_BYTES} bytes. Send less at once; a request is smaller than its record.",
    ),
    415: Kind(
        "unsupported-media-type", "The body has the wrong media type", "Send application/json in UTF-8, not encoded."
    ),
    422: Kind("refused-request", "The request is refused", "Correct these fields; each error says what is allowed."),
    500: Kind("internal-error", "The service failed", "The fault is in the service and has been logged."),
    503: Kind(
        "no-rulebook",
        "The service has no rulebook to answer by",
        "No rulebook is loaded to answer by; /health/ready says why.",
    ),
}


@dataclass(frozen=True)
class Fault:
    """One thing that is wrong, at a place in the body or in a parameter."""

    code: str
    detail: str
    pointer: str | None = None
    parameter: str | None = None
    given: str | None = None
    figures: Mapping[str, Any] = field(default_factory=dict)

    def as_json(self) -> dict[str, Any]:
        """Write the fault for the problem document.

        Returns:
            Its members, without the one that does not apply.
        """
        members = {
            "code": self.code,
            "detail": self.detail,
            "pointer": self.pointer,
            "parameter": self.parameter,
            "given": self.given,
            "figures": self.figures,
        }
        return {name: value for name, value in members.items() if value is not None}


def _over(mode: str, utilisation: float) -> Fault:
    over = f"{mode_name(mode)} under 'guard load' is used to {utilisation}, more than 1"
    figures = {"mode": mode, "load_case": "guard load", "utilisation": utilisation}
    words = f"no sheet for a fixing that does not verify: {over}"
    return Fault("not_verified", words, pointer="#/fixings/0", figures=figures)


NAMED_TWICE = "An object names a key more than once, so nobody can tell which value is meant."
NO_SHEET = "There is no sheet for this: the errors say why, fixing by fixing."
EXAMPLES: Mapping[int, tuple[tuple[Fault, ...], str | None]] = {
    400: ((Fault("duplicate_key", "must be given once", pointer="#/member/thickness_mm"),), NAMED_TWICE),
    404: (
        (
            Fault(
                "unknown_language",
                "must be one of: en",
                parameter="language",
                given="xx",
                figures={"allowed": ["en"]},
            ),
        ),
        "No such language.",
    ),
    406: ((), "The answer can be given as application/json."),
    409: (
        (_over("pull_out", 1.03664), _over("interaction_concrete", 1.03664)),
        NO_SHEET,
    ),
    422: (
        (
            Fault(
                "below_minimum",
                "must be at least 60",
                pointer="#/member/thickness_mm",
                given="40",
                figures={"minimum": 60},
            ),
            Fault(
                "unknown_field",
                "not a field here; the fields are: x_mm, y_mm",
                pointer="#/positions/0/z_mm",
                given="0",
                figures={"allowed": ["x_mm", "y_mm"]},
            ),
        ),
        None,
    ),
}
"""What a problem really looks like; a test obtains each again."""


class Refused(Exception):  # noqa: N818 a refusal is no error of the program
    """A request that gets a problem document in place of an answer."""

    def __init__(self, status: int, faults: Iterable[Fault] = (), detail: str | None = None) -> None:
        super().__init__(status)
        self.status = status
        self.faults = faults
        self.detail = detail


def pointer(steps: Iterable[str | int]) -> str:
    """Write a place in the body as a JSON pointer in URI fragment form (RFC 6901, 6).

    Args:
        steps: Keys and indices from the root.

    Returns:
        The pointer, cut where a key of the caller makes it overlong.
    """
    tokens = (str(step).replace("~", "~0").replace("/", "~1") for step in steps)
    quoted = "".join("/" + quote(token, safe="!$&'()*+,;=:@~", errors="backslashreplace") for token in tokens)
    return "#" + quoted[:LONGEST_POINTER]


def faults_of(messages: Any, steps: tuple[str | int, ...] = ()) -> Iterator[Fault]:
    """Read marshmallow's nested messages as faults.

    Args:
        messages: Lists of messages by key and index.
        steps: The place they stand at.

    Yields:
        Each message as a fault.
    """
    if isinstance(messages, Mapping):
        for step, inner in messages.items():
            yield from faults_of(inner, steps if step == SCHEMA else (*steps, step))
        return
    for message in messages:
        code, detail, figures = parted(message)
        yield Fault(code, detail, pointer=pointer(steps), figures=figures)


def told(faults: Iterable[Fault], body: Any) -> list[Fault]:
    """Say with each fault what was given, and put them in the order of their places.

    Args:
        faults: What is wrong.
        body: The body as parsed.

    Returns:
        The faults; the same body gets them in the same order.
    """
    given = (
        fault if fault.pointer is None else replace(fault, given=given_at(body, fault.pointer)) for fault in faults
    )
    return sorted(given, key=_place)


def _place(fault: Fault) -> list[tuple[int, str]]:
    """Items of lists go by their number."""
    return [(int(step) if step.isdecimal() else -1, step) for step in (fault.pointer or "").split("/")]


def document(status: int, faults: Iterable[Fault] = (), detail: str | None = None) -> dict[str, Any]:
    """Write a problem document.

    Args:
        status: HTTP status.
        faults: What is wrong, each thing by itself.
        detail: What is wrong in words, where the kind's own words do not do.

    Returns:
        The document.
    """
    kind = KINDS.get(status) or Kind(f"status-{status}", HTTPStatus(status).phrase, "The request got no answer.")
    listed = [fault.as_json() for fault in islice(faults, MOST_ERRORS + 1)]
    words = detail or kind.detail
    return {
        "type": f"urn:anchor-rulebook:problem:{kind.name}",
        "title": kind.title,
        "status": status,
        "detail": words if len(listed) <= MOST_ERRORS else f"{words} There are more than these.",
        "errors": listed[:MOST_ERRORS],
    }
