"""Schemes of proof tests: what the rulebook asks of a lot, and which of its fasteners that draws."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from service.site.pulls.proof_tests import (
    TWICE,
    ProofScheme,
    SampleRule,
    number_after_one_failure,
    number_to_pull,
)
from service.site.pulls.sampling import Drawn, PartOfLot, Sample, draw


@dataclass(frozen=True, slots=True)
class Scheme:
    """A scheme of the rulebook: its name, its title, and its figures."""

    name: str
    title: str
    figures: ProofScheme


def scheme_of(rules: Mapping[str, Any], name: str | None) -> Scheme:
    """Read a scheme of proof tests.

    Args:
        rules: The rulebook's rules of site tests.
        name: The scheme, None for the default.

    Returns:
        The scheme.
    """
    proof = rules["proof_tests"]
    chosen = name or proof["default_scheme"]
    given, after = proof["schemes"][chosen], proof["after_one_failure"]
    figures = ProofScheme(
        float(given["load_factor"]),
        SampleRule(float(given["share"]), int(given["number_min"])),
        SampleRule(float(after["share"]), int(after["number_min"])),
        float(after.get("times_first_min", TWICE)),
    )
    return Scheme(chosen, given["title"], figures)


def sample_of(lot: Mapping[str, Any], scheme: ProofScheme) -> Sample:
    """Which fasteners of a lot the plan draws.

    Args:
        lot: A lot with ``name``, ``number``, ``seed`` and, where it has them, ``parts``; of a plan or an assessment.
        scheme: Proof scheme.

    Returns:
        The fasteners to pull at first, at least one of each part, and the further ones of a failure.
    """
    parts = tuple(
        PartOfLot(p["name"], p["first"], p["last"], bool(p.get("worst", False))) for p in lot.get("parts", ())
    )
    first = max(number_to_pull(lot["number"], scheme.sample), len(parts))
    in_all = number_after_one_failure(lot["number"], first, scheme)
    return draw(lot["seed"], lot["name"], lot["number"], parts, first, in_all)


def shown_drawn(drawn: Drawn) -> dict[str, Any]:
    """A drawn fastener as answers show it."""
    return {"number": drawn.number, "name": str(drawn.number), "part": drawn.part}
