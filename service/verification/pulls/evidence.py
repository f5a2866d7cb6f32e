"""Pulls on site as evidence for a fixing: whether they reach it, and the resistance that they then give."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from service.engine.model import Fastener, LoadCase, Member, PartialFactors, Point, Simplified
from service.rulebook import Rulebook
from service.verification import fixing as assembly
from service.verification.assumptions import WEAKEST_COVERED
from service.verification.cautions import Caution, cautions_of_site_test
from service.verification.evidence import FastenerInUse
from service.verification.pulls.fastener import steel_n, steel_shear_n, warmth_factor
from service.verification.pulls.origin import shown_origin
from service.verification.pulls.reach import Reach, state_reached, young_enough
from service.verification.pulls.requirements import RULES
from service.verification.pulls.resistance import SiteTest, read_site_test
from service.verification.requirements import Requirement, assessed_cover, smallest_spacing
from service.verification.selection import UNKNOWN, Selection
from service.verification.tolerance import reaches_mm, same_mm

STILL_COVERED = ("embedment_assessed", "redundant_use")
"""Of what an assessment covers in concrete, only this still counts where the base material itself was tested."""


@dataclass(frozen=True, slots=True)
class PullsOnSite:
    """Allowable-resistance tests that a request brings with it, and what it says of its own fixing beside them.

    ``stated_id`` is the id that the request gives the tests; ``raised`` says that the fixture stands off the base
    material; ``count`` is the number of fasteners.
    """

    test: SiteTest
    stated_id: str | None
    base_material: str
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
            yield Requirement(
                "site_test_id", self.stated_id == self.test.id,
                "the id of the tests belongs to their content: nothing was changed in them since they were assessed",
                self.stated_id, self.test.id, None, None, decisive=True,
            )  # fmt: skip

    def _same_fastener(self, fastener: FastenerInUse) -> Requirement:
        reach, selection = self.test.reach, fastener.selection
        same = (reach.family, reach.size) == (selection.family_id, selection.size_name)
        pulled = f"{reach.family} {reach.size}, embedment {reach.embedment_mm:g} mm"
        set_here = f"{selection.family_id} {selection.size_name}, embedment {fastener.embedment_mm:g} mm"
        return Requirement(
            "site_test_fastener", same and same_mm(reach.embedment_mm, fastener.embedment_mm),
            "the fastener is the one that was pulled: family, size and embedment",
            set_here, pulled, None, None, decisive=True,
        )  # fmt: skip

    def _set_alike(self, fastener: FastenerInUse) -> Iterator[Requirement]:
        reach = self.test.reach
        yield _equal(
            "site_test_drilling", "the holes are drilled as they were for the tests", fastener.drilling, reach.drilling
        )
        yield _equal(
            "site_test_hole", "the holes are in the state that they had in the tests", fastener.use.hole, reach.hole
        )
        if fastener.selection.size["bond"] is not None:
            yield _warmth(fastener)

    def _same_place(self) -> Iterator[Requirement]:
        tested = self.test.reach.base_material
        yield Requirement(
            "site_test_base_material", same_words(self.base_material, tested),
            "the base material is the one that was tested, in the same words; another wall is another material",
            self.base_material, tested, None, None, decisive=True,
        )  # fmt: skip
        yield Requirement(
            "site_test_contact", not self.raised,
            "the fixture stands on the base material itself: pulls show nothing of bending over a stand-off or grout",
            "stand-off or grout" if self.raised else "in contact", "in contact", None, None, decisive=True,
        )  # fmt: skip

    def figures(self, fastener: FastenerInUse, factors: PartialFactors, load_cases: Sequence[LoadCase]) -> Fastener:
        """The fastener with the resistance of the pulls in any direction (N, mm, MPa)."""
        # The base material is not concrete of the assessment, so none of its figures in concrete may come in.
        selection = fastener.selection
        row = {**(selection.row or {}), "pull_out": None, "concrete": None, "simplified": None}
        bare = replace(selection, size={**selection.size, "bond": None}, row=row)
        made = assembly.fastener(bare, fastener.member, fastener.use, {})
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
        yield _at_least(
            "site_test_thickness",
            member.thickness_mm,
            reach.thickness_mm,
            "the base material is as thick as it was in the tests",
        )
        edge = min(member.nearest_mm(positions))
        words = "every edge is as far away as it was in the tests"
        yield _at_least("site_test_edge", edge, reach.edge_mm, f"{words}{_unmeasured(reach, 'edge')}")
        if sheared(load_cases):
            yield _at_least(
                "site_test_shear_edge", edge, reach.shear_edge_mm,
                "pulls show nothing of shear towards an edge, so every edge is out of its reach",
                f"{RULES}/reach/shear_edge_factor",
            )  # fmt: skip
        yield _at_least(
            "site_test_spacing", smallest_spacing(positions), reach.spacing_mm,
            "single pulls show nothing of neighbours that pull at the same time, so the fasteners stand apart"
            + _unmeasured(reach, "spacing"),
            f"{RULES}/reach/spacing_factor",
        )  # fmt: skip

    def cautions(self) -> Iterator[Caution]:
        """How far the resistance reaches, and what its forces rest on."""
        return cautions_of_site_test(self.test)

    def shown(self) -> Mapping[str, Any]:
        """The tests, as the origin of the resistance."""
        return {"site_test": shown_origin(self.test)}


def pulls_of(request: Mapping[str, Any], rulebook: Rulebook, assessed_on: date) -> PullsOnSite:
    """The pulls that a verification request brings with it.

    Args:
        request: The request, with a ``site_test``.
        rulebook: The rulebook.
        assessed_on: Day of the assessment.

    Returns:
        The evidence.

    Raises:
        RefusedRequest: For a fastener that the rulebook has not, or a gauge that proves nothing.
    """
    brought = request["site_test"]
    return PullsOnSite(
        test=read_site_test(brought["tests"], rulebook, "#/site_test/tests"),
        stated_id=brought.get("id"),
        base_material=request.get("base_material") or "not given",
        state=request["member"].get("state") or UNKNOWN,
        raised=assembly.raised(request["fixture"]),
        assessed_on=assessed_on,
        count=len(request["positions"]),
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
    words = "the resin is assessed in the temperature range, which tells what it loses there"
    if factor is not None:
        words += f": the pulls were made on a cool day, so {factor:.3g} of what they give counts"
    range_words = "not known" if temperature_range == WEAKEST_COVERED else temperature_range
    rule = fastener.selection.size_path("bond", "characteristic_mpa")
    return Requirement(
        "site_test_temperature", factor is not None, words, range_words, "assessed", None, rule, decisive=True
    )


def _unmeasured(reach: Reach, what: str) -> str:
    if what not in reach.not_measured:
        return ""
    return f"; its {what} was not measured at every pull, so that it counts only out of reach: measure it and say it"


def _equal(code: str, words: str, here: str, tested: str) -> Requirement:
    return Requirement(code, here == tested, words, here, tested, None, None, decisive=True)


def _at_least(code: str, given_mm: float, least_mm: float, words: str, rule: str | None = None) -> Requirement:
    shown = given_mm if math.isfinite(given_mm) else "out of reach"
    met = reaches_mm(given_mm, least_mm)
    return Requirement(code, met, f"{words}: at least {least_mm:g} mm", shown, least_mm, "mm", rule, decisive=True)
