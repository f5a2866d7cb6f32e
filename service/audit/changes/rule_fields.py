"""What the schemas of the rule files say of a field: its words, unit, symbol, and which way it is less safe."""

from __future__ import annotations

import functools
import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, Literal, cast

from service.rulebook.schemas import SUFFIX, kind_of
from service.rulebook.shipped import SCHEMAS
from service.words.units import written

Direction = Literal["higher_is_less_safe", "lower_is_less_safe", "either", "none"]

NULL = re.compile(r"\bnull:? ([^;]+)")
NOTHING: Mapping[str, Any] = MappingProxyType({})


@dataclass(frozen=True)
class RuleField:
    """A field, an entry of a map, or a list of a rule file, as its schema describes it.

    Attributes:
        schema: Its schema with references resolved one level; empty where the schema knows no such field.
        name: Its name in the file, the words where the schema has none.
    """

    schema: Mapping[str, Any]
    name: str

    @property
    def direction(self) -> Direction:
        """Which way a change lets a fixing pass more easily; what no schema knows may do so either way."""
        return cast("Direction", self.schema.get("x-direction", "either"))

    @property
    def order(self) -> tuple[str, ...]:
        """Texts that it may hold, lowest first; empty where they have no order."""
        return tuple(self.schema.get("x-order", ()))

    @property
    def null(self) -> str:
        """What null means beside any value: "less_safe", "safer", or "either"."""
        return str(self.schema.get("x-null", "either"))

    @property
    def empty_is_another_thing(self) -> bool:
        """Whether an empty list stands for something else than no entries."""
        return "x-empty" in self.schema

    @property
    def listing(self) -> Literal["set", "sequence"] | None:
        """How a list of plain values compares; None where it does so by place."""
        return cast("Literal['set', 'sequence'] | None", self.schema.get("x-list"))

    @property
    def key(self) -> tuple[str, ...]:
        """Names of the members that tell the objects of a list apart."""
        return tuple(self.schema.get("x-key", ()))

    @property
    def symbol(self) -> str | None:
        """Symbol of EN 1992-4, where it has one."""
        return self.schema.get("x-symbol")

    @property
    def unit(self) -> str | None:
        """Unit, where it is a figure with one."""
        return written(self.schema.get("x-unit", "1")) or None

    @property
    def words(self) -> str:
        """What it is, without unit and without what its special values mean."""
        described = self.schema.get("description", "").split(";")[0]
        # What stands before a colon is the thing itself, unless it is a single word that needs what comes after.
        before, _, _ = described.partition(": ")
        described = before if " " in before else described
        return described.replace(", ISO 8601", "").strip() or self.name.replace("_", " ")

    @property
    def null_words(self) -> str | None:
        """What null stands for, where the schema says so."""
        found = NULL.search(self.schema.get("description", ""))
        return found[1].strip() if found else None

    @property
    def is_map(self) -> bool:
        """Whether its entries are named by whoever writes the file, or may be left out."""
        return "patternProperties" in self.schema or not self.schema.get("required", True)

    def member(self, name: str) -> RuleField:
        """Describe a member of an object.

        Args:
            name: Its name.

        Returns:
            The field; one that knows nothing where the schema does not.
        """
        named = self.schema.get("properties", NOTHING).get(name)
        if named is None:
            patterns = self.schema.get("patternProperties", NOTHING).items()
            named = next((inner for pattern, inner in patterns if re.search(pattern, name)), NOTHING)
        return RuleField(_resolved(named), name)

    def entry(self) -> RuleField:
        """Describe an entry of a list."""
        return RuleField(_resolved(self.schema.get("items", NOTHING)), self.name)


def root(file: str) -> RuleField:
    """Describe a whole file.

    Args:
        file: Path relative to the rules directory.

    Returns:
        The field at its root.
    """
    documents = _documents()
    kind = kind_of(file)
    return RuleField(documents.get(kind + SUFFIX, NOTHING), kind)


def title_of(file: str, document: object) -> str:
    """Name a file as people do.

    Args:
        file: Path relative to the rules directory.
        document: Its content.

    Returns:
        Its title; the kind of file where it has none.
    """
    given = document.get("title") if isinstance(document, Mapping) else None
    return given if isinstance(given, str) else str(root(file).schema.get("title", file))


@functools.cache
def _documents() -> Mapping[str, Any]:
    return MappingProxyType({path.name: json.loads(path.read_bytes()) for path in SCHEMAS.glob("*" + SUFFIX)})


def _resolved(schema: Mapping[str, Any]) -> Mapping[str, Any]:
    """Follow a reference; what stands beside it counts for more than what it leads to."""
    reference = schema.get("$ref")
    if reference is None:
        return schema
    file, _, pointer = reference.partition("#/")
    found = _documents().get(file, NOTHING)
    for step in pointer.split("/"):
        found = found.get(step, NOTHING)
    return {**_resolved(found), **{name: value for name, value in schema.items() if name != "$ref"}}
