"""Notes of a release, Markdown: who is behind it, and what changed since the release before."""

from __future__ import annotations

from service.audit.changes.as_markdown import changes_markdown, escaped
from service.audit.changes.report import RulesSide, report_changes
from service.audit.release.releasing import Prepared
from service.rulebook.archive import GitArchive
from service.rulebook.tree import RULEBOOK


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
        escaped(entry.reason),
        "",
        f"- Released: {entry.date}, in force from {documents[RULEBOOK]['effective_from']}",
        f"- Author: {escaped(entry.author)}",
        f"- Checker: {escaped(entry.checker)}",
        f"- Approver: {escaped(entry.approver)}",
        f"- Signatory: {escaped(entry.signatory)}",
        f"- Digest: `{entry.digest}`",
        *([f"- Earlier versions: {escaped(prepared.earlier)}"] if prepared.earlier else []),
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
    older = RulesSide(before.documents, before.commit, prepared.since.version)
    report = report_changes(older, RulesSide(documents, head, entry.version), repository)
    return "\n".join(lines) + "\n" + changes_markdown(report, heading=2)
