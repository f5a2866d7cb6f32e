"""A rulebook with demonstration data in it is a demonstration."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding, error
from service.rulebook.lint.draft import Draft
from service.rulebook.tree import RULEBOOK

RULE = __name__.rpartition(".")[2]
SUMMARY = "rulebook.json has status demonstration while any file has"


def check(draft: Draft) -> Iterator[Finding]:
    """A rulebook with demonstration data in it is a demonstration."""
    if draft.rulebook is None or draft.rulebook["status"] == "demonstration":
        return
    invented = [file for file, document in draft.documents.items() if document["status"] == "demonstration"]
    if invented:
        yield error(
            RULEBOOK,
            "#/status",
            RULE,
            "the rulebook would pass invented figures off as the company's",
            found=f"{draft.rulebook['status']}, with demonstration data in {', '.join(invented)}",
            allowed="demonstration",
            tip="replace or take away every demonstration file first",
        )
