"""Every code that an answer under a rulebook may hold, gathered from the lists of each subject."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from types import MappingProxyType
from typing import Any

from service.contract import as_built_codes, label_codes, site_test_codes, sizing_codes
from service.contract.codes import CODES, FIGURES
from service.contract.verification_codes import codes_of, described
from service.rulebook import Rulebook
from service.words import Code

ON_SITE: Mapping[str, Iterable[Code]] = MappingProxyType({
    "label_cautions": label_codes.LabelCautionCode,
    "label_assumptions": label_codes.LabelAssumptionCode,
    "label_limits": label_codes.LimitCode,
    "void": label_codes.VoidCode,
    "not_answered": label_codes.NotAnsweredCode,
    "improvements": label_codes.ImprovementCode,
    "improvement_cautions": label_codes.ImprovementCautionCode,
    "site_test_requirements": site_test_codes.PlanRequirementCode,
    "site_test_cautions": site_test_codes.SiteTestCautionCode,
    "as_built_requirements": as_built_codes.AsBuiltRequirementCode,
    "as_built_cautions": as_built_codes.AsBuiltCautionCode,
    "not_measured": as_built_codes.Measurement,
    "to_do": as_built_codes.ToDoCode,
})
"""The lists of the work on site, by the part of the answer that holds them."""


def known_codes(rulebook: Rulebook) -> dict[str, list[dict[str, Any]]]:
    """Gather the codes, those that the rulebook brings with it included.

    Args:
        rulebook: The rulebook.

    Returns:
        The codes as the contract lists them, by the part of an answer that holds them.
    """
    on_site = {part: [described(code.value, code.says) for code in codes] for part, codes in ON_SITE.items()}
    return codes_of(rulebook) | sizing_codes.listed() | on_site | {"faults": [*_faults()]}


def _faults() -> Iterator[dict[str, Any]]:
    for code, says in CODES.items():
        figures = [{"name": name, "meaning": FIGURES[name]} for name in says.figures]
        yield {"code": code, "meaning": says.meaning, "figures": figures}
