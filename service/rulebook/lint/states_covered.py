"""There are figures for the states of the concrete that are covered, and product figures for no other."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding
from service.rulebook.lint.draft import Draft, Embedment, Size

RULE = __name__.rpartition(".")[2]
SUMMARY = (
    "cone factor and bond stand for each state covered (cracked, uncracked); "
    "bond and pull-out stand for no state that is not covered"
)
MESSAGE = "the figures do not go with the states of concrete that the assessment covers"
TIP = "correct assessment.covers, or give figures for what is covered and nothing else"


def check(draft: Draft) -> Iterator[Finding]:
    """There are figures for the states of the concrete that are covered, and product figures for no other."""
    for size in draft.sizes():
        for state in ("cracked", "uncracked"):
            yield from _bond(size, state)
            for embedment in size.embedments():
                yield from _pull_out(embedment, state)
                yield from _cone(embedment, state)


def _bond(size: Size, state: str) -> Iterator[Finding]:
    steps = ("bond", "characteristic_mpa", state)
    if size.content["bond"] is None:
        return
    given = size.content["bond"]["characteristic_mpa"][state] is not None
    if given != _covered(size, state):
        yield size.error(RULE, MESSAGE, *steps, found=_words(given), allowed=_words(not given), tip=TIP)


def _pull_out(embedment: Embedment, state: str) -> Iterator[Finding]:
    # Pull-out may be null in a state that is covered: there it does not govern.
    group = embedment.content["pull_out"]
    if group is not None and group[f"{state}_kn"] is not None and not _covered(embedment.size, state):
        yield embedment.error(
            RULE, MESSAGE, "pull_out", f"{state}_kn", found=_words(True), allowed=_words(False), tip=TIP
        )


def _cone(embedment: Embedment, state: str) -> Iterator[Finding]:
    # The cone factor is the standard's for a kind of fastener, so it may stand for a state that is not covered.
    group = embedment.content["concrete"]
    if group is not None and group[f"{state}_factor"] is None and _covered(embedment.size, state):
        yield embedment.error(
            RULE, MESSAGE, "concrete", f"{state}_factor", found=_words(False), allowed=_words(True), tip=TIP
        )


def _covered(size: Size, state: str) -> bool:
    covered: bool = size.family["assessment"]["covers"][state]
    return covered


def _words(given: bool) -> str:
    return "figures" if given else "null"
