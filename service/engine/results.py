"""What the engine answers: frozen results that know no JSON and cannot print."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from service.engine.codes import Limit, Mode, Note
from service.engine.model import EdgeName, Point
from service.engine.trace import TraceEntry


@dataclass(frozen=True, slots=True)
class Check:
    """One failure mode and its figure (N); an interaction has no forces of its own."""

    mode: Mode
    fasteners: tuple[int, ...]
    edge: EdgeName | None
    clause: str
    action_n: float | None
    characteristic_n: float | None
    partial_factor: float | None
    design_n: float | None
    utilisation: float
    trace: tuple[TraceEntry, ...]

    @property
    def fastener_numbers(self) -> tuple[int, ...]:
        """The fasteners as people number them, from 1."""
        return tuple(index + 1 for index in self.fasteners)


@dataclass(frozen=True, slots=True)
class ScopeLimit:
    """A reason why the method does not cover the case, with its figures (mm, MPa or a number of fasteners) or word."""

    code: Limit
    clause: str
    figures: Mapping[str, float | str | None] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Contact:
    """Pressure between fixture and concrete: resultant (N), where it acts (mm), the largest and the mean (MPa)."""

    compression_n: float
    centre: Point
    pressure_mpa: float
    mean_mpa: float
    area: tuple[Point, ...]
    """Corners of what presses, counter-clockwise (mm)."""
    pressure_plane: tuple[float, float, float]
    """p_0, p_x, p_y: the pressure at a place is p_0 + p_x·x + p_y·y (MPa, MPa/mm)."""


@dataclass(frozen=True, slots=True)
class Forces:
    """Forces on each fastener (N) and the contact under the fixture."""

    tension_n: tuple[float, ...]
    shear_n: tuple[tuple[float, float], ...]
    contact: Contact | None


@dataclass(frozen=True, slots=True)
class PlateBending:
    """How a plate of a thickness bends: stress (MPa), deformation out of plane and the most that is negligible (mm).

    What is missing was taken the least favourable way, but for the thickness, which counts as 1 mm.
    """

    thickness_mm: float
    stress_mpa: float
    deformation_mm: float
    deformation_max_mm: float
    deformation_used: float
    """Inverse of how many times its forces may grow until the deformation is no longer negligible (no unit)."""
    missing: tuple[str, ...] = ()

    @property
    def deformation_ratio(self) -> float:
        """Deformation over the most of it that is negligible; no unit."""
        return self.deformation_mm / self.deformation_max_mm if self.deformation_mm > 0.0 else 0.0


@dataclass(frozen=True, slots=True)
class CaseResult:
    """One load case: its forces, checks and limits, and the open readings that were used."""

    name: str
    combination: str
    forces: Forces | None
    checks: tuple[Check, ...]
    scope_limits: tuple[ScopeLimit, ...]
    plate: PlateBending | None
    utilisation_soft_contact: float | None
    notes: tuple[Note, ...]
    open_readings: tuple[str, ...]

    @property
    def utilisation(self) -> float:
        """The largest utilisation of its checks, 0 when no check is left."""
        return max((check.utilisation for check in self.checks), default=0.0)
