"""Forces on a thing, brought to the origin in the concrete surface in the API's axes and signs."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any

from service.contract.wanted import Components

MM_PER_M = 1000.0
NOTHING = 1e-12


@dataclass(frozen=True, slots=True)
class Wrench(Components):
    """Forces (kN) and moments (kNm) at the origin: z out of the concrete, a normal force pulls, right-hand rule."""

    def __add__(self, other: Wrench) -> Wrench:
        return Wrench(*(a + b for a, b in zip(self.all, other.all, strict=True)))

    def __mul__(self, factor: float) -> Wrench:
        return Wrench(*(factor * component for component in self.all))

    @property
    def zero(self) -> bool:
        """Whether there is no action."""
        return all(abs(component) < NOTHING for component in self.all)

    @property
    def only_presses(self) -> bool:
        """Whether it does nothing but press the fixture against the concrete."""
        _, *others = self.all
        return self.normal_kn <= 0.0 and all(abs(component) < NOTHING for component in others)


def force(
    x_kn: float = 0.0, y_kn: float = 0.0, z_kn: float = 0.0, *, x_mm: float = 0.0, y_mm: float = 0.0, z_mm: float = 0.0
) -> Wrench:
    """A force on the thing, brought to the origin by equilibrium: M = r × F.

    So a force towards +x at height z gives a positive moment about y, which is −Σ x·F of the fasteners on the −x side
    that it lifts; one towards +y gives a negative moment about x.

    Args:
        x_kn: Component along x (kN).
        y_kn: Component along y (kN).
        z_kn: Component out of the concrete (kN).
        x_mm: x of a point on its line of action (mm).
        y_mm: y of that point (mm).
        z_mm: Height of that point over the concrete surface (mm).

    Returns:
        Forces and moments at the origin.
    """
    return Wrench(
        normal_kn=z_kn,
        shear_x_kn=x_kn,
        shear_y_kn=y_kn,
        moment_x_knm=(y_mm * z_kn - z_mm * y_kn) / MM_PER_M,
        moment_y_knm=(z_mm * x_kn - x_mm * z_kn) / MM_PER_M,
        torsion_knm=(x_mm * y_kn - y_mm * x_kn) / MM_PER_M,
    )


def moved_load(load: Mapping[str, Any], x_mm: float, y_mm: float) -> dict[str, Any]:
    """Move a load case or an action, its moments still about the origin.

    Args:
        load: The load.
        x_mm: How far along x (mm).
        y_mm: How far along y (mm).

    Returns:
        The same load there, its moments without the last digits: what rounding leaves would bend a plate.
    """
    x_kn, y_kn, z_kn = (float(load.get(name) or 0.0) for name in ("shear_x_kn", "shear_y_kn", "normal_kn"))
    more = asdict(force(x_kn, y_kn, z_kn, x_mm=x_mm, y_mm=y_mm))
    moments = {
        name: round(float(load.get(name) or 0.0) + more[name], 12)
        for name in ("moment_x_knm", "moment_y_knm", "torsion_knm")
        if more[name]
    }
    return {**load, **moments}


@dataclass(frozen=True, slots=True)
class Situation:
    """One complete situation with characteristic actions; situations are alternatives.

    Attributes:
        name: What happens, in words.
        permanent: Permanent actions together.
        variable: Variable actions together.
        stays: What of the variable actions stays for long.
        told: Whether it is told where it only presses too: a fixing that stands off may not bear that.
    """

    name: str
    permanent: Wrench
    variable: Wrench
    stays: Wrench = Wrench()
    told: bool = False
