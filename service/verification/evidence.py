"""Where the resistance of a fastener comes from: the assessment of the product, or pulls on site."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Protocol

from service.engine.model import Fastener, LoadCase, Member, PartialFactors, Point
from service.verification import requirements
from service.verification.assumptions import Strength, Use
from service.verification.fastener import fastener as assembled
from service.verification.pulls.resistance import SiteTest
from service.verification.requirements import LeastSpacing, Requirement
from service.verification.selection import Selection
from service.words import Statement


@dataclass(frozen=True, slots=True)
class FastenerInUse:
    """A fastener of the rulebook at a depth (mm), in the base material and the use of a request."""

    selection: Selection
    embedment_mm: float
    member: Member
    strength: Strength
    use: Use
    drilling: str


class Evidence(Protocol):
    """What gives a fastener its resistance, and how far that holds."""

    def cover(self, fastener: FastenerInUse) -> Iterator[Requirement]:
        """What the evidence has to cover, beside distances."""

    def figures(self, fastener: FastenerInUse, factors: PartialFactors, load_cases: Sequence[LoadCase]) -> Fastener:
        """The fastener with its figures (N, mm, MPa); only for one that the evidence covers."""

    def distances(
        self, selection: Selection, member: Member, positions: Sequence[Point], load_cases: Sequence[LoadCase]
    ) -> Iterator[Requirement]:
        """Least thickness, edge distance and spacing (mm)."""

    def least_spacing(self, selection: Selection, edge_mm: float) -> LeastSpacing:
        """How far other fasteners have to be (mm), at a distance to the nearest edge (mm)."""

    def cautions(self) -> Iterator[Statement]:
        """Cautions that go with the evidence."""

    @property
    def covers_any_material(self) -> bool:
        """Whether it says by itself in what base material it holds; else it holds in the concrete of the method."""

    @property
    def bears_mpa(self) -> float:
        """Most pressure under the fixture that the evidence lets the base material bear; infinite: its own strength."""

    @property
    def origin(self) -> SiteTest | None:
        """The pulls on site that it comes from, for the answer to show."""


@dataclass(frozen=True, slots=True)
class ProductAssessment:
    """The assessment of the product, by the method of EN 1992-4; ``traced`` where an answer shows each figure's place.

    It is what a fastener stands on where nothing else is said, so it adds no caution and no member to an answer.
    """

    traced: bool

    def cover(self, fastener: FastenerInUse) -> Iterator[Requirement]:
        """What the assessment has to cover: depth, concrete, hole, use, temperature."""
        return requirements.assessed_cover(
            fastener.selection, fastener.embedment_mm, fastener.strength, fastener.member.cracked, fastener.use
        )

    def figures(self, fastener: FastenerInUse, factors: PartialFactors, load_cases: Sequence[LoadCase]) -> Fastener:
        """The fastener with the figures of its assessment (N, mm, MPa)."""
        return assembled(fastener.selection, fastener.member, fastener.use, traced=self.traced)

    def distances(
        self, selection: Selection, member: Member, positions: Sequence[Point], load_cases: Sequence[LoadCase]
    ) -> Iterator[Requirement]:
        """Least thickness, edge distance and spacing of the assessment (mm)."""
        return requirements.distances(selection, member, positions)

    def least_spacing(self, selection: Selection, edge_mm: float) -> LeastSpacing:
        """The least spacing of the assessment (mm)."""
        return requirements.least_spacing(selection, edge_mm)

    def cautions(self) -> Iterator[Statement]:
        """None."""
        return iter(())

    @property
    def covers_any_material(self) -> bool:
        """The method's concrete only."""
        return False

    @property
    def bears_mpa(self) -> float:
        """Whatever the concrete bears by its strength."""
        return math.inf

    @property
    def origin(self) -> None:
        """No pulls."""
