"""What a request says of fasteners of other fixings and of old holes nearby: what it asks, and what the engine takes.

A neighbour never makes a result better: it asks for a distance, and takes concrete where it is or may be loaded.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from service.contract import wanted
from service.contract.verification_codes import AssumptionCode, Filling, RequirementCode
from service.engine.model import Fixing, Neighbour, Point
from service.engine.neighbour_reach import NeighbourReach, neighbour_reach
from service.engine.results import CaseResult
from service.rulebook import Rulebook
from service.verification.aborted_hole import least_distance, pushed_to
from service.verification.assumptions import Assumptions
from service.verification.requirements import LeastSpacing, Requirement, least_spacing
from service.verification.selection import Selection, family_named, size_named
from service.verification.tolerance import TOLERANCE_MM, reaches_mm, same_mm
from service.words import Value

Given = Sequence[wanted.Neighbour]
POINTER = "#/neighbours"


def check_named(neighbours: Given, rulebook: Rulebook, pointer: str = POINTER) -> None:
    """Refuse neighbours whose family or size the rulebook does not have.

    Args:
        neighbours: What the request says.
        rulebook: The rulebook.
        pointer: Where the request says it.

    Raises:
        RefusedRequest: For the first such name, with those known.
    """
    for index, neighbour in enumerate(neighbours):
        if neighbour.family is not None:
            place = f"{pointer}/{index}"
            family = family_named(neighbour.family, rulebook, place)
            if neighbour.size is not None:
                size_named(family, neighbour.size, place)


def taken_depth_mm(neighbour: wanted.Neighbour, rulebook: Rulebook, embedment_mm: float) -> float:
    """How deep a neighbour is taken to be (mm): as it is said, else the deepest that its family and size can be.

    Without a family as the rulebook says, or as ours where that is deeper; a release that says nothing has it as deep
    as ours. One of unknown depth takes the whole overlap all the same.

    Args:
        neighbour: What the request says of it.
        rulebook: The rulebook.
        embedment_mm: Our depth (mm).

    Returns:
        The depth (mm).
    """
    if neighbour.embedment_mm is not None:
        return neighbour.embedment_mm
    if neighbour.family is None:
        return max(_of_any_mm(rulebook), embedment_mm)
    return _deepest_mm(rulebook.families[neighbour.family], neighbour.size)


def _of_any_mm(rulebook: Rulebook) -> float:
    """How deep a fastener of which nothing is known is taken to be (mm)."""
    return float(rulebook.document["unknown"].get("neighbour_embedment_mm", 0.0))


def _deepest_mm(family: Mapping[str, Any], size: str | None) -> float:
    """The deepest embedment of a size of a family, or of any where it is not known (mm)."""
    sizes = family["sizes"]
    rows = (row for name in (sizes if size is None else [size]) for row in sizes[name]["embedments"].values())
    return max(float(row["depth"]["effective_mm"]) for row in rows)


def acting(neighbours: Given, rulebook: Rulebook, embedment_mm: float) -> tuple[Neighbour, ...]:
    """The neighbours that are or may be loaded, as the engine takes them.

    Args:
        neighbours: What the request says.
        rulebook: The rulebook, which says how deep an unknown one is taken to be.
        embedment_mm: Depth of our fasteners (mm).

    Returns:
        The neighbours; one that is known to be no deeper shares the concrete with ours.
    """
    found = []
    for neighbour in neighbours:
        if neighbour.may_be_loaded:
            known = neighbour.embedment_mm
            depth = taken_depth_mm(neighbour, rulebook, embedment_mm)
            shared = known is not None and known <= embedment_mm + TOLERANCE_MM
            found.append(Neighbour(neighbour.point, max(1.0, depth / embedment_mm), shared))
    return tuple(found)


def spacings(
    neighbours: Given,
    edges_mm: Sequence[float],
    least: Sequence[LeastSpacing],
    positions: Sequence[Point],
    rulebook: Rulebook,
) -> Iterator[Requirement]:
    """The least spacing to each fastener nearby: the larger of ours and of its own where that is known.

    Args:
        neighbours: What the request says.
        edges_mm: The nearest edge of ours and of each of them (mm).
        least: What ours ask for there.
        positions: Our fasteners (mm).
        rulebook: The rulebook, which knows the neighbour's family.

    Yields:
        One requirement a fastener; below it there is no resistance.
    """
    for index, neighbour in enumerate(neighbours):
        if not neighbour.is_hole:
            own = _own_spacing(neighbour, edges_mm[index], rulebook)
            asked = max(least[index], own, key=lambda each: each.spacing_mm)
            figures, found = _where(neighbour, index, positions)
            figures |= {"spacing_mm": found, "spacing_min_mm": asked.spacing_mm}
            met = reaches_mm(found, asked.spacing_mm)
            yield Requirement(RequirementCode.NEIGHBOUR_SPACING, met, figures, asked.rule, decisive=True)


def _where(neighbour: wanted.Neighbour, index: int, positions: Sequence[Point]) -> tuple[dict[str, Value], float]:
    """Which neighbour it is, where it stands, the fastener nearest to it and how far that is (mm)."""
    distances = [math.dist(neighbour.point, position) for position in positions]
    nearest = min(range(len(distances)), key=lambda i: distances[i])
    figures: dict[str, Value] = {
        "neighbour": index + 1,
        "number": nearest + 1,
        "x_mm": neighbour.x_mm,
        "y_mm": neighbour.y_mm,
    }
    return figures, distances[nearest]


def _own_spacing(neighbour: wanted.Neighbour, edge_mm: float, rulebook: Rulebook) -> LeastSpacing:
    """The least spacing of a neighbour's own assessment: of its depth, else the largest of its size, else of any."""
    if neighbour.family is None:
        return LeastSpacing(0.0, None)
    family, found = rulebook.families[neighbour.family], []
    sizes = family["sizes"] if neighbour.size is None else {neighbour.size: family["sizes"][neighbour.size]}
    for name, data in sizes.items():
        rows = data["embedments"]
        deep = neighbour.embedment_mm
        same = [key for key, row in rows.items() if deep is not None and same_mm(row["depth"]["effective_mm"], deep)]
        for key in same or rows:
            of_it = Selection(neighbour.family, family, str(name), data, key, rows[key])
            found.append(least_spacing(of_it, edge_mm))
    return max(found, key=lambda each: each.spacing_mm)


def old_holes(
    neighbours: Given,
    selection: Selection,
    positions: Sequence[Point],
    results: Sequence[CaseResult],
    rulebook: Rulebook,
) -> Iterator[Requirement]:
    """The least distance to each old hole, by the rule for aborted ones.

    Args:
        neighbours: What the request says.
        selection: Our fastener.
        positions: Our fasteners (mm).
        results: The load cases; where forces are not known, shear counts as pushing towards each hole.
        rulebook: The rulebook with the rule.

    Yields:
        One requirement a hole.
    """
    geometry = selection.size["geometry"]
    own = float(geometry["hole_diameter_mm"] or geometry["nominal_diameter_mm"])
    for index, hole in enumerate(neighbours):
        if not hole.is_hole or hole.hole_diameter_mm is None or hole.hole_depth_mm is None:
            continue
        filled = hole.state == "filled_hole"
        pushed = filled and _pushed(hole, positions, results)
        asked = least_distance(
            rulebook, max(own, hole.hole_diameter_mm), hole.hole_depth_mm, filled=filled and not pushed
        )
        figures, found = _where(hole, index, positions)
        filling = Filling.PUSHED if pushed else Filling.GROUT if filled else Filling.EMPTY
        figures |= {"distance_mm": found, "distance_min_mm": asked.distance_mm, "filling": filling}
        met = reaches_mm(found, asked.distance_mm)
        yield Requirement(RequirementCode.OLD_HOLE_DISTANCE, met, figures, asked.rule)


def _pushed(hole: wanted.Neighbour, positions: Sequence[Point], results: Sequence[CaseResult]) -> bool:
    forces = [result.forces for result in results]
    if not forces or any(each is None for each in forces):
        return True
    pushes = [pair for each in forces if each is not None for pair in zip(positions, each.shear_n, strict=True)]
    return pushed_to(hole.point, pushes)


def assumed(neighbours: Given, rulebook: Rulebook, embedment_mm: float, assumptions: Assumptions) -> None:
    """Say what is taken of the neighbours that a request names, and what has to be shown of them.

    Args:
        neighbours: What the request says.
        rulebook: The rulebook.
        embedment_mm: Depth of our fasteners (mm).
        assumptions: Where it is noted.
    """
    numbered = list(enumerate(neighbours, start=1))
    unknown = tuple(number for number, each in numbered if each.state is None)
    taken: dict[float, tuple[int, ...]] = {}
    for number, each in numbered:
        if each.may_be_loaded and each.embedment_mm is None:
            depth = taken_depth_mm(each, rulebook, embedment_mm)
            taken[depth] = (*taken.get(depth, ()), number)
    unloaded = tuple(number for number, each in numbered if each.state == "unloaded")
    filled = tuple(number for number, each in numbered if each.state == "filled_hole")
    if unknown:
        assumptions.add(AssumptionCode.NEIGHBOUR_STATE_UNKNOWN, POINTER, neighbours=unknown)
    for depth, those in taken.items():
        assumptions.add(AssumptionCode.NEIGHBOUR_DEPTH_UNKNOWN, POINTER, neighbours=those, embedment_mm=depth)
    if unloaded:
        assumptions.add(AssumptionCode.NEIGHBOUR_UNLOADED_TO_BE_SHOWN, POINTER, neighbours=unloaded)
    if filled:
        assumptions.add(AssumptionCode.OLD_HOLE_FILLED_TO_BE_SHOWN, POINTER, neighbours=filled)


def no_others(
    fixing: Fixing,
    results: Sequence[CaseResult],
    least: LeastSpacing,
    rulebook: Rulebook,
    assumptions: Assumptions,
    *,
    told: bool,
) -> None:
    """Say how far others have to be of whom the request says nothing.

    Args:
        fixing: The fixing that was calculated.
        results: Its load cases; nothing is said of a case that the method does not cover.
        least: The least spacing of our fasteners.
        rulebook: The rulebook.
        assumptions: Where it is noted.
        told: Whether the request says what stands near, if only that nothing does.
    """
    if any(result.scope_limits for result in results):
        return
    embedment = fixing.fastener.embedment_mm
    # Nobody looks how deep others are that stand far off, so it is the deepest that the rulebook has.
    deepest = max(_of_any_mm(rulebook), rulebook.deepest_mm, embedment)
    depth_matters = fixing.fastener.simplified is None
    reach = NeighbourReach(0.0, 0.0, 0.0)
    if depth_matters:
        reach = neighbour_reach(fixing, results)
    at_edge = reach.at_edge_mm(1.0)
    code = AssumptionCode.NO_OTHER_NEIGHBOURS if told else AssumptionCode.NEIGHBOURS_NOT_GIVEN
    assumptions.add(
        code,
        POINTER,
        reach_mm=_by_tape_mm(max(reach.around_mm(deepest / embedment), least.spacing_mm)),
        reach_at_edge_mm=None if at_edge is None else _by_tape_mm(at_edge),
        reach_no_deeper_mm=_by_tape_mm(max(reach.around_mm(1.0), least.spacing_mm)) if depth_matters else None,
        no_deeper_mm=embedment if depth_matters else None,
    )
    rules = rulebook.factors["installation"]["aborted_hole"]
    assumptions.add(
        AssumptionCode.NO_OLD_HOLES,
        POINTER,
        depth_factor=float(rules["depth_factor"]),
        hole_diameter_factor=float(rules["hole_diameter_factor"]),
    )


def _by_tape_mm(distance_mm: float) -> int:
    """A distance in whole millimetres, as a tape shows them, and never fewer."""
    return math.ceil(distance_mm - TOLERANCE_MM)
