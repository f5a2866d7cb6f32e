"""What changed between two versions of the rulebook, in engineering terms."""

from typing import Any

from service.api.operations import Call, bound
from service.audit.changes import CAUTION, RulesSide, report_changes
from service.contract.changes import PATHS
from service.rulebook.repository import Repository


def get_changes(call: Call) -> dict[str, Any]:
    """Compare a version with an older one.

    Args:
        call: The call.

    Returns:
        What changed, and who is behind it where the rules lie in a repository.
    """
    newer = _side(call, call.path["version"], "version")
    older = _side(call, call.query["since"], "since")
    report = report_changes(older, newer, Repository.of(call.serving.shelf.path))
    return report | {"caution": CAUTION}


def _side(call: Call, version: str, parameter: str) -> RulesSide:
    book = call.rulebook(version, parameter)
    return RulesSide(call.serving.shelf.content(version), book.commit, version)


OPERATIONS = bound(
    PATHS,
    {"getRulebookChanges": get_changes},
)
