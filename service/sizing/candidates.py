"""Every fastener a family offers in every layout, and what the request's limits say before any verification."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Literal

from service.contract import wanted
from service.sizing.layouts import Layout, Rectangle
from service.sizing.selection import AVAILABILITY_RANKS, SelectionFigures
from service.sizing.words import words
from service.verification.tolerance import reaches_mm

CAST_IN = "headed_fastener"
CAST_IN_NOT_ASKED_FOR = "cast_in_not_asked_for"
HOLE_EDGE_DISTANCE = "hole_edge_distance"

CauseKind = Literal["requirement", "mode", "limit", "scope", "approval"]


@dataclass(frozen=True, slots=True)
class Cause:
    """What stops a family or a candidate: what it has or the request gives, what is allowed, and the unit of both."""

    kind: CauseKind
    code: str
    detail: str
    figure: float | str | None = None
    limit: float | str | None = None
    unit: str | None = None
    also: tuple[str, ...] = ()


@dataclass(frozen=True)
class Fastener:
    """One size of a family at one embedment, with the figures that sizing needs."""

    family: Mapping[str, Any]
    size: str
    embedment_name: str
    row: Mapping[str, Any]
    embedment_mm: float
    diameter_mm: float
    hole_diameter_mm: float | None
    hole_depth_mm: float | None
    clearance_hole_mm: float | None
    torque_nm: float | None
    impact_driver_torque_max_nm: float | None

    @cached_property
    def drilled_volume_mm3(self) -> float:
        """Volume of one drilled hole (mm³); nothing is drilled for a cast-in fastener."""
        if self.hole_diameter_mm is None or self.hole_depth_mm is None:
            return 0.0
        return math.pi / 4 * self.hole_diameter_mm**2 * self.hole_depth_mm

    @cached_property
    def concrete_volume_mm3(self) -> float:
        """What one takes out of the concrete (mm³): its hole, or for a cast-in one the place of its shank."""
        if self.hole_depth_mm is None:
            return math.pi / 4 * self.diameter_mm**2 * self.embedment_mm
        return self.drilled_volume_mm3

    @property
    def row_key(self) -> tuple[str, str, str]:
        """What names the row in the rulebook: family, size, embedment."""
        return (self.family["id"], self.size, self.embedment_name)


@dataclass(frozen=True, slots=True)
class Candidate:
    """A fastener in a layout."""

    fastener: Fastener
    layout: Layout

    def figures(self, utilisation: float = 0.0) -> SelectionFigures:
        """Give what the candidate is compared by.

        Args:
            utilisation: Its utilisation, once verified.

        Returns:
            The figures for the selection order.
        """
        count = len(self.layout)
        volume_mm3 = count * self.fastener.concrete_volume_mm3
        family = self.fastener.family
        available = AVAILABILITY_RANKS[family["availability"]]
        return SelectionFigures(count, volume_mm3, family["preference_rank"], available, utilisation)

    @property
    def name(self) -> str:
        """What one would say for it: 2 × M12 with h_ef 70 mm."""
        return f"{len(self.layout)} × {size_words(self.fastener.size)} with h_ef {self.fastener.embedment_mm:g} mm"


def size_words(size: str) -> str:
    """Name a size so that it does not read as a number.

    Args:
        size: The size in the rulebook.

    Returns:
        M12 as it is, 10 as size 10.
    """
    return f"size {size}" if size[:1].isdigit() else size


def fasteners(family: Mapping[str, Any]) -> Iterator[Fastener]:
    """List what a family offers.

    The lengths are not told apart: no check depends on them, and verification takes the shortest that clamps.

    Args:
        family: The family as in the rulebook.

    Yields:
        Each size at each of its embedments.
    """
    for size, data in family["sizes"].items():
        for name, row in data["embedments"].items():
            yield Fastener(
                family=family,
                size=size,
                embedment_name=name,
                row=row,
                embedment_mm=row["depth"]["effective_mm"],
                diameter_mm=data["geometry"]["diameter_mm"],
                hole_diameter_mm=data["geometry"]["hole_diameter_mm"],
                hole_depth_mm=row["depth"]["hole_mm"],
                clearance_hole_mm=data["geometry"]["clearance_hole_mm"],
                torque_nm=data["setting"]["installation_torque_nm"],
                impact_driver_torque_max_nm=data["setting"]["impact_driver_torque_max_nm"],
            )


def family_obstacles(family: Mapping[str, Any], limits: wanted.Limits) -> tuple[Cause, ...]:
    """Say which of the request's limits leave a whole family out.

    Args:
        family: The family as in the rulebook.
        limits: The limits of the sizing request.

    Returns:
        The limits that stop it.
    """
    mechanisms, families, removable, setting = limits.mechanisms, limits.families, limits.removable, limits.setting
    found = []
    if mechanisms is not None and family["mechanism"] not in mechanisms:
        asked = ", ".join(words(name) for name in mechanisms)
        detail = f"mechanism: {words(family['mechanism'])}; limits.mechanisms asks for {asked}"
        found.append(Cause("limit", "mechanisms", detail, family["mechanism"], ", ".join(mechanisms)))
    if families is not None and family["id"] not in families:
        detail = f"is not among limits.families: {', '.join(families)}"
        found.append(Cause("limit", "families", detail, family["id"], ", ".join(families)))
    if removable is not None and family["removable"] is not removable:
        given, asked = (_removable(value) for value in (family["removable"], removable))
        detail = f"is {given}; limits.removable asks for one that is {asked}"
        found.append(Cause("limit", "removable", detail, given, asked))
    if setting is not None and family["setting"] != setting:
        detail = f"is set {words(family['setting'])}; limits.setting asks for {words(setting)}"
        found.append(Cause("limit", "setting", detail, family["setting"], setting))
    if family["mechanism"] == CAST_IN and mechanisms is None and families is None:
        detail = "is cast in with the member, so it suits only concrete that is still to be cast; name it in limits"
        found.append(Cause("limit", CAST_IN_NOT_ASKED_FOR, detail, CAST_IN, None))
    return tuple(found)


def candidate_obstacles(
    candidate: Candidate, limits: wanted.Limits, plate: Rectangle, hole_edge_factor: float
) -> tuple[Cause, ...]:
    """Say why a candidate need not be verified.

    Args:
        candidate: A fastener in a layout.
        limits: The limits of the sizing request.
        plate: The outline of the fixture.
        hole_edge_factor: Least distance from a plate edge to the centre of a clearance hole, over its diameter.

    Returns:
        What stops it.
    """
    fastener = candidate.fastener
    found = (
        _over("hole_diameter_mm", fastener.hole_diameter_mm, limits.hole_diameter_mm),
        _over("hole_depth_mm", fastener.hole_depth_mm, limits.hole_depth_mm),
        _too_near_plate_edge(fastener, plate.clearance_mm(candidate.layout), hole_edge_factor),
    )
    return tuple(cause for cause in found if cause is not None)


def _over(name: str, figure: float | None, limit: float | None) -> Cause | None:
    if figure is None or limit is None or figure <= limit:
        return None
    what = words(name.removesuffix("_mm"))
    return Cause("limit", name, f"{what} {figure:g} mm; limits.{name} allows {limit:g} mm", figure, limit, "mm")


def _too_near_plate_edge(fastener: Fastener, clearance_mm: float, factor: float) -> Cause | None:
    required_mm = factor * (fastener.clearance_hole_mm or 0.0)
    if reaches_mm(clearance_mm, required_mm) and clearance_mm > 0:
        return None
    detail = (
        f"{clearance_mm:g} mm from the centre of a clearance hole to the edge of the fixture; "
        f"at least {required_mm:g} mm"
    )
    return Cause("requirement", HOLE_EDGE_DISTANCE, detail, clearance_mm, required_mm, "mm")


def _removable(value: bool) -> str:
    return "removable" if value else "not removable"
