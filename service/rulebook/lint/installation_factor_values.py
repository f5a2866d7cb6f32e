"""The installation factor is one that assessments give."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding
from service.rulebook.lint.draft import Draft

RULE = __name__.rpartition(".")[2]
SUMMARY = "gamma_inst is 1.0, 1.2 or 1.4"
ALLOWED = (1.0, 1.2, 1.4)


def check(draft: Draft) -> Iterator[Finding]:
    """The installation factor is one that assessments give."""
    for size in draft.sizes():
        for hole, factor in size.content["factors"]["installation_factor"].items():
            if factor not in ALLOWED:
                yield size.error(
                    RULE,
                    "this is no installation factor",
                    "factors",
                    "installation_factor",
                    hole,
                    found=f"gamma_inst {factor:g}",
                    allowed="1.0, 1.2 or 1.4",
                    tip="an assessment may print gamma_Mc = gamma_c·gamma_inst (1.5, 1.8, 2.1): divide it by 1.5",
                )
