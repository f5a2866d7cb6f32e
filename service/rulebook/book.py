"""A rulebook that passed its checks, ready to be calculated with."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from types import MappingProxyType
from typing import Any

from service.rulebook.digest import digest
from service.rulebook.finding import Finding
from service.rulebook.history import commit_of
from service.rulebook.lint import findings_of
from service.rulebook.register import entries
from service.rulebook.suspensions import Suspension, suspensions
from service.rulebook.tree import RULEBOOK, Tree, of_parsed, read

SHOWN = 5


class RulebookInvalid(ValueError):  # noqa: N818 - the name is part of the package's interface
    """The rules have errors, so nothing may be calculated with them.

    Attributes:
        findings: Everything the checker found, warnings among them.
    """

    def __init__(self, findings: tuple[Finding, ...]) -> None:
        """Say how many errors there are and show the first of them.

        Args:
            findings: What the checker found.
        """
        errors = [finding.text for finding in findings if finding.severity == "error"]
        more = [f"and {len(errors) - SHOWN} more"] if len(errors) > SHOWN else []
        super().__init__("\n".join([f"the rulebook has {len(errors)} error(s):", *errors[:SHOWN], *more]))
        self.findings = findings


@dataclass(frozen=True, eq=False)
class Rulebook:
    """A rulebook; every mapping is a read-only view of the parsed files.

    Attributes:
        path: The rules directory, or the file of a packed rulebook.
        version: Version, CalVer year.number.patch.
        status: Whose data it is: "demonstration" or "company".
        digest: "sha256:" and the digest of its content.
        commit: The commit that holds exactly these rules, if there is one.
        state: "released": the register names exactly this content; "working": it may still change.
        document: rulebook.json.
        families: Families by id.
        factors: Factor files by id ("site-conditions", "exposures", "temperature-ranges", "guard-loads").
        reference: Reference fixings, by the order of their ids.
        suspensions: What is suspended for new work, whatever the rules say.
        superseded_by: The higher version that was in force on the day it is used for; None where there is none.
    """

    path: Path
    version: str
    status: str
    digest: str
    commit: str | None
    state: str
    document: Mapping[str, Any]
    families: Mapping[str, Mapping[str, Any]]
    factors: Mapping[str, Mapping[str, Any]]
    reference: tuple[Mapping[str, Any], ...]
    suspensions: tuple[Suspension, ...] = ()
    superseded_by: str | None = None

    @cached_property
    def deepest_mm(self) -> float:
        """The deepest effective embedment of any family (mm)."""
        return max(
            float(row["depth"]["effective_mm"])
            for family in self.families.values()
            for size in family["sizes"].values()
            for row in size["embedments"].values()
        )


def load(rules: Path) -> Rulebook:
    """Read the rulebook of a directory, check it, and give it with its identity.

    Args:
        rules: The rules directory.

    Returns:
        The rulebook.

    Raises:
        RulebookInvalid: If the checker finds an error.
    """
    rules = Path(rules).resolve()
    return of_tree(read(rules), path=rules, commit=commit_of(rules))


def of_tree(tree: Tree, *, path: Path, commit: str | None) -> Rulebook:
    """Check the files of a rules directory and make the working rulebook of them.

    Args:
        tree: The files.
        path: The rules directory.
        commit: The commit that holds exactly these rules, if there is one.

    Returns:
        The rulebook, with the suspensions that apply to it.

    Raises:
        RulebookInvalid: If the checker finds an error.
    """
    refuse_errors(findings_of(tree))
    book = of_documents(tree.documents, path=path, commit=commit, state="working")
    released = any((entry.version, entry.digest) == (book.version, book.digest) for entry in entries(tree))
    applying = tuple(s for s in suspensions(tree) if s.version in {None, book.version})
    return replace(book, state="released" if released else "working", suspensions=applying)


def of_documents(documents: Mapping[str, Any], *, path: Path, commit: str | None, state: str) -> Rulebook:
    """Make a rulebook of parsed documents that are known to be in order.

    Args:
        documents: Documents that calculate, by path relative to the rules directory.
        path: Where they come from.
        commit: The commit that holds exactly these rules, if there is one.
        state: "released" or "working".

    Returns:
        The rulebook, without suspensions.
    """
    frozen = {file: _read_only(document) for file, document in documents.items()}
    document = frozen[RULEBOOK]
    return Rulebook(
        path=path,
        version=document["version"],
        status=document["status"],
        digest=digest(documents),
        commit=commit,
        state=state,
        document=document,
        families=_by_id(frozen, "families"),
        factors=_by_id(frozen, "factors"),
        reference=tuple(_by_id(frozen, "reference").values()),
    )


def check(documents: Mapping[str, Any]) -> tuple[Finding, ...]:
    """Check parsed documents that do not lie in a directory.

    Args:
        documents: Documents that calculate, by path relative to the rules directory.

    Returns:
        What is wrong with them.
    """
    return findings_of(of_parsed(documents, {}))


def refuse_errors(findings: tuple[Finding, ...]) -> None:
    """Stop at errors.

    Args:
        findings: What the checker found.

    Raises:
        RulebookInvalid: If one of them is an error.
    """
    if any(finding.severity == "error" for finding in findings):
        raise RulebookInvalid(findings)


def plain(value: object) -> Any:
    """Copy a read-only view into dicts and lists, for a serialiser or a validator.

    Args:
        value: A value out of a rulebook.

    Returns:
        The same value in the types that the JSON parser gives.
    """
    if isinstance(value, Mapping):
        return {key: plain(inner) for key, inner in value.items()}
    if isinstance(value, tuple):
        return [plain(inner) for inner in value]
    return value


def _read_only(value: object) -> Any:
    if isinstance(value, dict):
        return MappingProxyType({key: _read_only(inner) for key, inner in value.items()})
    if isinstance(value, list):
        return tuple(_read_only(inner) for inner in value)
    return value


def _by_id(documents: Mapping[str, Any], directory: str) -> Mapping[str, Any]:
    return MappingProxyType({
        document["id"]: document for file, document in documents.items() if file.startswith(f"{directory}/")
    })
