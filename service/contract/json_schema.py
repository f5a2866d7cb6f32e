"""From the statement of requests and answers to JSON Schema: what apispec cannot say of our own fields."""

from collections.abc import Iterator
from typing import Any

from apispec import APISpec
from apispec.ext.marshmallow import MarshmallowPlugin
from marshmallow import Schema, fields

from service.contract.coherence import Told
from service.contract.fields import Conditions, PartOrUnknown
from service.contract.paths import COMPONENTS
from service.contract.request_schema import RequestSchema
from service.contract.sheets import RequestOrRecord
from service.contract.statement import RulesPart

OPENAPI = "3.1.0"
"""The version whose schemas are those of JSON Schema 2020-12."""


class Writer:
    """Writes schemas into a document of OpenAPI, each as a component."""

    def __init__(self, title: str, version: str, **options: Any) -> None:
        """Begin a document.

        Args:
            title: Its title.
            version: Its version.
            **options: More of it, as APISpec takes it.

        Raises:
            RuntimeError: apispec did not set its plugin up.
        """
        plugin = MarshmallowPlugin()
        self.spec = APISpec(title=title, version=version, openapi_version=OPENAPI, plugins=[plugin], **options)
        if plugin.converter is None:
            raise RuntimeError("apispec did not set its plugin up")
        self._converter = plugin.converter
        self._converter.add_attribute_function(_own_parts)  # type: ignore[no-untyped-call]

    def document(self) -> dict[str, Any]:
        """Write the document out, each component with the first line of its schema's docstring.

        Returns:
            The document.

        Raises:
            ValueError: Two rules across fields stand in one place.
        """
        document: dict[str, Any] = self.spec.to_dict()
        schemas = document["components"]["schemas"]
        names = {key[0]: name for key, name in self._converter.refs.items()}
        made_of = {schema: {each.__name__ for each in schema.__mro__} for schema in names}
        for schema, name in names.items():
            schemas[name]["description"] = (schema.__doc__ or "").splitlines()[0]
            for rule in _told(schema):
                about = [each for each in names if rule.component in made_of[each]]
                for component in [name] if schema in about else [names[each] for each in about]:
                    _state(schemas[component], rule)
        return document


def _state(component: dict[str, Any], rule: Told) -> None:
    """Put a rule across fields into the component that it is about."""
    stated = component.setdefault("dependentSchemas", {})
    for field, forms in rule.forms.items():
        if stated.setdefault(field, {"anyOf": list(forms)}) != {"anyOf": list(forms)}:
            raise ValueError(f"{rule.component}: two rules across fields stand under {field}")


def _told(schema: type[Schema]) -> Iterator[Told]:
    """Rules across fields that JSON Schema can say."""
    if issubclass(schema, RequestSchema):
        yield from (rule for rule in schema.rules() if isinstance(rule, Told))


def _own_parts(_: Any, field: fields.Field[Any], *, ret: dict[str, Any]) -> dict[str, Any]:
    """Say of our own fields what apispec can't."""
    if isinstance(field, Conditions):
        return {"propertyNames": field.metadata["propertyNames"]}
    if isinstance(field, PartOrUnknown):
        return {"anyOf": [*ret["anyOf"], {"const": "unknown"}]}
    if isinstance(field, RulesPart | RequestOrRecord):
        return {"$ref": f"{COMPONENTS}{field.component}"}
    return {}
