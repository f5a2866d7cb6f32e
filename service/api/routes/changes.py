"""What changed between two versions of the rulebook, in engineering terms."""

from typing import Any

from service.api.operations import Call, Operation, PathParameter
from service.audit.changes import CAUTION, RulesSide, report_changes
from service.contract.changes import EXAMPLE, ChangesQuery, RuleChanges
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


OPERATIONS = (
    Operation(
        method="GET",
        path="/v1/rulebooks/{version}/changes",
        name="getRulebookChanges",
        summary="What changed since an older version?",
        description=(
            "Compares a version with another: every changed value with old, new and relative change, family, size, "
            "embedment and symbol in words, whether more fixings pass by it, and the commit that set it with its "
            "author, reason, checker and approver. The order of keys, layout and the order of sets are no change."
        ),
        tag="Rulebook",
        view=get_changes,
        query=ChangesQuery,
        query_examples=EXAMPLE,
        path_parameters=(PathParameter("version", "The newer version, year.number.patch.", "2026.6.0"),),
        answer=RuleChanges,
        changes_with_the_rulebook=True,
    ),
)
