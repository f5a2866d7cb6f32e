"""The JSON Schema of a record, schemas/record.schema.json, made of the statement of request and answer."""

from typing import Any

import orjson

from service import __version__
from service.contract.json_schema import Writer
from service.contract.paths import COMPONENTS
from service.contract.recorded import RecordedRequest
from service.contract.verification import VerificationAnswer

FILE = "record.schema.json"
HEAD: dict[str, Any] = {
    "$schema": "https://json-schema.org/draft/2020-12/schema",
    "$id": "https://anchor-rulebook.example/schemas/record.schema.json",
    "title": "Record",
    "description": "A request and the answer it was given, kept by the caller. The id is answer.record.id, which says "
    "what it covers. Test vectors: record-vectors.json.",
    "type": "object",
    "additionalProperties": False,
    "required": ["request", "answer"],
    "properties": {
        "request": {"$ref": "#/$defs/request", "description": "A complete verification request"},
        "answer": {"$ref": "#/$defs/answer", "description": "The answer as it was given"},
    },
}


def build() -> dict[str, Any]:
    """Build the schema.

    Returns:
        The schema; answers are open to fields that are added, requests are not.
    """
    writer = Writer("Record", __version__)
    writer.spec.components.schema("request", schema=RecordedRequest)
    writer.spec.components.schema("answer", schema=VerificationAnswer)
    parts = writer.document()["components"]["schemas"]
    return HEAD | {"$defs": {name: _within(parts[name]) for name in sorted(parts)}}


def rendered() -> bytes:
    """Write the schema out."""
    return orjson.dumps(build(), option=orjson.OPT_INDENT_2 | orjson.OPT_APPEND_NEWLINE)


def _within(part: Any) -> Any:
    """Let references lead into this document; who replays a record holds its request to the rules across fields."""
    if isinstance(part, list):
        return [_within(item) for item in part]
    if not isinstance(part, dict):
        return part
    return {
        key: f"#/$defs/{value.removeprefix(COMPONENTS)}" if key == "$ref" else _within(value)
        for key, value in part.items()
        if key != "dependentSchemas"
    }
