"""Whether the fixture is stiff enough for the forces that were found under a rigid one (EN 1992-4:2018, 6.2.1)."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from service.contract.verification_codes import FixtureFigure, RequirementCode
from service.engine.model import Fixture
from service.engine.results import CaseResult, PlateBending
from service.verification.requirements import Requirement
from service.words import Value

CLAUSE = "6.2.1"

YIELD_MIN_MPA = 215.0
"""Yield strength of the weakest common structural steel, S235 of EN 10025-2 up to 100 mm thick (from memory)."""


def bent(results: Sequence[CaseResult]) -> list[PlateBending]:
    """How each load case bends the plate, where its forces were found."""
    return [result.plate for result in results if result.plate is not None]


def used(plate: PlateBending, fixture: Fixture) -> float:
    """1/g, with g how often the forces may grow until the plate yields or bends more than is negligible; no unit."""
    return max(plate.stress_mpa / _yield_mpa(fixture), plate.deformation_used)


def _yield_mpa(fixture: Fixture) -> float:
    """Yield strength of the plate, as given or the least that is common (MPa)."""
    return YIELD_MIN_MPA if fixture.yield_mpa is None else fixture.yield_mpa


def requirements(plates: Sequence[PlateBending], fixture: Fixture) -> Iterator[Requirement]:
    """Hold the plate against its yield strength and against what the fasteners give way.

    Args:
        plates: How the load cases bend it.
        fixture: The fixture; what is not given of it was taken the least favourable way.

    Yields:
        Stress and deformation; where figures are lacking, whether it is stiff whatever they are; none without a plate.
    """
    if not plates:
        return
    if plates[0].missing:
        yield from _shown(plates, fixture)
        return
    stress = max(plate.stress_mpa for plate in plates)
    figures = {"stress_mpa": stress, "yield_mpa": _yield_mpa(fixture)}
    yield Requirement(RequirementCode.FIXTURE_STAYS_ELASTIC, stress <= _yield_mpa(fixture), figures, clause=CLAUSE)
    worst = max(plates, key=lambda plate: plate.deformation_ratio)
    figures = {"deformation_mm": worst.deformation_mm, "deformation_max_mm": worst.deformation_max_mm}
    met = worst.deformation_mm <= worst.deformation_max_mm
    yield Requirement(RequirementCode.FIXTURE_STIFF_ENOUGH, met, figures, clause=CLAUSE)


def _shown(plates: Sequence[PlateBending], fixture: Fixture) -> Iterator[Requirement]:
    least = max(_thickness_min_mm(plate, fixture) for plate in plates)
    if least > 0.0:
        figures: dict[str, Value] = {
            "missing": tuple(FixtureFigure(name) for name in plates[0].missing),
            "thickness_min_mm": least,
            "thickness_mm": fixture.thickness_mm,
        }
        met = fixture.thickness_mm is not None and least <= fixture.thickness_mm
        yield Requirement(RequirementCode.FIXTURE_SHOWN_STIFF, met, figures, clause=CLAUSE)


def carries_unchecked(results: Sequence[CaseResult]) -> bool:
    """Whether figures of a fixture are lacking that shares nothing: what hangs on one fastener, it has to carry."""
    unbent = all(plate.missing and plate.stress_mpa == 0.0 for plate in bent(results))
    pulls = any(any(result.forces.tension_n) for result in results if result.plate and result.forces)
    return unbent and pulls


def _thickness_min_mm(plate: PlateBending, fixture: Fixture) -> float:
    """Thickness at which stress, by its square, and deformation, by its cube, are just within their limits (mm)."""
    of_stress = math.sqrt(plate.stress_mpa / _yield_mpa(fixture))
    return max(of_stress, math.cbrt(plate.deformation_ratio)) * plate.thickness_mm
