"""An article code stands for one article."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding
from service.rulebook.lint.draft import Draft

RULE = __name__.rpartition(".")[2]
SUMMARY = "an article code stands for one length of one size only (at several embedments, if need be)"


def check(draft: Draft) -> Iterator[Finding]:
    """An article code stands for one article."""
    first: dict[str, tuple[str, str, float]] = {}
    for embedment in draft.embedments():
        for index, length in enumerate(embedment.content["lengths"]):
            article = (embedment.size.family["id"], embedment.size.name, length["length_mm"])
            known = first.setdefault(length["article_code"], article)
            if known != article:
                yield embedment.error(
                    RULE,
                    "the article code is taken",
                    "lengths",
                    index,
                    "article_code",
                    found=f"{length['article_code']}, the code of {known[0]} {known[1]} × {known[2]:g} mm",
                    allowed="a code of its own",
                    tip="look the code up in the store's list",
                )
