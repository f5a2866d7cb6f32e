"""The contract: one OpenAPI document, made of the operations and the schemas that the service itself uses.

`python -m service.contract.document` writes it to schemas/openapi.json, and schemas/record.schema.json beside it.
"""

from functools import cache
from pathlib import Path
from typing import Any

import orjson
from apispec import APISpec

from service import __version__
from service.contract import record_schema, rules_schemas
from service.contract.enumerations import name_enumerations
from service.contract.faults import EXAMPLES, KINDS
from service.contract.faults import MEDIA_TYPE as PROBLEM_MEDIA_TYPE
from service.contract.faults import document as problem_document
from service.contract.generators import days_by_format, open_in_answers
from service.contract.json_schema import Writer
from service.contract.paths import DIGEST_HEADER, MEDIA_TYPE, VERSION_HEADER, Link
from service.contract.paths import Path as StatedPath
from service.contract.paths_stated import paths
from service.contract.problems import Problem
from service.contract.sheets import RequestOrRecord
from service.contract.terms import DIGEST
from service.rulebook.shipped import SCHEMAS

FILE = "openapi.json"
ANSWER_EXAMPLES = "answer-examples.json"
"""What the service really answered; deploy/answer_examples.py writes it, cut as it says there."""

_EXAMPLE_IS_CUT = (
    "The example is what was really answered, cut for reading: of a list its first two entries, of a large object its "
    "first member, and stand-ins for commits and their authors."
)
DESCRIPTION = """\
Sizes and verifies fixings in concrete to EN 1992-4 by a versioned rulebook.

* Names end in their unit: `_mm`, `_mm3`, `_kn`, `_knm`, `_nm`, `_mpa`, `_kg`, `_c`. A ratio has no suffix. Each number carries its unit as `x-unit` too; 1 is a ratio or a count.
* x and y lie in the concrete surface, z points out of the concrete; a normal force is positive when it pulls. Load cases act at the origin in the surface.
* Unknown fields, NaN, infinities, duplicate keys, numbers outside their range and numbers under 1e-30 in size that are not 0 are refused. What is wrong comes back as a problem document (RFC 9457) with a stable code and the place of each error, at most 50 of them.
* Answers may gain fields and codes; clients must tolerate them. A field that a request may leave out says what that means, and null in it means the same as leaving it out.
* GET paths take HEAD too. OPTIONS answers 204 without a body; its header Allow names the methods of the path. Any other method is answered 405 with a problem document, and Allow says the same.
* Families and versions of the rulebook come with an ETag for the rulebook and the version of the service. Ask again with If-None-Match: the answer is 304 without a body while nothing has changed.
* `/docs` is this document for people.
"""  # noqa: E501 lines of Markdown
TAGS = {
    "Verification": "Does a fixing pass its checks?",
    "Sizing": "Which approved fixing should be used?",
    "The work on site": "What the crew does, and what became of it.",
    "Site tests": "How many to pull on site and how hard, and what the pulls show.",
    "Loads and labels": "From a thing or a label to loads, and what the site could do better.",
    "Rulebook": "What the rulebook approves and allows.",
    "Running it": "Health of the service, and this document.",
}


def build() -> dict[str, Any]:
    """Build the contract."""
    writer = Writer(
        "Anchor Rulebook",
        __version__,
        info={"description": DESCRIPTION},
        servers=[{"url": "/", "description": "Where this document is served."}],
        security=[],
        tags=[{"name": name, "description": description} for name, description in TAGS.items()],
    )
    _add_shared_parts(writer.spec)
    for operation in paths():
        writer.spec.path(path=operation.path, operations={operation.method.lower(): _described(operation)})
    document = writer.document()
    name_enumerations(document)
    days_by_format(document)
    open_in_answers(document)
    return document


@cache
def served() -> bytes:
    """Write the contract out for programs."""
    return orjson.dumps(build())


def rendered() -> bytes:
    """Write the contract out for people."""
    return orjson.dumps(build(), option=orjson.OPT_INDENT_2 | orjson.OPT_APPEND_NEWLINE)


def write(directory: Path = SCHEMAS) -> None:
    """Write the contract and the schema of its records to their files.

    Args:
        directory: Where they stand.
    """
    (directory / FILE).write_bytes(rendered())
    (directory / record_schema.FILE).write_bytes(record_schema.rendered())


def _add_shared_parts(spec: APISpec) -> None:
    """Put in what several operations refer to."""
    for name, schema in rules_schemas.components().items():
        spec.components.schema(name, schema)
    spec.components.schema(RequestOrRecord.component, dict(RequestOrRecord.schema))
    spec.components.header(
        VERSION_HEADER, {"description": "Version of the rulebook.", "required": True, "schema": {"type": "string"}}
    )
    spec.components.header(
        "ETag",
        {
            "description": "Stands for the rulebook and the version of the service; for If-None-Match.",
            "required": True,
            "schema": {"type": "string"},
        },
    )
    spec.components.header(
        "Cache-Control",
        {
            "description": "no-cache: may be kept, and is to be asked for again with If-None-Match.",
            "required": True,
            "schema": {"const": "no-cache"},
        },
    )
    spec.components.header(
        DIGEST_HEADER,
        {
            "description": "Digest of all files of the rulebook.",
            "required": True,
            "schema": {"type": "string", "pattern": DIGEST},
        },
    )
    for status in sorted({status for operation in paths() for status in operation.problems}):
        content = {
            PROBLEM_MEDIA_TYPE: {"schema": Problem, "example": problem_document(status, *EXAMPLES.get(status, ()))}
        }
        spec.components.response(f"Problem{status}", {"description": f"{KINDS[status].title}.", "content": content})


def _described(operation: StatedPath) -> dict[str, Any]:
    """Describe an operation."""
    described = {
        "operationId": operation.name,
        "summary": operation.summary,
        "description": operation.description,
        "tags": [operation.tag],
        "parameters": [*_path_parameters(operation), *_query_parameters(operation), *_known_state(operation)],
        "responses": {"200": _answer(operation)} | _otherwise(operation),
    }
    if operation.body:
        content = {MEDIA_TYPE: {"schema": operation.body, "examples": dict(operation.examples)}}
        described["requestBody"] = {"required": True, "content": content}
    return described


def _answer(operation: StatedPath) -> dict[str, Any]:
    """Describe the answer of an operation."""
    answer: dict[str, Any] = {
        "description": f"{(operation.answer.__doc__ or '').splitlines()[0]} {_EXAMPLE_IS_CUT}",
        "content": {MEDIA_TYPE: {"schema": operation.answer} | _example(operation)} | _other_forms(operation),
    }
    headers = _headers(operation)
    if headers:
        answer["headers"] = headers
    if operation.links:
        answer["links"] = {link.name: _link(link) for link in operation.links}
    return answer


def _example(operation: StatedPath) -> dict[str, Any]:
    """Show what was answered; a path that is being added has been asked nothing yet."""
    examples = _answer_examples()
    return {"example": examples[operation.name]} if operation.name in examples else {}


@cache
def _answer_examples() -> dict[str, Any]:
    examples: dict[str, Any] = orjson.loads((SCHEMAS / ANSWER_EXAMPLES).read_bytes())
    return examples


def _other_forms(operation: StatedPath) -> dict[str, Any]:
    """Describe the forms beside JSON that an answer can be given in."""
    described = {"type": "string", "description": "The same answer as a document of this media type."}
    return {form: {"schema": described} for form in operation.media_types if form != MEDIA_TYPE}


def _headers(operation: StatedPath) -> dict[str, str]:
    """Name the headers of an answer."""
    names = (VERSION_HEADER, DIGEST_HEADER) if operation.names_rulebook else ()
    kept = ("ETag", "Cache-Control") if operation.changes_with_the_rulebook else ()
    return {name: name for name in (*names, *kept)}


def _otherwise(operation: StatedPath) -> dict[str, Any]:
    """Describe what an operation answers in place of an answer."""
    unchanged = {"description": "Nothing has changed since the answer whose ETag is in If-None-Match."}
    responses: dict[str, Any] = {str(status): f"Problem{status}" for status in operation.problems}
    if operation.changes_with_the_rulebook:
        responses["304"] = unchanged | {"headers": _headers(operation)}
    return dict(sorted(responses.items()))


def _known_state(operation: StatedPath) -> list[dict[str, Any]]:
    """Describe the header by which a caller says what it has already."""
    if not operation.changes_with_the_rulebook:
        return []
    words = "ETag of an answer that the caller has already: 304 as long as nothing has changed."
    header = {"in": "header", "name": "If-None-Match", "required": False, "description": words}
    return [header | {"schema": {"type": "string"}}]


def _link(link: Link) -> dict[str, Any]:
    """Describe where an answer leads."""
    described: dict[str, Any] = {"operationId": link.operation, "description": link.description}
    if link.parameters:
        described["parameters"] = dict(link.parameters)
    if link.request_body:
        described["requestBody"] = link.request_body
    return described


def _path_parameters(operation: StatedPath) -> list[dict[str, Any]]:
    """Describe the parameters in the path."""
    return [
        {
            "in": "path",
            "name": parameter.name,
            "required": True,
            "description": parameter.description,
            "example": parameter.example,
            "schema": {"type": "string", "minLength": 1, "maxLength": 80},
        }
        for parameter in operation.path_parameters
    ]


def _query_parameters(operation: StatedPath) -> list[dict[str, Any]]:
    """Describe the query parameters."""
    schema = operation.query() if operation.query else None
    described = []
    for name, field in (schema.fields if schema else {}).items():
        facts = dict(field.metadata)
        parameter = {"in": "query", "name": name, "required": field.required, "description": facts.pop("description")}
        if name in operation.query_examples:
            parameter["example"] = operation.query_examples[name]
        described.append(parameter | {"schema": facts})
    return described


if __name__ == "__main__":
    write()
