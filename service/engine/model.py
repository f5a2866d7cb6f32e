"""What the engine is given: a fixing as plain data (N, mm, MPa)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

Point = tuple[float, float]
EdgeName = Literal["x_minus", "x_plus", "y_minus", "y_plus"]
EdgeReinforcement = Literal["none", "edge_bar", "edge_bar_with_stirrups"]
Clearance = Literal["normal", "filled", "oversize"]
Hold = Literal["plate", "ring", "bare"]
Profile = Literal["solid", "hollow", "i_web_along_x", "i_web_along_y", "other"]
"""A plate, the fastener's own ring or hook, or nothing but the fastener."""
EDGE_NAMES: tuple[EdgeName, ...] = ("x_minus", "x_plus", "y_minus", "y_plus")


@dataclass(frozen=True, slots=True)
class Bond:
    """Bond figures of a bonded fastener for one state, hole condition and temperature range (MPa)."""

    characteristic_mpa: float
    strength_factor: float
    uncracked_reference_mpa: float
    sustained_factor: float | None


@dataclass(frozen=True, slots=True)
class PullOut:
    """Pull-out resistance of one fastener in C20/25 (N) and its factor for the strength of the member."""

    reference_n: float
    strength_factor: float


@dataclass(frozen=True, slots=True)
class Cone:
    """Figures of an assessment for concrete failure (mm, N; cone_factor in N^0.5 mm^-0.5)."""

    cone_factor: float
    cone_spacing_mm: float
    cone_edge_mm: float
    splitting_spacing_mm: float
    splitting_edge_mm: float
    splitting_n: float | None
    pry_out_factor: float
    shear_length_mm: float | None


@dataclass(frozen=True, slots=True)
class Simplified:
    """One resistance in any direction, of a family known only from its label or from pulls on site (N)."""

    resistance_n: float
    partial_factor: float
    origin: str = "stated load, simplified method, in any direction"


@dataclass(frozen=True, slots=True)
class Displacement:
    """How far a fastener gives way at once (mm) under a tension (N), as its assessment gives it."""

    load_n: float
    way_mm: float


@dataclass(frozen=True, slots=True)
class Fastener:
    """A fastener in its hole, with the figures its assessment gives for this member.

    ``rules`` names the origin of each figure by the name of its field, so that a trace can show it.
    """

    mechanism: str
    diameter_mm: float
    nominal_diameter_mm: float
    stress_area_mm2: float
    section_modulus_mm3: float
    head_diameter_mm: float | None
    embedment_mm: float
    displacement: Displacement | None
    tensile_strength_mpa: float
    yield_strength_mpa: float
    ductile: bool
    steel_tension_n: float | None
    steel_shear_n: float | None
    steel_bending_nmm: float | None
    shear_group_factor: float | None
    installation_factor: float
    member_thickness_min_mm: float
    pull_out: PullOut | None
    assessed_bond: Bond | None
    assessed_cone: Cone | None
    simplified: Simplified | None
    redundant_indoor_use: bool
    stand_off_compression: bool
    rules: Mapping[str, str]

    @property
    def headed(self) -> bool:
        """Cast-in headed fasteners have their own pull-out and blow-out."""
        return self.mechanism == "headed_fastener"

    @property
    def cone(self) -> Cone:
        """Figures of concrete failure; a family known only from its label has none."""
        if self.assessed_cone is None:
            raise ValueError("this fastener has no figures of concrete failure")
        return self.assessed_cone

    @property
    def bond(self) -> Bond:
        """Bond figures; only bonded fasteners have them."""
        if self.assessed_bond is None:
            raise ValueError("this fastener has no bond figures")
        return self.assessed_bond


@dataclass(frozen=True, slots=True)
class Reinforcement:
    """Reinforcement around the fixing (mm); a spacing of None is not known."""

    spacing_mm: float | None
    diameter_mm: float | None
    edge: EdgeReinforcement
    stirrup_spacing_mm: float | None
    cracks_held: bool


@dataclass(frozen=True, slots=True)
class Member:
    """The concrete that holds the fixing: strength (MPa), thickness and edges (mm, infinite when out of reach)."""

    f_ck_mpa: float
    cracked: bool
    thickness_mm: float
    edges_mm: tuple[float, float, float, float]
    reinforcement: Reinforcement
    f_ck_most_mpa: float = 0.0
    """The most that it may have, which helps nothing; f_ck where that is more, infinite where nobody knows either."""

    def nearest_mm(self, points: Sequence[Point]) -> tuple[float, float, float, float]:
        """Smallest distance of a group of points to each of the four edges (mm)."""
        xs, ys = zip(*points, strict=True)
        west, east, south, north = self.edges_mm
        return (min(xs) + west, east - max(xs), min(ys) + south, north - max(ys))

    def distances_mm(self, points: Sequence[Point], edge: int) -> tuple[float, ...]:
        """Distance of each point to an edge (mm); the edge is an index into ``EDGE_NAMES``."""
        along, distance = (0 if edge < 2 else 1), self.edges_mm[edge]
        return tuple([distance - p[along] if edge % 2 else p[along] + distance for p in points])


@dataclass(frozen=True, slots=True)
class Fixture:
    """The plate that is held (mm, MPa); None is not known."""

    centre: Point
    width_mm: float
    depth_mm: float
    thickness_mm: float | None
    yield_mpa: float | None
    section_mm: tuple[float, float] | None
    clearance: Clearance
    stand_off_mm: float
    grout_mm: float
    grout_mpa: float | None
    rotation_held: bool
    washer_clamped: bool
    hold: Hold = "plate"
    """What is held: without a plate nothing is clamped, and nothing bears on the concrete."""
    profile: Profile | None = None
    """What stands on the plate within ``section_mm``."""

    @property
    def plate(self) -> bool:
        """Whether there is a plate."""
        return self.hold == "plate"


@dataclass(frozen=True, slots=True)
class LoadCase:
    """Design actions on the fixture at the origin in the concrete surface (N, Nmm).

    Where it is known what of them stays for long, its share is found fastener by fastener; else the share is given.
    """

    name: str
    combination: str
    normal_n: float
    shear_x_n: float
    shear_y_n: float
    moment_x_nmm: float
    moment_y_nmm: float
    torsion_nmm: float
    sustained_share: float
    sustained: LoadCase | None = None


@dataclass(frozen=True, slots=True)
class PartialFactors:
    """Partial factors of resistance for one fastener and design situation (no unit), how they came about and whence."""

    concrete: float
    steel_tension: float
    steel_shear: float
    steel_tension_expression: str
    steel_shear_expression: str
    rules: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Neighbour:
    """A fastener of another fixing that is loaded, or may be (mm).

    ``depth_ratio`` is its depth by ours, at least 1: so much wider is the concrete that it needs. ``shared`` means that
    it is known to be no deeper than ours, so that each keeps its side of the midline; another takes the whole overlap.
    """

    point: Point
    depth_ratio: float
    shared: bool


@dataclass(frozen=True, slots=True)
class Fixing:
    """One fixture held by one or more fasteners of a kind, and what stands near it."""

    fastener: Fastener
    positions: tuple[Point, ...]
    member: Member
    fixture: Fixture
    factors: PartialFactors
    site_factor: float
    load_cases: tuple[LoadCase, ...]
    neighbours: tuple[Neighbour, ...] = ()
