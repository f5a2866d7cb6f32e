"""The families that the rulebook approves."""

from collections.abc import Mapping
from typing import Any

from service.api.operations import Call, bound
from service.contract.families import PATHS
from service.contract.faults import Fault, Refused
from service.rulebook import Rulebook
from service.rulebook.suspensions import Suspension
from service.verification.answer import shown_suspension

Family = Mapping[str, Any]


def list_families(call: Call) -> dict[str, Any]:
    """List the families that pass the filters of a call.

    Args:
        call: The call.

    Returns:
        The families in short.

    Raises:
        Refused: A filter names an exposure or a size that the rulebook has not.
    """
    book = call.serving.rulebook
    _refuse_unknown(book, call.query)
    families = [book.families[name] for name in sorted(book.families)]
    kept = [family for family in families if passes(family, call.query, book.suspensions)]
    return {"families": [_summary(family, book.suspensions) for family in kept], "rulebook": call.serving.identity()}


def get_family(call: Call) -> dict[str, Any]:
    """Give a family as the rulebook has it.

    Args:
        call: The call.

    Returns:
        The family and the rulebook it stands in.

    Raises:
        Refused: The rulebook has no such family.
    """
    book = call.serving.rulebook
    families = book.families
    family = families.get(call.path["family"])
    if family is None:
        known = sorted(families)
        words, figures = f"known families: {', '.join(known)}", {"allowed": known}
        raise Refused(404, [Fault("unknown_family", words, parameter="family", figures=figures)], "No such family.")
    stopped = [shown_suspension(stop) for stop in book.suspensions if stop.family == call.path["family"]]
    return {"family": family, "suspensions": stopped, "rulebook": call.serving.identity()}


def _refuse_unknown(book: Rulebook, filters: Mapping[str, str]) -> None:
    """Refuse what can only be a slip: an exposure or a size that nothing in the rulebook has."""
    sizes = sorted({size for family in book.families.values() for size in family["sizes"]})
    lists = (("exposure", "not_allowed", book.factors["exposures"]["exposures"]), ("size", "unknown_size", sizes))
    faults = [
        Fault(code, f"must be one of: {', '.join(known)}", parameter=name, figures={"allowed": list(known)})
        for name, code, known in lists
        if name in filters and filters[name] not in known
    ]
    if faults:
        raise Refused(422, faults)


def passes(family: Family, filters: Mapping[str, str], suspensions: tuple[Suspension, ...] = ()) -> bool:
    """Say whether a family passes filters.

    Args:
        family: The family as in the rulebook.
        filters: Query parameters.
        suspensions: What is suspended for new work.

    Returns:
        Whether it passes every one of them.
    """
    plain = {"mechanism": family["mechanism"], "setting": family["setting"], "removable": _word(family["removable"])}
    if any(filters.get(name, value) != value for name, value in plain.items()):
        return False
    if "exposure" in filters and filters["exposure"] not in family["exposures"]:
        return False
    statuses = {
        size: status(family, size, suspensions) for size in family["sizes"] if filters.get("size", size) == size
    }
    return bool(statuses) and ("status" not in filters or filters["status"] in statuses.values())


def status(family: Family, size: str, suspensions: tuple[Suspension, ...] = ()) -> str:
    """Read what may be done with a size today.

    Args:
        family: The family as in the rulebook.
        size: One of its sizes.
        suspensions: What is suspended for new work.

    Returns:
        "suspended" where it is, whatever its approval says; else the status of the size's own approval, or else the
        family's.
    """
    if any(suspension.concerns(family["id"], size) for suspension in suspensions):
        return "suspended"
    own = family["sizes"][size]["approval"] or family["approval"]
    return str(own["status"])


def _word(flag: bool) -> str:
    """Write a flag as a query parameter has it."""
    return "true" if flag else "false"


def _summary(family: Family, suspensions: tuple[Suspension, ...]) -> dict[str, Any]:
    """Tell a family in short."""
    plain = ("id", "title", "mechanism", "setting", "removable", "exposures", "preference_rank")
    sizes = [
        {
            "size": size,
            "status": status(family, size, suspensions),
            "approval": data["approval"],
            "embedments_mm": [row["depth"]["effective_mm"] for row in data["embedments"].values()],
        }
        for size, data in family["sizes"].items()
    ]
    return {name: family[name] for name in plain} | {"approval": family["approval"], "sizes": sizes}


OPERATIONS = bound(
    PATHS,
    {"listFamilies": list_families, "getFamily": get_family},
)
