"""Holding responses against the committed contract."""

import os
from collections.abc import Mapping
from functools import cache, partial
from pathlib import Path
from typing import Any

import jsonschema_rs
from flask.testing import FlaskClient
from jsonschema import Draft202012Validator, FormatChecker
from referencing import Registry, Resource
from referencing.jsonschema import DRAFT202012
from werkzeug.test import TestResponse

from service.contract.codes import CODES

ROOT = Path(__file__).parents[2]
TIMES = int(os.environ.get("GENERATED_REQUESTS_TIMES", "1"))
"""How many times as many requests are generated as usual; deploy/test-long asks for more."""
COMMITTED = ROOT / "schemas" / "openapi.json"
CONTRACT_URI = "urn:anchor-rulebook:contract"


class Contract:
    """The committed contract, made strict: an answer may not hold what the contract does not name."""

    def __init__(self, document: dict[str, Any]) -> None:
        self.document = document
        strict = _closed(document)
        resource = Resource.from_contents(strict, default_specification=DRAFT202012)
        self._registry: Registry[Any] = Registry().with_resource(CONTRACT_URI, resource)
        self._quick = cache(partial(_quick, strict))

    def hold(self, method: str, path: str, response: TestResponse) -> None:
        """Hold a response against the contract."""
        if method == "OPTIONS" and response.status_code == 204:
            assert response.data == b""
            assert "Content-Type" not in response.headers
            return
        if response.status_code == 405 or (template := self._template(path)) is None:
            # No operation is called, so only the shape of a problem is promised.
            self.conform("Problem", response.get_json())
            assert response.mimetype == "application/problem+json"
            return
        operation = self.document["paths"][template]["get" if method == "HEAD" else method.lower()]
        promised = operation["responses"][str(response.status_code)]
        self._hold_to_operation(promised, response, bodiless=method == "HEAD")

    def _hold_to_operation(self, promised: dict[str, Any], response: TestResponse, bodiless: bool) -> None:
        if "$ref" in promised:
            promised = self.document["components"]["responses"][promised["$ref"].rpartition("/")[2]]
        assert set(promised.get("headers", {})) <= set(response.headers.keys()), "a promised header is missing"
        if "content" not in promised:
            assert response.data == b""
            return
        assert response.mimetype in promised["content"], "media type is not in the contract"
        if bodiless:
            assert response.data == b""
            return
        if response.mimetype == "application/problem+json":
            hold_figures(response)
        schema = promised["content"][response.mimetype]["schema"]
        if "$ref" not in schema:
            assert schema["type"] == "string"
            assert response.get_data(as_text=True)
            return
        self._conform(CONTRACT_URI + schema["$ref"], response.get_json())

    def _template(self, path: str) -> str | None:
        parts = path.split("/")
        for template in self.document["paths"]:
            steps = template.split("/")
            if len(steps) == len(parts) and all(a == b or a.startswith("{") for a, b in zip(steps, parts, strict=True)):
                return str(template)
        return None

    def conform(self, component: str, value: Any) -> None:
        """Hold a value against a schema of the contract."""
        self._conform(f"{CONTRACT_URI}#/components/schemas/{component}", value)

    def _conform(self, reference: str, value: Any) -> None:
        # To hold an answer took longer than to make it; only what is not so is looked at for where and why.
        if self._quick(reference).is_valid(value):
            return
        validator = Draft202012Validator({"$ref": reference}, registry=self._registry, format_checker=FormatChecker())
        found = [f"{error.json_path}: {error.message}" for error in validator.iter_errors(value)]
        raise AssertionError("\n".join(found) or f"not as {reference} has it")


def _quick(document: dict[str, Any], reference: str) -> jsonschema_rs.Draft202012Validator:
    """What holds values against a schema of the document, compiled."""
    schema = {"$ref": reference.removeprefix(CONTRACT_URI), "components": document["components"]}
    return jsonschema_rs.Draft202012Validator(schema, validate_formats=True)


def _closed(value: Any) -> Any:
    if isinstance(value, list):
        return [_closed(item) for item in value]
    if not isinstance(value, dict):
        return value
    closed = {key: _closed(item) for key, item in value.items()}
    named = isinstance(value.get("properties"), dict) and value.get("type") == "object"
    return {"additionalProperties": False} | closed if named else closed


class HeldClient(FlaskClient):
    """A test client whose every response is held against the contract."""

    contract: Contract

    def open(self, *args: Any, **kwargs: Any) -> TestResponse:
        response = super().open(*args, **kwargs)
        self.contract.hold(response.request.method, response.request.path, response)
        return response


def hold_figures(response: TestResponse) -> None:
    """Hold the figures of each fault against those that its code may have."""
    for error in response.get_json()["errors"]:
        assert set(error["figures"]) <= set(CODES[error["code"]].figures), error


def errors_of(response: TestResponse) -> list[Mapping[str, Any]]:
    """Read the errors of a problem document."""
    return list(response.get_json()["errors"])
