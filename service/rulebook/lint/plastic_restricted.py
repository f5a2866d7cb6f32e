"""A plastic anchor is kept to redundant, non-structural uses."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding, error
from service.rulebook.lint.draft import Draft, approvals

RULE = __name__.rpartition(".")[2]
SUMMARY = (
    "plastic anchors: simplified method, redundant use only, "
    "approved (family and size) for redundant and non-structural uses"
)
NEEDED = frozenset({"redundant", "non_structural"})
MESSAGE = "a plastic anchor may not carry alone or hold structure"
TIP = "restrict the family; plastic creeps and burns, so others must carry on when one fastener fails"


def check(draft: Draft) -> Iterator[Finding]:
    """A plastic anchor is kept to redundant, non-structural uses."""
    for file, family in draft.families():
        if family["mechanism"] != "plastic_anchor":
            continue
        if family["design_method"] != "simplified":
            yield error(
                file, "#/design_method", RULE, MESSAGE, found=family["design_method"], allowed="simplified", tip=TIP
            )
        if not family["assessment"]["covers"]["redundant_use_only"]:
            yield error(
                file, "#/assessment/covers/redundant_use_only", RULE, MESSAGE, found="false", allowed="true", tip=TIP
            )
    for file, pointer, approval in approvals(draft):
        plastic = draft.documents[file]["mechanism"] == "plastic_anchor"
        if plastic and not set(approval["uses"] or ()) >= NEEDED:
            yield error(
                file,
                f"{pointer}/uses",
                RULE,
                MESSAGE,
                found=", ".join(approval["uses"] or ("every use",)),
                allowed="redundant and non_structural among the uses",
                tip=TIP,
            )
