"""What a candidate cannot do, known without calculating it, so that the search need not verify it.

A bound is a condition that every fixing that passes its checks fulfils. It may let through what fails; it must never
stop what passes. Requirements come from verification's own functions. The forces are the least that statics allows:
somewhere the share of a fastener is at least the mean, and a moment is resisted by no more than the arms to the far
edge of the plate.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import chain
from typing import Any

from service.contract import wanted
from service.contract.terms import PERSISTENT
from service.engine.model import Fastener as Assessed
from service.engine.model import LoadCase, PartialFactors
from service.rulebook import Rulebook
from service.sizing.candidates import Candidate, Fastener
from service.sizing.layouts import Layout, fixture_region, member_region
from service.verification import fixing as assembly
from service.verification import requirements
from service.verification.assumptions import (
    Assumptions,
    Strength,
    Use,
    concrete_of_the_method,
    cracked,
    reinforcement,
    strength,
    use,
)
from service.verification.fastener import fastener as assembled
from service.verification.fixture_holes import fastener_passes, goes_without_plate
from service.verification.length import choose_length
from service.verification.loads import loads_of
from service.verification.redundancy import point_of
from service.verification.requirements import Requirement, smallest_spacing
from service.verification.selection import Selection
from service.verification.site_reduction import SiteReduction, names_torque, site_reduction
from service.verification.tolerance import TOLERANCE_MM

# The engine finds forces by iteration; its figures may fall short of exact statics by less than this share.
EXACTNESS = 0.999


@dataclass(frozen=True, slots=True)
class Bound:
    """The fewest unmet requirements and the least utilisation that a candidate can have."""

    unmet: int
    utilisation: float

    def admits(self, utilisation_max: float) -> bool:
        """Tell whether the candidate may still pass.

        Args:
            utilisation_max: The utilisation it may reach.

        Returns:
            False where it is sure to fail.
        """
        return self.unmet == 0 and self.utilisation <= utilisation_max


@dataclass(frozen=True, slots=True)
class _Forces:
    """Tension and shear of one fastener (N): the least that the most loaded one takes, or the most that it can take."""

    tension_n: float
    shear_n: float


@dataclass(frozen=True, slots=True)
class _Row:
    """What holds for a size and embedment in every layout: unmet requirements and, by situation, the most it takes."""

    unmet: int
    decided: bool
    most: Mapping[str, _Forces]
    limits: Mapping[str, Any]
    edge_min_mm: float
    spacing_min_mm: float
    by_pairs: bool


class Bounds:
    """Bounds for the candidates of one sizing request."""

    def __init__(self, sizing: wanted.Sizing, rulebook: Rulebook) -> None:
        self._sizing, self._rulebook = sizing, rulebook
        member, untold = sizing.member, Assumptions()
        self._covered = concrete_of_the_method(member, untold)
        self._strength: Strength = strength(member, rulebook, untold)
        self._cracked = cracked(member, rulebook, untold)
        self._member = assembly.member(member, self._strength, self._cracked, reinforcement(member, untold))
        situation = sizing.use.situation or PERSISTENT
        self._load_cases = loads_of(sizing, rulebook).cases(situation, bonded=False, assumptions=untold)
        self._point = point_of(sizing, tuple(chain(*self._load_cases.values())))
        self._edges = member_region(member)
        self._rows: dict[tuple[str, str, str], _Row] = {}
        self._forces: dict[Layout, Mapping[str, _Forces]] = {}
        self._distances: dict[Layout, tuple[float, float]] = {}

    def __call__(self, candidate: Candidate) -> Bound:
        """Bound what a candidate can reach.

        Args:
            candidate: A fastener in a layout.

        Returns:
            Its bound; an infinite utilisation where the assessment gives no resistance.
        """
        if not self._covered:
            # Outside the method no requirement of the assessment is asked, and no number is given.
            return Bound(0, 0.0)
        row = self._row(candidate.fastener)
        short = self._distances_short(row, candidate.layout)
        if row.decided or short:
            return Bound(row.unmet + short, math.inf)
        used = (
            max(least.tension_n / row.most[situation].tension_n, least.shear_n / row.most[situation].shear_n)
            for situation, least in self._least_forces(candidate.layout).items()
        )
        return Bound(row.unmet, max(used))

    def _row(self, fastener: Fastener) -> _Row:
        if fastener.row_key not in self._rows:
            self._rows[fastener.row_key] = self._read_row(fastener)
        return self._rows[fastener.row_key]

    def _read_row(self, fastener: Fastener) -> _Row:
        family, row = fastener.family, fastener.row
        size = family["sizes"][fastener.size]
        selection = Selection(family["id"], family, fastener.size, size, fastener.embedment_name, row)
        given = self._sizing
        of_family = use(given.use, self._rulebook, family, self._point, Assumptions(), given.loads_from)
        torque_named = names_torque(size)
        site = site_reduction(given.site, selection.mechanism, self._rulebook, Assumptions(), torque_named=torque_named)
        unmet = [each for each in self._of_every_layout(selection, of_family, site) if not each.met]
        decided = any(requirement.decisive for requirement in unmet)
        most = {} if decided else dict(self._most(selection, of_family, site.factor))
        limits, simple = row["limits"], row["simplified"] or {"edge_mm": 0.0, "spacing_mm": 0.0}
        return _Row(
            unmet=len(unmet),
            decided=decided,
            most=most,
            limits=limits,
            edge_min_mm=max(simple["edge_mm"], limits["edge_min_mm"]),
            spacing_min_mm=max(simple["spacing_mm"], limits["spacing_min_mm"]),
            by_pairs=row["simplified"] is None,
        )

    def _of_every_layout(self, selection: Selection, of_family: Use, site: SiteReduction) -> Iterator[Requirement]:
        sizing = self._sizing
        embedment_mm = float((selection.row or {})["depth"]["effective_mm"])
        yield requirements.rulebook_in_force(self._rulebook.document, sizing.assessed_on)
        yield from requirements.site_above_floor(site)
        yield from requirements.approval(selection, of_family, sizing.assessed_on)
        yield from requirements.use_not_excluded(selection, of_family)
        yield from requirements.assessed_cover(selection, embedment_mm, self._strength, self._cracked, of_family)
        yield from requirements.hole_not_frozen(selection, of_family)
        yield from requirements.resin_cures(selection, of_family)
        yield from requirements.surroundings(selection, of_family, sizing.site.value("drilling"))
        yield from requirements.tightening(selection, sizing.site)
        length = choose_length(selection, None, sizing.standing_fixture, Assumptions())
        yield from length.requirements
        yield from fastener_passes(selection, sizing.fixture)
        yield from goes_without_plate(selection, sizing.fixture)
        through = requirements.hole_through_member(selection, length.length_mm, sizing.standing_fixture, self._member)
        yield from through
        yield from requirements.member_thickness(selection, self._member)

    def _most(self, selection: Selection, of_family: Use, site: float) -> Iterator[tuple[str, _Forces]]:
        """The most that steel and pull-out let one fastener take (N), by design situation, site included."""
        fastener = assembled(selection, self._member, of_family)
        for situation in self._load_cases:
            yield situation, _most_of(fastener, assembly.factors(selection, self._rulebook, situation), site)

    def _distances_short(self, row: _Row, layout: Layout) -> int:
        """How many requirements on edge distance and spacing are not met."""
        if layout not in self._distances:
            self._distances[layout] = self._edges.clearance_mm(layout), smallest_spacing(layout)
        edge, spacing = (distance + TOLERANCE_MM for distance in self._distances[layout])
        short = (edge < row.edge_min_mm) + (spacing < row.spacing_min_mm)
        if row.by_pairs:
            limits = row.limits
            by_edge = edge >= limits["edge_min_mm"] and spacing >= limits["edge_min_spacing_mm"]
            by_spacing = spacing >= limits["spacing_min_mm"] and edge >= limits["spacing_min_edge_mm"]
            short += not (by_edge or by_spacing)
        return short

    def _least_forces(self, layout: Layout) -> Mapping[str, _Forces]:
        if layout not in self._forces:
            arms = tuple(self._arms(layout))
            self._forces[layout] = {
                situation: _least_of(cases, arms, len(layout)) for situation, cases in self._load_cases.items()
            }
        return self._forces[layout]

    def _arms(self, layout: Layout) -> Iterator[tuple[float, float, float, float]]:
        """Each plate edge about which the plate may turn: signs of M_x and M_y, arm of N, sum of arms (mm)."""
        # Contact pressure under the plate asks for more tension about its edge, so leaving it out keeps the bound.
        # Without contact the fasteners may push as well as pull, and only the mean is sure.
        if self._sizing.standing_fixture.raised or not self._sizing.fixture.plate:
            return
        plate = fixture_region(self._sizing.fixture)
        yield 0.0, -1.0, -plate.x_min_mm, sum(max(0.0, p.x_mm - plate.x_min_mm) for p in layout)
        yield 0.0, 1.0, plate.x_max_mm, sum(max(0.0, plate.x_max_mm - p.x_mm) for p in layout)
        yield 1.0, 0.0, -plate.y_min_mm, sum(max(0.0, p.y_mm - plate.y_min_mm) for p in layout)
        yield -1.0, 0.0, plate.y_max_mm, sum(max(0.0, plate.y_max_mm - p.y_mm) for p in layout)


def _most_of(fastener: Assessed, factors: PartialFactors, site: float) -> _Forces:
    if fastener.simplified is not None:
        resultant_n = fastener.simplified.resistance_n / fastener.simplified.partial_factor * site
        return _Forces(resultant_n, resultant_n)
    tension_n = shear_n = math.inf
    if fastener.steel_tension_n is not None:
        tension_n = fastener.steel_tension_n / factors.steel_tension
    if fastener.pull_out is not None:
        pulled_n = fastener.pull_out.reference_n * fastener.pull_out.strength_factor
        tension_n = min(tension_n, pulled_n / (factors.concrete * fastener.installation_factor))
    if fastener.steel_shear_n is not None:
        group = max(1.0, fastener.shear_group_factor or 1.0)
        shear_n = group * fastener.steel_shear_n / factors.steel_shear
    return _Forces(tension_n * site, shear_n * site)


def _least_of(cases: Iterable[LoadCase], arms: Sequence[tuple[float, float, float, float]], count: int) -> _Forces:
    """What statics asks at least of the most loaded fastener under the worst of some load cases."""
    tension_n = shear_n = 0.0
    for case in cases:
        shear_n = max(shear_n, math.hypot(case.shear_x_n, case.shear_y_n) / count)
        tension_n = max(tension_n, case.normal_n / count)
        turning = (
            moment_y * case.moment_y_nmm + moment_x * case.moment_x_nmm + far * case.normal_n
            for moment_x, moment_y, far, _ in arms
        )
        tension_n = max(tension_n, *(m / a[3] for m, a in zip(turning, arms, strict=True) if a[3] > 0.0), 0.0)
    return _Forces(tension_n * EXACTNESS, shear_n * EXACTNESS)
