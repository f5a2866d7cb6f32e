"""The service for a caller in Python: the answers of the API without a web server. `service` exports what is here.

Requests and answers are those of `POST /v1/verifications` and `POST /v1/sizings`, as `schemas/openapi.json` has them:
a name ends in its unit, forces are in kN and act at the origin in the concrete surface, a pull is positive.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

from service.contract.faults import Fault, Refused
from service.contract.sizing import SizingRequest
from service.contract.verification import VerificationRequest
from service.rulebook import plain
from service.rulebook.shelf import Shelf, open_shelf
from service.rulebook.shipped import DEMONSTRATION
from service.site import new_requests
from service.verification.asking import Calculation, ask

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from os import PathLike

    from marshmallow import Schema



class RequestRefused(ValueError):  # noqa: N818 - the interface speaks of a refused request, not of an error
    """A request that gets no answer, for the reasons and with the codes of the API.

    Attributes:
        status: The HTTP status that the API gives it: 400 what no JSON can say, 422 what is not allowed.
        errors: What is wrong, each with `code`, `detail`, `pointer` to its place and what was `given` there.
    """

    def __init__(self, status: int, faults: Iterable[Fault]) -> None:
        """Keep what is wrong.

        Args:
            status: The HTTP status that the API gives it.
            faults: What is wrong.
        """
        self.status = status
        self.errors = tuple(faults)
        super().__init__("; ".join(f"{fault.pointer or '#'}: {fault.detail} [{fault.code}]" for fault in self.errors))


def load_rulebook(path: str | PathLike[str] | None = None, *, signers: str | PathLike[str] | None = None) -> Shelf:
    """Load every version of a rulebook that can be answered by.

    >>> rulebook = load_rulebook()
    >>> rulebook.newest().status
    'demonstration'

    Args:
        path: A directory of rules or a packed rulebook; None: the demonstration, whose fasteners are invented.
        signers: File of allowed signers, kept outside the rules; None: signatures are not asked for.

    Returns:
        The rulebook; `versions` names its versions, oldest first, and `faults` what of it can't be served.

    Raises:
        FileNotFoundError: There is nothing at the path.
        ValueError: Nothing there can be answered by; RulebookInvalid carries the findings of the checker.
    """
    rules = DEMONSTRATION if path is None else Path(path)
    if not rules.exists():
        raise FileNotFoundError(f"{rules}: no such directory of rules or packed rulebook")
    shelf = open_shelf(rules, None if signers is None else Path(signers))
    if not shelf.versions:
        raise ValueError("; ".join([f"{rules}: no version can be served", *(fault.detail for fault in shelf.faults)]))
    return shelf


def verify(request: Mapping[str, Any], rulebook: Shelf) -> dict[str, Any]:
    """Verify one fixing: does it pass its checks?

    >>> answer = verify(
    ...     {
    ...         "assessed_on": "2026-11-25",
    ...         "fastener": {"family": "bolt-expansion-zinc", "size": "M12", "embedment_mm": 75},
    ...         "member": {"strength_class": "C25/30", "state": "cracked", "thickness_mm": 200},
    ...         "positions": [{"x_mm": 0, "y_mm": 0}],
    ...         "fixture": {"width_mm": 100, "depth_mm": 100, "thickness_mm": 8},
    ...         "load_cases": [{"name": "pipe", "normal_kn": 2, "sustained_share": 1}],
    ...         "use": {"exposure": "dry_internal"},
    ...     },
    ...     load_rulebook(),
    ... )
    >>> answer["verdict"], answer["governing"]["mode"], answer["rulebook"]["status"]
    ('verified', 'pull_out', 'demonstration')

    Args:
        request: A verification request.
        rulebook: The rulebook to verify by.

    Returns:
        The answer; a fixing that does not pass is an answer too. Its verdict never stands in for a valid assessment of
        the very fastener, local codes and the approval of a licensed or chartered engineer: see its `cautions`.

    Raises:
        RequestRefused: The request is not as the API takes it, or names what the rulebook does not have.
        TypeError: It holds an object that JSON has no word for.
    """
    return _answered(request, rulebook, VerificationRequest(), new_requests.verify)


def size(request: Mapping[str, Any], rulebook: Shelf) -> dict[str, Any]:
    """Size a fixing: which approved fasteners pass under these actions?

    Args:
        request: A sizing request.
        rulebook: The rulebook to size by.

    Returns:
        The answer, with `choices` best first (none where nothing passes) and why each other family was left out; the
        `request` of a choice is one for `verify`. Its `cautions` hold as those of `verify` do.

    Raises:
        RequestRefused: As for `verify`.
        TypeError: As for `verify`.
    """
    return _answered(request, rulebook, SizingRequest(), new_requests.size)


def _answered(request: Mapping[str, Any], rulebook: Shelf, schema: Schema, calculate: Calculation) -> dict[str, Any]:
    # Python says more than JSON does, so what comes is read as strictly as a body.
    try:
        return ask(json.dumps(plain(request)).encode(), schema, rulebook, calculate)[0]
    except Refused as refused:
        raise RequestRefused(refused.status, refused.faults) from None
