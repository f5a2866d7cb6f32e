"""The checker: what the rules may look like, and what they may mean.

Each rule of meaning is a module of this package with RULE, SUMMARY and check(draft), and is found by being there.
"""

from __future__ import annotations

from dataclasses import replace
from importlib import import_module
from pathlib import Path
from pkgutil import iter_modules
from typing import cast

from service.rulebook import schemas
from service.rulebook.finding import Finding, error
from service.rulebook.lint.draft import Draft, LintRule
from service.rulebook.pack import PackArchive, open_pack
from service.rulebook.register import entries
from service.rulebook.tree import CONTENT, REGISTER, Tree, read

# Modules of this package that the rules share.
SHARED = frozenset({"draft"})


def _rules() -> tuple[LintRule, ...]:
    """Every rule, by name; the package knows of none before it looks at its own directory."""
    names = sorted({module.name for module in iter_modules(__path__)} - SHARED)
    return tuple(cast("LintRule", import_module(f"{__name__}.{name}")) for name in names)


RULES = _rules()


def lint(rules: Path) -> tuple[Finding, ...]:
    """Check a rulebook.

    Args:
        rules: The rules directory, or the file of a packed rulebook; a file that is none is PackInvalid.

    Returns:
        What is wrong, by file and place; empty for a rulebook that may be calculated with. The files of a packed
        rulebook are named by version and path.
    """
    rules = Path(rules)
    return _findings_of_pack(open_pack(rules)) if rules.is_file() else findings_of(read(rules))


def findings_of(tree: Tree) -> tuple[Finding, ...]:
    """Check a rulebook that was read: first the form of each file, then the meaning of all that have it.

    Args:
        tree: The files of the rulebook.

    Returns:
        What is wrong, by file and place.
    """
    documents = {**tree.documents, **tree.beside}
    malformed = {file: schemas.check(file, document) for file, document in documents.items()}
    sound = {file: document for file, document in documents.items() if not malformed[file]}
    draft = Draft(
        documents={file: document for file, document in sound.items() if file in tree.documents},
        unsound=tree.unread | (documents.keys() - sound.keys()),
        strays=tree.strays,
        beside={file: document for file, document in sound.items() if file in tree.beside},
        signed=frozenset(tree.signatures),
    )
    findings = [*tree.findings, *(finding for findings in malformed.values() for finding in findings)]
    for rule in RULES:
        findings.extend(rule.check(draft))
    return tuple(sorted(findings, key=lambda finding: (finding.file, finding.pointer, finding.rule, finding.message)))


def _findings_of_pack(pack: PackArchive) -> tuple[Finding, ...]:
    """Check each release by itself, as before it is served, and the newest with what is said of them all."""
    releases = entries(pack.tree)
    findings = [] if releases else [_not_held(REGISTER, "the packed rulebook has no release")]
    for entry in releases:
        found = pack.find(entry)
        if found is None:
            findings.append(_not_held(entry.version, pack.lacking))
            continue
        beside, signatures = (pack.tree.beside, pack.tree.signatures) if entry is releases[-1] else ({}, {})
        tree = replace(pack.tree, documents=found.documents, beside=beside, signatures=signatures)
        findings.extend(_of_release(entry.version, finding) for finding in findings_of(tree))
    return tuple(findings)


def _of_release(version: str, finding: Finding) -> Finding:
    calculates = finding.file.partition("/")[0] in CONTENT
    return replace(finding, file=f"{version}/{finding.file}") if calculates else finding


def _not_held(place: str, message: str) -> Finding:
    return error(
        place,
        "#",
        "readable_files",
        message,
        found="nothing with the digest of the register",
        allowed="every release that the register names",
        tip="pack it again from a full clone: anchor-rulebook pack",
    )
