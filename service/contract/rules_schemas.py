"""The schemas of rule files as parts of the contract, so that a family is described once, where its file is."""

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from service.contract.paths import COMPONENTS
from service.rulebook.shipped import SCHEMAS

COMMON = "common.schema.json"


def components(schemas: Path = SCHEMAS) -> dict[str, dict[str, Any]]:
    """Read the schemas of rule files that answers refer to.

    Args:
        schemas: Directory of the schemas.

    Returns:
        Schemas by the name of their component.
    """
    shared = _read(schemas / COMMON)["$defs"]
    parts = {_name(name): _as_component(schema) for name, schema in shared.items()}
    return parts | {"RulesFamily": _as_component(_read(schemas / "family.schema.json"))}


def _read(path: Path) -> dict[str, Any]:
    """Read a schema file."""
    document: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return document


def _name(definition: str) -> str:
    """Name the component of a shared definition."""
    return "Rules" + "".join(word.capitalize() for word in definition.split("_"))


def _as_component(schema: Any) -> Any:
    """Make a schema of a file stand in the contract: references into it, and open to added fields as answers are."""
    if isinstance(schema, list):
        return [_as_component(item) for item in schema]
    if not isinstance(schema, Mapping):
        return schema
    dropped = {"$schema", "$id"} | ({"additionalProperties"} if "properties" in schema else set())
    return {
        key: _reference(value) if key == "$ref" else _as_component(value)
        for key, value in schema.items()
        if key not in dropped
    }


def _reference(reference: str) -> str:
    """Turn a reference to a shared definition into one to its component."""
    return f"{COMPONENTS}{_name(reference.removeprefix(COMMON + '#/$defs/'))}"
