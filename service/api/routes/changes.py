"""What changed between two versions of the rulebook, in engineering terms."""

from typing import Any

from service.api.operations import Call, bound
from service.audit.changes import CAUTION, RulesSide, report_changes
from service.contract.changes import PATHS
from service.contract.faults import Fault, Refused
from service.rulebook.repository import Repository
from service.rulebook.versions import order


def get_changes(call: Call) -> dict[str, Any]:
    """Compare a version with an older one.

    Args:
        call: The call.

    Returns:
        What changed, and who is behind it where the rules lie in a repository.

    Raises:
        Refused: The version to compare with is the newer of the two.
    """
    version, since = call.path["version"], call.query["since"]
    newer, older = _side(call, version, "version"), _side(call, since, "since")
    if order(since) > order(version):
        words = f"must not be newer than {version}: ask at /v1/rulebooks/{since}/changes?since={version}"
        raise Refused(422, [Fault("not_older", words, parameter="since")])
    report = report_changes(older, newer, Repository.of(call.serving.shelf.path))
    return report | {"caution": CAUTION}


def _side(call: Call, version: str, parameter: str) -> RulesSide:
    book = call.rulebook(version, parameter)
    return RulesSide(call.serving.shelf.content(version), book.commit, version)


OPERATIONS = bound(
    PATHS,
    {"getRulebookChanges": get_changes},
)
