"""A rulebook that passed its checks, ready to be calculated with."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from service.rulebook.digest import digest
from service.rulebook.history import commit_of
from service.rulebook.lint import findings_of
from service.rulebook.tree import RULEBOOK, read

if TYPE_CHECKING:
    from service.rulebook.finding import Finding

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
        path: The rules directory.
        version: Version, CalVer year.number.patch.
        status: Whose data it is: "demonstration" or "company".
        digest: "sha256:" and the digest of its content.
        commit: The commit that holds exactly these rules, if there is one.
        state: "working": read from a directory that may change, not from a release.
        document: rulebook.json.
        families: Families by id.
        factors: Factor files by id ("site-conditions", "exposures", "temperature-ranges", "guard-loads").
        reference: Reference fixings, by the order of their ids.
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


def load(rules: Path) -> Rulebook:
    """Read a rulebook, check it, and give it with its identity.

    Args:
        rules: The rules directory.

    Returns:
        The rulebook.

    Raises:
        RulebookInvalid: If the checker finds an error.
    """
    rules = Path(rules).resolve()
    tree = read(rules)
    findings = findings_of(tree)
    if any(finding.severity == "error" for finding in findings):
        raise RulebookInvalid(findings)
    frozen = {file: _read_only(document) for file, document in tree.documents.items()}
    document = frozen[RULEBOOK]
    return Rulebook(
        path=rules,
        version=document["version"],
        status=document["status"],
        digest=digest(tree.documents),
        commit=commit_of(rules),
        state="working",
        document=document,
        families=_by_id(frozen, "families"),
        factors=_by_id(frozen, "factors"),
        reference=tuple(_by_id(frozen, "reference").values()),
    )


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
