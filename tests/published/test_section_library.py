"""Forces under a rigid plate against a reinforced-concrete section library.

Source: structuralcodes (an open library for structural codes, Marin integration), used as an independent solver of an
elastic cracked section under axial force and biaxial moments: concrete linear in compression and void in tension,
bars linear. It keeps bars in compression, fasteners don't take any: such bars are left out of its model, iterating.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest
import shapely
from structuralcodes.geometry import SurfaceGeometry, add_reinforcement
from structuralcodes.materials.basic import ElasticMaterial, GenericMaterial
from structuralcodes.materials.constitutive_laws import UserDefined
from structuralcodes.sections import BeamSection

from service.engine.en1992_1_1 import secant_modulus_mpa
from service.engine.en1992_4.plate_equilibrium import STEEL_MODULUS_MPA, PlateForces, solve

RELATIVE = 1e-3
Points = tuple[tuple[float, float], ...]
SQUARE: Points = ((-75.0, -75.0), (75.0, -75.0), (-75.0, 75.0), (75.0, 75.0))
NINE: Points = tuple((x, y) for y in (-100.0, 0.0, 100.0) for x in (-120.0, 0.0, 120.0))
TRIANGLE: Points = ((-80.0, -50.0), (80.0, -50.0), (0.0, 90.0))
TWO: Points = ((-60.0, 0.0), (60.0, 0.0))


@dataclass(frozen=True)
class Case:
    """A plate (x from, x to, y from, y to in mm), fasteners and actions (kN, kNm)."""

    name: str
    plate: tuple[float, float, float, float]
    points: Points
    area_mm2: float
    f_ck: float
    normal: float
    moment_x: float
    moment_y: float


CASES = (
    Case("uniaxial about x", (-110, 110, -110, 110), SQUARE, 84.3, 25, 0.0, 4.0, 0.0),
    Case("uniaxial about y with compression", (-110, 110, -110, 110), SQUARE, 84.3, 25, -0.3, 0.0, 1.65),
    Case("uniaxial with much compression", (-110, 110, -110, 110), SQUARE, 157.0, 30, -40.0, 6.0, 0.0),
    Case("uniaxial with tension", (-110, 110, -110, 110), SQUARE, 157.0, 30, 12.0, 0.0, -5.0),
    Case("biaxial", (-110, 110, -110, 110), SQUARE, 84.3, 20, 0.0, 3.0, -2.0),
    Case("biaxial with compression", (-110, 110, -110, 110), SQUARE, 84.3, 40, -8.0, -3.0, 2.5),
    Case("biaxial with tension", (-110, 110, -110, 110), SQUARE, 245.0, 50, 15.0, 3.0, 2.5),
    Case("three by three", (-160, 160, -140, 140), NINE, 157.0, 30, -5.0, 12.0, 8.0),
    Case("three by three, uniaxial", (-160, 160, -140, 140), NINE, 157.0, 30, 10.0, 18.0, 0.0),
    Case("triangle", (-120, 120, -90, 130), TRIANGLE, 84.3, 25, 2.0, 2.0, 1.5),
    Case("triangle, point in compression", (-120, 120, -90, 130), TRIANGLE, 84.3, 25, -1.0, -3.0, 0.4),
    Case("plate off centre", (-60, 200, -90, 110), SQUARE, 84.3, 25, -2.0, 2.0, -3.0),
    Case("plate cut by the edge of the concrete", (-110, 90, -110, 110), SQUARE, 84.3, 25, 1.0, 1.0, -3.0),
    Case("two fasteners, moment across their line", (-100, 100, -50, 50), TWO, 58.0, 25, 0.0, 1.0, 0.0),
)  # fmt: skip


@dataclass(frozen=True)
class LibraryForces:
    tension_n: tuple[float, ...]
    compression_n: float
    pressure_mpa: float


def library_forces(case: Case) -> LibraryForces:
    """Leave out bars in compression until none is left in the model; none left out may end up in tension."""
    acting = list(range(len(case.points)))
    while True:
        strain = library_strain(case, acting)
        at = {i: strain[0] + strain[1] * y - strain[2] * x for i, (x, y) in enumerate(case.points)}
        remaining = [i for i in acting if at[i] > 0.0]
        if remaining == acting:
            break
        acting = remaining
    assert all(at[i] <= 0.0 for i in at if i not in acting)
    bar = STEEL_MODULUS_MPA * case.area_mm2
    tension = tuple(bar * at[i] if i in acting else 0.0 for i in at)
    x0, x1, y0, y1 = case.plate
    lowest = min(strain[0] + strain[1] * y - strain[2] * x for x in (x0, x1) for y in (y0, y1))
    return LibraryForces(tension, sum(tension) - case.normal * 1e3, -lowest * secant_modulus_mpa(case.f_ck))


def library_strain(case: Case, acting: list[int]) -> tuple[float, float, float]:
    """Axial strain and curvatures by the library; y and z of its section are our x and y."""
    x0, x1, y0, y1 = case.plate
    modulus = secant_modulus_mpa(case.f_ck)
    cracked = GenericMaterial(density=2500, constitutive_law=UserDefined([-1.0, 0.0, 1.0], [-modulus, 0.0, 0.0]))
    steel = ElasticMaterial(E=STEEL_MODULUS_MPA, density=7850)
    geometry = SurfaceGeometry(shapely.box(x0, y0, x1, y1), cracked)
    diameter = float(np.sqrt(4.0 * case.area_mm2 / np.pi))
    for i in acting:
        geometry = add_reinforcement(geometry, case.points[i], diameter, steel)
    section = BeamSection(geometry, integrator="marin")
    found = section.section_calculator.calculate_strain_profile(
        n=case.normal * 1e3, my=case.moment_x * 1e6, mz=case.moment_y * 1e6, max_iter=100, tol=1e-14
    )
    assert found.converged
    return found.eps_a, found.chi_y, found.chi_z


def engine_forces(case: Case) -> PlateForces:
    modulus = secant_modulus_mpa(case.f_ck)
    moments = (case.moment_x * 1e6, case.moment_y * 1e6)
    return solve(case.points, case.area_mm2, modulus, case.plate, case.normal * 1e3, *moments)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_plate_forces_equal_those_of_a_cracked_section(case: Case) -> None:
    """Source: structuralcodes, within 0.1 % of the largest force."""
    theirs, ours = library_forces(case), engine_forces(case)
    largest = max(theirs.tension_n)
    assert largest > 0.0
    assert ours.tension_n == pytest.approx(theirs.tension_n, abs=RELATIVE * largest)
    assert ours.contact is not None
    assert ours.contact.compression_n == pytest.approx(theirs.compression_n, rel=RELATIVE)
    assert ours.contact.pressure_mpa == pytest.approx(theirs.pressure_mpa, rel=RELATIVE)
