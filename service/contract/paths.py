"""The statement of a path: what it takes, what it answers, and how it may fail; the view is the service's."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from marshmallow import Schema

MEDIA_TYPE = "application/json"
VERSION_HEADER = "Rulebook-Version"
DIGEST_HEADER = "Rulebook-Digest"
COMPONENTS = "#/components/schemas/"
"""Where the document has its schemas."""


@dataclass(frozen=True)
class PathParameter:
    """A parameter in the path."""

    name: str
    description: str
    example: str


@dataclass(frozen=True)
class Link:
    """Where an answer leads: another operation, and where its input stands in the answer."""

    name: str
    description: str
    operation: str
    parameters: Mapping[str, str] = field(default_factory=dict)
    request_body: str | None = None


@dataclass(frozen=True)
class Path:
    """A method on a path, as the contract states it."""

    method: str
    path: str
    name: str
    summary: str
    description: str
    tag: str
    answer: type[Schema]
    body: type[Schema] | None = None
    examples: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    query: type[Schema] | None = None
    query_examples: Mapping[str, str] = field(default_factory=dict)
    path_parameters: tuple[PathParameter, ...] = ()
    links: tuple[Link, ...] = ()
    names_rulebook: bool = True
    changes_with_the_rulebook: bool = False
    ignores_parameters: bool = False
    media_types: tuple[str, ...] = (MEDIA_TYPE,)
    may_conflict: bool = False

    @property
    def rule(self) -> str:
        """The path as Flask writes it."""
        return self.path.replace("{", "<").replace("}", ">")

    @property
    def problems(self) -> tuple[int, ...]:
        """Statuses of the problems that a call can end in."""
        found = {406, 500}
        found |= set() if self.ignores_parameters else {422}
        found |= {400, 411, 413, 415} if self.body else set()
        found |= {404} if self.path_parameters else set()
        found |= {409} if self.may_conflict else set()
        found |= {503} if self.names_rulebook else set()
        return tuple(sorted(found))
