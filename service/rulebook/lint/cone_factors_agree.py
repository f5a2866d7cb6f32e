"""The cone factor in uncracked concrete goes with the one in cracked concrete."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding
from service.rulebook.lint.draft import Draft

RULE = __name__.rpartition(".")[2]
SUMMARY = "k_ucr,N / k_cr,N lies between 1.40 and 1.46, as in 7.7 and 11.0 or 8.9 and 12.7"
LEAST, MOST = 1.40, 1.46


def check(draft: Draft) -> Iterator[Finding]:
    """The cone factor in uncracked concrete goes with the one in cracked concrete."""
    for embedment in draft.embedments():
        concrete = embedment.content["concrete"]
        if not concrete or concrete["cracked_factor"] is None or concrete["uncracked_factor"] is None:
            continue
        cracked, uncracked = concrete["cracked_factor"], concrete["uncracked_factor"]
        # Which of the two may be the larger one is the concern of another rule.
        if uncracked >= cracked and not LEAST <= uncracked / cracked <= MOST:
            yield embedment.error(
                RULE,
                "the two cone factors do not belong together",
                "concrete",
                "uncracked_factor",
                found=f"k_cr,N {cracked:g}, k_ucr,N {uncracked:g}",
                allowed=f"k_ucr,N / k_cr,N from {LEAST:g} to {MOST:g}",
                tip="check both factors against the table named as source; 7.7 goes with 11.0, 8.9 with 12.7",
            )
