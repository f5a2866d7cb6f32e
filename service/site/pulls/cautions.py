"""What to beware of whenever fasteners are pulled on site."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from service.contract.site_test_codes import SiteTestCautionCode
from service.rulebook import Rulebook
from service.verification.statements import cautions_of_rulebook, shown_caution
from service.words import Statement

OF_PROOF = (
    Statement(SiteTestCautionCode.PROOF_IS_NO_RESISTANCE),
    Statement(SiteTestCautionCode.NOT_IN_THE_LINE_OF_THE_PULL),
    Statement(SiteTestCautionCode.BASIS_FROM_MEMORY),
)
"""Cautions of every proof test."""


def shown_cautions(rulebook: Rulebook, cautions: Iterator[Statement]) -> list[dict[str, Any]]:
    """The cautions of the rulebook, and those that a test brings, each once."""
    own: list[dict[str, Any]] = []
    for caution in map(shown_caution, cautions):
        if caution not in own:
            own.append(caution)
    return cautions_of_rulebook(rulebook) + own
