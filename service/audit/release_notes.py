"""Notes of a release, Markdown: who is behind it, and what changed since the release before."""

from __future__ import annotations

from typing import TYPE_CHECKING

from service.audit import changes_markdown, comparison
from service.audit.comparison import Side
from service.rulebook.archive import GitArchive
from service.rulebook.tree import RULEBOOK

if TYPE_CHECKING:
    from service.audit.release import Prepared


def notes_of(prepared: Prepared) -> str:
    """Write the notes.

    Args:
        prepared: The release.

    Returns:
        The notes.

    Raises:
        LookupError: The rules of the release before are no longer there.
    """
    entry, repository = prepared.entry, prepared.repository
    head = repository.commit("HEAD")
    documents = repository.tree(head).documents
    lines = [
        f"# Rules {entry.version}",
        "",
        changes_markdown.escaped(entry.reason),
        "",
        f"- Released: {entry.date}, in force from {documents[RULEBOOK]['effective_from']}",
        f"- Author: {changes_markdown.escaped(entry.author)}",
        f"- Checker: {changes_markdown.escaped(entry.checker)}",
        f"- Approver: {changes_markdown.escaped(entry.approver)}",
        f"- Signatory: {changes_markdown.escaped(entry.signatory)}",
        f"- Digest: `{entry.digest}`",
        *([f"- Earlier versions: {changes_markdown.escaped(prepared.earlier)}"] if prepared.earlier else []),
        "",
    ]
    if prepared.since is None:
        families = [file for file in documents if file.startswith("families/")]
        references = [file for file in documents if file.startswith("reference/")]
        lines.append(f"The first release: {len(families)} families, {len(references)} reference fixings.")
        return "\n".join(lines) + "\n"
    before = GitArchive(repository).find(prepared.since)
    if before is None:
        raise LookupError(f"the rules of {prepared.since.version} are no longer there")
    older = Side(before.documents, before.commit, prepared.since.version)
    report = comparison.report(older, Side(documents, head, entry.version), repository)
    return "\n".join(lines) + "\n" + changes_markdown.render(report, heading=2)
