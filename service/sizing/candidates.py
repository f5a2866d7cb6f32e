"""Every fastener a family offers in every layout, and what the request's limits say before any verification."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from service.sizing.layouts import Layout, Rectangle
from service.sizing.selection import SelectionFigures
from service.sizing.words import words

CAST_IN = "headed_fastener"
HOLE_EDGE_DISTANCE = "hole_edge_distance"

CauseKind = Literal["requirement", "mode", "limit", "scope", "approval"]


@dataclass(frozen=True)
class Cause:
    """What stops a family or a candidate, with its figure and the limit it breaks, where it has them."""

    kind: CauseKind
    code: str
    detail: str
    figure: float | None = None
    limit: float | None = None


@dataclass(frozen=True)
class Fastener:
    """One size of a family at one embedment, with the figures that sizing needs."""

    family: Mapping[str, Any]
    size: str
    embedment_mm: float
    hole_diameter_mm: float | None
    hole_depth_mm: float | None
    clearance_hole_mm: float | None
    torque_nm: float | None
    impact_driver_torque_max_nm: float | None

    @property
    def drilled_volume_mm3(self) -> float:
        """Volume of one drilled hole (mm³); nothing is drilled for a cast-in fastener."""
        if self.hole_diameter_mm is None or self.hole_depth_mm is None:
            return 0.0
        return math.pi / 4 * self.hole_diameter_mm**2 * self.hole_depth_mm


@dataclass(frozen=True)
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
        volume_mm3 = count * self.fastener.drilled_volume_mm3
        return SelectionFigures(count, volume_mm3, self.fastener.family["preference_rank"], utilisation)


def fasteners(family: Mapping[str, Any]) -> Iterator[Fastener]:
    """List what a family offers.

    Args:
        family: The family as in the rulebook.

    Yields:
        Each size at each of its embedments.
    """
    for size, data in family["sizes"].items():
        for row in data["embedments"].values():
            yield Fastener(
                family=family,
                size=size,
                embedment_mm=row["depth"]["effective_mm"],
                hole_diameter_mm=data["geometry"]["hole_diameter_mm"],
                hole_depth_mm=row["depth"]["hole_mm"],
                clearance_hole_mm=data["geometry"]["clearance_hole_mm"],
                torque_nm=data["setting"]["installation_torque_nm"],
                impact_driver_torque_max_nm=data["setting"]["impact_driver_torque_max_nm"],
            )


def family_obstacle(family: Mapping[str, Any], limits: Mapping[str, Any]) -> Cause | None:
    """Say why the request's limits leave a whole family out.

    Args:
        family: The family as in the rulebook.
        limits: The `limits` of the sizing request; absent or null does not filter.

    Returns:
        The limit that stops it, or None.
    """
    mechanisms: Sequence[str] | None = limits.get("mechanisms")
    wanted: Sequence[str] | None = limits.get("families")
    if mechanisms is not None and family["mechanism"] not in mechanisms:
        return Cause("limit", "mechanisms", f"{words(family['mechanism'])} is not among limits.mechanisms")
    if wanted is not None and family["id"] not in wanted:
        return Cause("limit", "families", f"{family['id']} is not among limits.families")
    if limits.get("removable") is not None and family["removable"] is not limits["removable"]:
        return Cause("limit", "removable", f"limits.removable asks for {_yes_no(limits['removable'])}")
    if limits.get("setting") is not None and family["setting"] != limits["setting"]:
        return Cause("limit", "setting", f"is set {words(family['setting'])}; asked is {words(limits['setting'])}")
    if family["mechanism"] == CAST_IN and mechanisms is None and wanted is None:
        return Cause("limit", "cast_in_not_asked_for", "is cast in with the member; name it in limits to consider it")
    return None


def candidate_obstacle(
    candidate: Candidate, limits: Mapping[str, Any], plate: Rectangle, hole_edge_factor: float
) -> Cause | None:
    """Say why a candidate need not be verified.

    Args:
        candidate: A fastener in a layout.
        limits: The `limits` of the sizing request.
        plate: The outline of the fixture.
        hole_edge_factor: Least distance from a plate edge to the centre of a clearance hole, over its diameter.

    Returns:
        The limit that stops it, or None.
    """
    fastener = candidate.fastener
    return (
        _over("hole_diameter_mm", fastener.hole_diameter_mm, limits)
        or _over("hole_depth_mm", fastener.hole_depth_mm, limits)
        or _too_near_plate_edge(fastener, plate.clearance_mm(candidate.layout), hole_edge_factor)
    )


def _over(name: str, figure: float | None, limits: Mapping[str, Any]) -> Cause | None:
    limit = limits.get(name)
    if figure is None or limit is None or figure <= limit:
        return None
    return Cause("limit", name, f"needs {name} of {figure:g}; limits.{name} allows {limit:g}", figure, limit)


def _too_near_plate_edge(fastener: Fastener, clearance_mm: float, factor: float) -> Cause | None:
    required_mm = factor * (fastener.clearance_hole_mm or 0.0)
    if clearance_mm >= required_mm and clearance_mm > 0:
        return None
    detail = f"leaves {clearance_mm:g} mm from the centre of a clearance hole to the plate edge; needs {required_mm:g}"
    return Cause("limit", HOLE_EDGE_DISTANCE, detail, clearance_mm, required_mm)


def _yes_no(value: bool) -> str:
    return "removable fasteners" if value else "fasteners that stay"
