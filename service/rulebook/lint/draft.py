"""A rulebook under check: documents that passed their schema, and what is known of those that did not."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any, Protocol

from service.rulebook.finding import Finding, error, pointer_to
from service.rulebook.tree import REGISTER, RULEBOOK, Stray


@dataclass(frozen=True)
class Draft:
    """What a rule of the checker reads.

    Attributes:
        documents: Documents by relative path; each one passed its schema.
        unsound: Paths of the files that did not, or that are no JSON.
        strays: What the rulebook does not reach.
        beside: The register of releases and the suspensions, where they are there and passed their schema.
        signed: Versions for which a signature is there.
    """

    documents: Mapping[str, Any]
    unsound: frozenset[str]
    strays: tuple[Stray, ...]
    beside: Mapping[str, Any]
    signed: frozenset[str]

    @property
    def rulebook(self) -> Mapping[str, Any] | None:
        """Content of rulebook.json; None when it is missing or unsound."""
        document: Mapping[str, Any] | None = self.documents.get(RULEBOOK)
        return document

    @property
    def known_families(self) -> frozenset[str]:
        """Ids of all families, those of unsound files by their names."""
        sound = {family["id"] for _, family in self.families()}
        unsound = {_stem(file) for file in self.unsound if file.startswith("families/")}
        return frozenset(sound | unsound)

    @property
    def releases(self) -> list[Mapping[str, Any]]:
        """What the register names, oldest first; nothing where it is missing or unsound."""
        register: Mapping[str, Any] = self.beside.get(REGISTER, {})
        return list(register.get("releases", ()))

    def factor(self, name: str) -> Mapping[str, Any] | None:
        """Find a factor file.

        Args:
            name: Name of the file without .json.

        Returns:
            Its content; None when it is missing or unsound.
        """
        document: Mapping[str, Any] | None = self.documents.get(f"factors/{name}.json")
        return document

    def families(self) -> Iterator[tuple[str, Mapping[str, Any]]]:
        """Walk through the families."""
        yield from self._under("families/")

    def references(self) -> Iterator[tuple[str, Mapping[str, Any]]]:
        """Walk through the reference fixings."""
        yield from self._under("reference/")

    def sizes(self) -> Iterator[Size]:
        """Walk through the sizes of all families."""
        for file, family in self.families():
            yield from sizes_of(file, family)

    def embedments(self) -> Iterator[Embedment]:
        """Walk through the embedments of all sizes."""
        for size in self.sizes():
            yield from size.embedments()

    def _under(self, directory: str) -> Iterator[tuple[str, Mapping[str, Any]]]:
        for file, document in self.documents.items():
            if file.startswith(directory):
                yield file, document


class Place:
    """A part of a family, where a rule finds something."""

    def error(self, rule: str, message: str, *steps: str | int, found: str, allowed: str, tip: str) -> Finding:
        """Make a finding within the part.

        Args:
            rule: Name of the rule.
            message: What is wrong, in one sentence.
            steps: The way from the part to the place.
            found: What stands there.
            allowed: What may stand there.
            tip: What to do about it.

        Returns:
            The finding.

        Raises:
            NotImplementedError: Each part knows where it stands.
        """
        raise NotImplementedError

    def warning(self, rule: str, message: str, *steps: str | int, found: str, allowed: str, tip: str) -> Finding:
        """Make a finding within the part that does not keep the service from starting."""
        finding = self.error(rule, message, *steps, found=found, allowed=allowed, tip=tip)
        return replace(finding, severity="warning")


@dataclass(frozen=True)
class Size(Place):
    """One size of a family, and where it stands.

    Attributes:
        file: Path of the family's file.
        family: The family.
        name: Name of the size.
        content: What the file says of the size.
    """

    file: str
    family: Mapping[str, Any]
    name: str
    content: Mapping[str, Any]

    def embedments(self) -> Iterator[Embedment]:
        """Walk through the embedments."""
        for key, content in self.content["embedments"].items():
            yield Embedment(self, key, content)

    def error(self, rule: str, message: str, *steps: str | int, found: str, allowed: str, tip: str) -> Finding:
        """Make a finding within the size."""
        place = pointer_to("sizes", self.name, *steps)
        return error(self.file, place, rule, message, found=found, allowed=allowed, tip=tip)


@dataclass(frozen=True)
class Embedment(Place):
    """One embedment of a size, and where it stands.

    Attributes:
        size: The size.
        key: Key of the embedment: its effective depth in mm as text.
        content: What the file says of the embedment.
    """

    size: Size
    key: str
    content: Mapping[str, Any]

    def error(self, rule: str, message: str, *steps: str | int, found: str, allowed: str, tip: str) -> Finding:
        """Make a finding within the embedment."""
        return self.size.error(rule, message, "embedments", self.key, *steps, found=found, allowed=allowed, tip=tip)


class LintRule(Protocol):
    """What each module of this package offers."""

    RULE: str
    SUMMARY: str

    def check(self, draft: Draft) -> Iterator[Finding]:
        """Look for what the rule forbids."""


def sizes_of(file: str, family: Mapping[str, Any]) -> Iterator[Size]:
    """Walk through the sizes of one family.

    Args:
        file: Path of the family's file.
        family: The family.

    Yields:
        Each size.
    """
    for name, content in family["sizes"].items():
        yield Size(file, family, name, content)


def approvals(draft: Draft) -> Iterator[tuple[str, str, Mapping[str, Any]]]:
    """Walk through the approvals of families and of sizes that have one of their own."""
    for file, family in draft.families():
        yield file, pointer_to("approval"), family["approval"]
    for size in draft.sizes():
        if size.content["approval"] is not None:
            yield size.file, pointer_to("sizes", size.name, "approval"), size.content["approval"]


def _stem(file: str) -> str:
    return file.rpartition("/")[2].removesuffix(".json")
