"""The versions of the rulebook that the service holds, and the values that a request may give."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from service.api.operations import Call, bound
from service.contract.fields import UNKNOWN
from service.contract.known_codes import known_codes
from service.contract.rulebooks import PATHS, TakenWhenUnknown
from service.contract.terms import (
    ACTION_KINDS,
    BASE_MATERIALS,
    CLEARANCES,
    EDGE_REINFORCEMENTS,
    HOLES,
    KINDS,
    MECHANISMS,
    PROFILES,
    ROTATIONS,
    SETTINGS,
    SITUATIONS,
    STATES,
    STRENGTH_CLASSES,
    TOPPINGS,
)
from service.rulebook import Rulebook
from service.rulebook.shelf import RELEASED, Shelf
from service.rulebook.suspensions import Suspension
from service.rulebook.tree import RULEBOOK
from service.verification.answer import shown_suspension
from service.verification.statements import cautions_of_rulebook


def list_rulebooks(call: Call) -> dict[str, Any]:
    """List the versions that the service holds."""
    shelf = call.serving.shelf
    served = [*_released(shelf), *_working(shelf)]
    return {
        "rulebooks": served,
        "refused": [release.fault.told for release in shelf.releases if release.fault is not None],
        "suspensions": [shown_suspension(suspension) for suspension in shelf.suspensions],
    }


def get_rulebook(call: Call) -> dict[str, Any]:
    """Give a version with the values that a request may give under it."""
    book = call.rulebook(call.path["version"], "version")
    plain = _only(book.document, ("design_basis", "selection_order"))
    unknown = _only(book.document["unknown"], tuple(TakenWhenUnknown().fields))
    return (
        _summary(book, call.serving.shelf)
        | plain
        | {
            "cautions": cautions_of_rulebook(book),
            "site_reduction_floor": book.document["site_reduction"]["floor"],
            "taken_when_unknown": unknown,
            "allowed": allowed_values(book),
            "codes": known_codes(book),
        }
    )


def allowed_values(book: Rulebook) -> dict[str, Any]:
    """Gather the values that a request may give.

    Args:
        book: The rulebook.

    Returns:
        The values by field; those of the contract beside those of the rulebook.
    """
    exposures = book.factors["exposures"]["exposures"]
    unknown = {"title": "Not known", "reason": book.document["unknown"]["reason"]}
    ranges = book.factors["temperature-ranges"]["ranges"]
    told = ("title", "reason")
    limits = ("title", "long_term_max_c", "short_term_max_c", "reason")
    return {
        "site": [_condition(name, data) for name, data in book.factors["site-conditions"]["conditions"].items()],
        "exposure": [
            *({"exposure": name} | _only(data, told) for name, data in exposures.items()),
            {"exposure": UNKNOWN} | unknown,
        ],
        "temperature_range": [
            *({"temperature_range": name} | _only(data, limits) for name, data in ranges.items()),
            {"temperature_range": UNKNOWN, "long_term_max_c": None, "short_term_max_c": None} | unknown,
        ],
        "material": (*BASE_MATERIALS, UNKNOWN),
        "topping": TOPPINGS,
        "strength_class": (*STRENGTH_CLASSES, UNKNOWN),
        "state": (*STATES, UNKNOWN),
        "edge_reinforcement": EDGE_REINFORCEMENTS,
        "clearance": CLEARANCES,
        "profile": PROFILES,
        "rotation": ROTATIONS,
        "situation": SITUATIONS,
        "hole": (*HOLES, UNKNOWN),
        "load_case_kind": KINDS,
        "action_kind": ACTION_KINDS,
        "mechanism": MECHANISMS,
        "setting": SETTINGS,
    }


def _condition(name: str, data: Mapping[str, Any]) -> dict[str, Any]:
    """Tell a site condition for a form."""
    values = [{"value": value} | _only(told, ("factor", "reason")) for value, told in data["values"].items()]
    return {"condition": name, "values": values} | _only(data, ("title", "applies_to"))


def _released(shelf: Shelf) -> Iterator[dict[str, Any]]:
    """Tell the releases that are served, oldest first, without making their rulebooks."""
    for entry, content in shelf.served:
        stopped = [stop for stop in shelf.suspensions if stop.version in {None, entry.version}]
        yield _told(content.documents[RULEBOOK], entry.digest, content.commit, RELEASED, shelf, stopped)


def _working(shelf: Shelf) -> Iterator[dict[str, Any]]:
    """Tell the working rules, where they are no release."""
    if shelf.working is not None and shelf.working.state != RELEASED:
        yield _summary(shelf.working, shelf)


def _registered(digest: str, shelf: Shelf) -> dict[str, str] | None:
    """Tell what the register says of a version."""
    names = ("date", "reason", "author", "checker", "approver", "signatory")
    for release in shelf.releases:
        if release.entry.digest == digest:
            return {name: getattr(release.entry, name) for name in names}
    return None


def _summary(book: Rulebook, shelf: Shelf) -> dict[str, Any]:
    """Tell a version in short."""
    return _told(book.document, book.digest, book.commit, book.state, shelf, book.suspensions)


def _told(
    document: Mapping[str, Any],
    digest: str,
    commit: str | None,
    state: str,
    shelf: Shelf,
    stopped: Iterable[Suspension],
) -> dict[str, Any]:
    """Tell what rulebook.json, the register and the suspensions say of a version."""
    return _only(document, ("version", "name", "status", "effective_from", "effective_until", "signatory")) | {
        "digest": digest,
        "commit": commit,
        "state": state,
        "release": _registered(digest, shelf),
        "suspensions": [shown_suspension(suspension) for suspension in stopped],
    }


def _only(data: Mapping[str, Any], names: tuple[str, ...]) -> dict[str, Any]:
    """Take some members of a mapping."""
    return {name: data[name] for name in names}


OPERATIONS = bound(
    PATHS,
    {"listRulebooks": list_rulebooks, "getRulebook": get_rulebook},
)
