"""Lists of words in the contract document: each a component with a name, so that a client has one type for it."""

from collections.abc import Iterator, Mapping
from typing import Any

from service.contract import terms
from service.contract.fields import UNKNOWN
from service.contract.paths import COMPONENTS

NAMES: Mapping[str, tuple[str, ...]] = {
    "ActionKind": terms.ACTION_KINDS,
    "ApprovalStatus": terms.APPROVALS,
    "AnswerDetail": terms.DETAILS,
    "CauseKind": terms.CAUSES,
    "BaseMaterial": terms.BASE_MATERIALS,
    "ClearanceHoles": terms.CLEARANCES,
    "Combination": terms.COMBINATIONS,
    "ConcreteState": terms.STATES,
    "DesignSituation": terms.SITUATIONS,
    "EdgeReinforcement": terms.EDGE_REINFORCEMENTS,
    "FailureMode": terms.MODES,
    "FixtureRotation": terms.ROTATIONS,
    "HoleCondition": terms.HOLES,
    "LoadCaseKind": terms.KINDS,
    "RecordedLoadCaseKind": terms.RECORDED_KINDS,
    "Mechanism": terms.MECHANISMS,
    "MemberEdge": terms.EDGES,
    "SectionProfile": terms.PROFILES,
    "RulebookState": terms.RULE_STATES,
    "RulesFaultCode": terms.RULES_FAULTS,
    "Setting": terms.SETTINGS,
    "StrengthClass": terms.STRENGTH_CLASSES,
    "ToppingKind": terms.TOPPINGS,
    "Verdict": terms.VERDICTS,
}
"""Lists that several fields share. Any other is named by its object and its field."""

_BY_WORDS = {words: name for name, words in NAMES.items()}


def name_enumerations(document: dict[str, Any]) -> None:
    """Move every list of words out of the fields of a document, into a component of its own.

    Args:
        document: The OpenAPI document, changed in place.

    Raises:
        ValueError: A list would get the name of a schema.
    """
    schemas = document["components"]["schemas"]
    lists: dict[str, dict[str, Any]] = {}
    for owner in list(schemas):
        for name, holder, key in list(_places(schemas[owner], owner)):
            _move(holder, key, name, lists)
    for path in document["paths"].values():
        for operation in path.values():
            for parameter in operation.get("parameters", ()):
                if "enum" in parameter.get("schema", {}):
                    _move(parameter, "schema", _title(operation["operationId"], parameter["name"]), lists)
    clashing = lists.keys() & schemas.keys()
    if clashing:
        raise ValueError(f"schemas and lists of words of one name: {', '.join(sorted(clashing))}")
    schemas.update(sorted(lists.items()))


def _places(part: Any, name: str) -> Iterator[tuple[str, dict[str, Any], str]]:
    """Find the fields that hold a list of words: their name, and the object and key where they stand."""
    if not isinstance(part, dict):
        return
    for group in ("properties", "patternProperties"):
        for field, inner in part.get(group, {}).items():
            own = _title(name, field) if group == "properties" else name
            if "enum" in inner:
                yield own, part[group], field
            else:
                yield from _places(inner, own)
    if "items" in part:
        if "enum" in part["items"]:
            yield name, part, "items"
        else:
            yield from _places(part["items"], name)


def _move(holder: dict[str, Any], key: str, name: str, lists: dict[str, dict[str, Any]]) -> None:
    """Put a reference in the place of a list of words."""
    facts = holder[key]
    words = tuple(word for word in facts.pop("enum") if word is not None)
    shared = _name(words) or name
    nullable = "null" in facts.pop("type", ())
    lists[shared] = {"type": "string", "enum": list(words)}
    reference: dict[str, Any] = {"$ref": f"{COMPONENTS}{shared}"}
    holder[key] = {"anyOf": [reference, {"type": "null"}], **facts} if nullable else {**reference, **facts}


def _name(words: tuple[str, ...]) -> str | None:
    if words in _BY_WORDS:
        return _BY_WORDS[words]
    if words[-1:] == (UNKNOWN,) and words[:-1] in _BY_WORDS:
        return f"{_BY_WORDS[words[:-1]]}OrUnknown"
    return None


def _title(owner: str, field: str) -> str:
    return owner[:1].upper() + owner[1:] + "".join(word.capitalize() for word in field.split("_"))
