"""The stable codes of what is said about site tests, and what each means; clients tolerate codes that are added."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from service.verification import codes

REQUIREMENTS: Mapping[str, str] = MappingProxyType({
    **{code: text for code, text in codes.REQUIREMENTS.items() if code.startswith("site_test_")},
    "pull_below_steel": "The pull stays below the rulebook's share of the yield load of the fastener, and below what "
    "its label states.",
    "feet_far_enough": "The feet of the bridge stand far enough from the fastener.",
    "enough_pulls_planned": "At least as many pulls are planned as a resistance needs.",
})

CAUTIONS: Mapping[str, str] = MappingProxyType({
    "site_test_reach": codes.CAUTIONS["site_test_reach"],
    "suspended": codes.CAUTIONS["suspended"],
    "superseded": codes.CAUTIONS["superseded"],
    "proof_is_no_resistance": "A proof test shows that the setting is sound; it gives no resistance.",
    "not_in_the_line_of_the_pull": "A fastener or a bridge may let go at once.",
    "basis_from_memory": "The rules were written from knowledge of the standard, not from its text.",
    "bounds_not_counted": "Pulls that ended before the base material failed are lower bounds.",
    "failures_differ": "The pulls ended in different failures.",
    "scatter_small": "The pulls scatter by less than a tenth.",
    "outlier_stays": "A pull stands out; it stays in the result.",
    "number_raised": "More are pulled than the rule asks for, so that each part of the lot has one.",
    "label_only": "The fastener is known from its label.",
    "uncracked_only": "The pulls show nothing of cracked concrete.",
    "pulls_of_others": "Pulls were made on fasteners that were not drawn; their failures count, the rest does not.",
    "loaded_beyond_steel": "Fasteners were pulled beyond what leaves them unharmed.",
})
"""Beside these an answer repeats the cautions of the rulebook, each with a code of its own."""
