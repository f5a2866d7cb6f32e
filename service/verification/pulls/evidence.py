"""Pulls on site as evidence for a fixing: whether they reach it, and the resistance that they then give."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from service.contract import wanted
from service.contract.fields import UNKNOWN
from service.contract.pulls import CAST
from service.contract.verification_codes import (
    BaseMaterial,
    Distance,
    HoleState,
    PullCautionCode,
    PullRequirementCode,
    RequirementCode,
    TestedMaterial,
    TestedState,
)
from service.engine.model import Fastener, LoadCase, Member, PartialFactors, Point, Simplified
from service.rulebook import Rulebook
from service.verification.assumptions import WEAKEST_COVERED
from service.verification.evidence import FastenerInUse
from service.verification.fastener import fastener as assembled
from service.verification.pulls.fastener import steel_n, steel_shear_n, warmth_factor
from service.verification.pulls.gauge import PERCENT, Accuracy
from service.verification.pulls.reach import Reach, state_reached, young_enough
from service.verification.pulls.requirements import RULES
from service.verification.pulls.resistance import SiteTest, read_site_test
from service.verification.requirements import (
    LeastSpacing,
    Requirement,
    assessed_cover,
    near_edges,
    near_pairs,
    smallest_spacing,
)
from service.verification.selection import Selection
from service.verification.tolerance import reaches_mm, same_mm
from service.words import Statement, Value

STILL_COVERED = (RequirementCode.EMBEDMENT_ASSESSED, RequirementCode.REDUNDANT_USE)
"""Of what an assessment covers in concrete, only this still counts where the base material itself was tested."""
BORNE_ANYWHERE_MPA = 0.5
"""Pressure that brick, block and poor concrete bear all the same. Common practice, no source."""
OF_CONCRETE = (None, TestedMaterial.CONCRETE.value, TestedMaterial.NORMAL_WEIGHT_CONCRETE.value)
"""Materials in which the strength of a member means something; None: taken as concrete."""


@dataclass(frozen=True, slots=True)
class PullsOnSite:
    """Allowable-resistance tests that a request brings with it, and what it says of its own fixing beside them.

    ``stated_id`` is the id that the request gives the tests; ``material`` and ``tested_material`` are what the member
    and the tests are made of; ``strength_told`` says that the member's strength is given, ``raised`` that the fixture
    stands off the base material; ``count`` is the number of fasteners.
    """

    test: SiteTest
    stated_id: str | None
    base_material: str | None
    material: str | None
    tested_material: TestedMaterial
    strength_told: bool
    state: str
    raised: bool
    assessed_on: date
    count: int

    def cover(self, fastener: FastenerInUse) -> Iterator[Requirement]:
        """Whether the tests are those that were meant, and were made on the like of the fixing."""
        by_assessment = assessed_cover(
            fastener.selection, fastener.embedment_mm, fastener.strength, fastener.member.cracked, fastener.use
        )
        yield from (requirement for requirement in by_assessment if requirement.code in STILL_COVERED)
        yield from self.test.requirements
        yield state_reached(self.test.reach, self.state)
        yield from self._unchanged()
        yield young_enough(self.test.reach, self.assessed_on)
        yield self._same_fastener(fastener)
        yield from self._set_alike(fastener)
        yield from self._same_place()

    def _unchanged(self) -> Iterator[Requirement]:
        if self.stated_id is not None:
            figures: dict[str, Value] = {"stated": self.stated_id, "found": self.test.id}
            yield Requirement(PullRequirementCode.SITE_TEST_ID, self.stated_id == self.test.id, figures, decisive=True)

    def _same_fastener(self, fastener: FastenerInUse) -> Requirement:
        reach, selection = self.test.reach, fastener.selection
        same = (reach.family, reach.size) == (selection.family_id, selection.size_name)
        figures: dict[str, Value] = {
            "family": selection.family_id,
            "size": selection.size_name,
            "embedment_mm": fastener.embedment_mm,
            "tested_family": reach.family,
            "tested_size": reach.size,
            "tested_embedment_mm": reach.embedment_mm,
        }
        met = same and same_mm(reach.embedment_mm, fastener.embedment_mm)
        return Requirement(PullRequirementCode.SITE_TEST_FASTENER, met, figures, decisive=True)

    def _set_alike(self, fastener: FastenerInUse) -> Iterator[Requirement]:
        reach = self.test.reach
        drilling: dict[str, Value] = {"here": fastener.drilling, "tested": reach.drilling}
        drilled_alike = fastener.drilling == reach.drilling
        yield Requirement(PullRequirementCode.SITE_TEST_DRILLING, drilled_alike, drilling, decisive=True)
        hole: dict[str, Value] = {"here": HoleState(fastener.use.hole), "tested": HoleState(reach.hole)}
        yield Requirement(PullRequirementCode.SITE_TEST_HOLE, fastener.use.hole == reach.hole, hole, decisive=True)
        if fastener.selection.size["bond"] is not None:
            yield _warmth(fastener)

    def _same_place(self) -> Iterator[Requirement]:
        here, tested = self.base_material, self.test.reach.base_material
        same = here is not None and same_words(here, tested)
        figures: dict[str, Value] = {"here": here, "tested": tested}
        yield Requirement(PullRequirementCode.SITE_TEST_BASE_MATERIAL, same, figures, decisive=True)
        yield from self._same_kind()
        yield Requirement(PullRequirementCode.SITE_TEST_CONTACT, not self.raised, decisive=True)

    def _same_kind(self) -> Iterator[Requirement]:
        here, tested = self.material, self.tested_material
        alike = tested == here or (tested == TestedMaterial.CONCRETE and here != BaseMaterial.MASONRY)
        if here is None or here == UNKNOWN or alike:
            return
        figures: dict[str, Value] = {"here": BaseMaterial(here), "tested": tested}
        yield Requirement(PullRequirementCode.SITE_TEST_MATERIAL, False, figures, decisive=True)

    def figures(self, fastener: FastenerInUse, factors: PartialFactors, load_cases: Sequence[LoadCase]) -> Fastener:
        """The fastener with the resistance of the pulls in any direction (N, mm, MPa)."""
        # The base material is not concrete of the assessment, so none of its figures in concrete may come in.
        selection = fastener.selection
        row = {**(selection.row or {}), "pull_out": None, "concrete": None, "simplified": None}
        bare = replace(selection, size={**selection.size, "bond": None}, row=row)
        made = assembled(bare, fastener.member, fastener.use)
        resistance = self._resistance_n(fastener.use.temperature_range, factors, sheared(load_cases))
        rules = {"resistance_factor": f"{RULES}/allowable_tests/partial_factor"}
        origin = "pulls on site, in any direction"
        return replace(made, simplified=Simplified(resistance, self.test.partial_factor, origin), rules=rules)

    def _resistance_n(self, temperature_range: str, factors: PartialFactors, shears: bool) -> float:
        """Characteristic resistance of one fastener to its resultant (N): that of the pulls, at most the steel's."""
        test = self.test
        warm = warmth_factor(test.selection, temperature_range)
        if test.characteristic_n is None or warm is None:
            raise ValueError("these tests give no resistance")
        # The steel has other partial factors, so that its resistance is scaled to compare design resistances.
        gamma = test.partial_factor
        resistance = min(
            test.characteristic_n * warm, steel_n(test.selection) * gamma / max(gamma, factors.steel_tension)
        )
        if not shears:
            return resistance
        return min(resistance, steel_shear_n(test.selection, self.count) * gamma / max(gamma, factors.steel_shear))

    def distances(
        self, selection: Selection, member: Member, positions: Sequence[Point], load_cases: Sequence[LoadCase]
    ) -> Iterator[Requirement]:
        """Whether the fixing keeps the thickness, edge distance and spacing that the tests had (mm)."""
        reach = self.test.reach
        yield _as_far(PullRequirementCode.SITE_TEST_THICKNESS, member.thickness_mm, reach.thickness_mm)
        edge = min(member.nearest_mm(positions))
        near = near_edges(member, positions, reach.edge_mm)
        yield _as_far(PullRequirementCode.SITE_TEST_EDGE, edge, reach.edge_mm, reach=reach, near=near)
        if sheared(load_cases):
            rule = f"{RULES}/reach/shear_edge_factor"
            near = near_edges(member, positions, reach.shear_edge_mm)
            yield _as_far(PullRequirementCode.SITE_TEST_SHEAR_EDGE, edge, reach.shear_edge_mm, rule, near=near)
        spacing, rule = smallest_spacing(positions), f"{RULES}/reach/spacing_factor"
        close = near_pairs(positions, reach.spacing_mm)
        yield _as_far(PullRequirementCode.SITE_TEST_SPACING, spacing, reach.spacing_mm, rule, reach, close)

    def least_spacing(self, selection: Selection, edge_mm: float) -> LeastSpacing:
        """The spacing that the tests had (mm)."""
        return LeastSpacing(self.test.reach.spacing_mm, f"{RULES}/reach/spacing_factor")

    def cautions(self) -> Iterator[Statement]:
        """How far the resistance reaches, and what its forces rest on."""
        return cautions_of_site_test(self.test)

    @property
    def covers_any_material(self) -> bool:
        """The material that was pulled in."""
        return True

    @property
    def bears_mpa(self) -> float:
        """What any base material bears, unless it is concrete whose strength is told: pulls show no pressure."""
        concrete = self.material in OF_CONCRETE and self.tested_material.value in OF_CONCRETE
        return math.inf if concrete and self.strength_told else BORNE_ANYWHERE_MPA

    @property
    def origin(self) -> SiteTest:
        """The pulls."""
        return self.test


def cautions_of_site_test(test: SiteTest) -> Iterator[Statement]:
    """Cautions that go with a resistance from pulls on site."""
    reach = test.reach
    figures: dict[str, Value] = {
        "failed": test.number,
        "tested_on": reach.tested_on.isoformat(),
        "valid_until": reach.valid_until.isoformat(),
        "family": reach.family,
        "size": reach.size,
        "embedment_mm": reach.embedment_mm,
        "base_material": reach.base_material,
        "tested": TestedState(reach.concrete_state),
        "crack_mm": reach.crack_mm,
    }
    yield Statement(PullCautionCode.SITE_TEST_REACH, figures)
    yield Statement(PullCautionCode.SITE_TEST_FORCES)
    yield from of_gauge(test.accuracy)


def of_gauge(accuracy: Accuracy) -> Iterator[Statement]:
    """Say how far loads were taken from what the gauge shows, where the gauge does not state it.

    Args:
        accuracy: Accuracy of the gauge.

    Yields:
        The caution.
    """
    if not accuracy.stated:
        yield Statement(PullCautionCode.GAUGE_ACCURACY_NOT_STATED, {"taken_percent": PERCENT * accuracy.share})


def pulls_of(request: wanted.Verification, brought: wanted.SiteTest, rulebook: Rulebook) -> PullsOnSite:
    """The pulls that a verification request brings with it.

    Args:
        request: The request.
        brought: Its ``site_test``.
        rulebook: The rulebook.

    Returns:
        The evidence.

    Raises:
        RefusedRequest: For a fastener that the rulebook has not, or a gauge that proves nothing.
    """
    return PullsOnSite(
        test=read_site_test(brought.tests, rulebook, "#/site_test/tests"),
        stated_id=brought.id,
        base_material=request.base_material,
        material=request.member.material,
        tested_material=TestedMaterial(brought.tests.base_material_kind or CAST),
        strength_told=request.member.strength_class is not None or request.member.strength_mpa is not None,
        state=request.member.state or UNKNOWN,
        raised=request.standing_fixture.raised,
        assessed_on=request.assessed_on,
        count=len(request.positions),
    )


def same_words(a: str, b: str) -> bool:
    """Whether two texts are the same but for capitals and white space."""
    return a.split() == b.split() or " ".join(a.split()).casefold() == " ".join(b.split()).casefold()


def sheared(load_cases: Sequence[LoadCase]) -> bool:
    """Whether any load case shears or turns the fixture."""
    return any(case.shear_x_n or case.shear_y_n or case.torsion_nmm for case in load_cases)


def _warmth(fastener: FastenerInUse) -> Requirement:
    temperature_range = fastener.use.temperature_range
    factor = warmth_factor(fastener.selection, temperature_range)
    known = None if temperature_range == WEAKEST_COVERED else temperature_range
    rule = fastener.selection.size_path("bond", "characteristic_mpa")
    figures: dict[str, Value] = {"range": known, "share": factor}
    return Requirement(PullRequirementCode.SITE_TEST_TEMPERATURE, factor is not None, figures, rule, decisive=True)


def _as_far(
    code: PullRequirementCode,
    given_mm: float,
    least_mm: float,
    rule: str | None = None,
    reach: Reach | None = None,
    near: Mapping[str, Value] | None = None,
) -> Requirement:
    """A distance that has to be as large as in the tests (mm), and whether it was measured at every pull of a reach."""
    given, limit = str(code.says.given), str(code.says.limit)
    figures: dict[str, Value] = {given: given_mm if math.isfinite(given_mm) else None, limit: least_mm, **(near or {})}
    if reach is not None:
        named = given.removesuffix("_mm")
        figures["not_measured"] = Distance(named) if named in reach.not_measured else None
    return Requirement(code, reaches_mm(given_mm, least_mm), figures, rule, decisive=True)
