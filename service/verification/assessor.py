"""Judging fixings under one request: what the request fixes is read once, and each fastener and layout against it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from service.contract.verification_codes import AssumptionCode, Edge, Mode, Verdict
from service.engine import verification as mechanics
from service.engine.en1992_4.concrete_edge import reach_mm
from service.engine.model import Fastener, Fixing, Fixture, LoadCase, Member, PartialFactors, Point
from service.engine.results import CaseResult, Check, ScopeLimit
from service.rulebook import Rulebook
from service.verification import fixing as assembly
from service.verification import requirements
from service.verification.answer import Outcome, governing_checks, largest_plate_stress, verdict_of
from service.verification.assumptions import (
    Assumption,
    Assumptions,
    Strength,
    Use,
    cracked,
    edges_out_of_reach,
    reinforcement,
    strength,
    use,
)
from service.verification.cautions import cautions_of
from service.verification.evidence import Evidence, FastenerInUse, ProductAssessment
from service.verification.length import Length, choose_length
from service.verification.pulls.evidence import pulls_of
from service.verification.refusal import Refusal, RefusedRequest
from service.verification.requirements import Requirement
from service.verification.selection import UNKNOWN, Selection, check_allowed_values, check_version, select
from service.verification.site_reduction import SiteReduction, names_torque, site_reduction
from service.words import Statement


@dataclass(frozen=True, slots=True)
class Assessment:
    """What decides about a fixing, from unrounded figures; no answer is built."""

    verdict: Verdict
    utilisation: float | None
    governing: tuple[Mode, str, Edge | None] | None
    unmet: tuple[Requirement, ...]
    scope_limits: tuple[ScopeLimit, ...]


@dataclass(frozen=True, slots=True)
class _Concrete:
    """The member as the request describes it."""

    strength: Strength
    cracked: bool
    member: Member
    assumptions: tuple[Assumption, ...]


@dataclass(frozen=True, slots=True)
class _OfFamily:
    """What is the same for every size of a family."""

    use: Use
    site: SiteReduction
    load_cases: tuple[LoadCase, ...]
    assumptions: tuple[Assumption, ...]
    assumptions_of_loads: tuple[Assumption, ...]


@dataclass(frozen=True, slots=True)
class _OfRow:
    """What is the same for every layout of a size and embedment."""

    selection: Selection
    length: Length
    before_distances: tuple[Requirement, ...]
    after_distances: tuple[Requirement, ...]
    fastener: Fastener | None
    fixture: Fixture
    factors: PartialFactors
    assumptions: tuple[Assumption, ...]


class Assessor:
    """Judges fasteners and layouts under the loads, concrete, use and site of one request."""

    def __init__(self, request: Mapping[str, Any], rulebook: Rulebook, *, assessed_on_assumed: bool = False) -> None:
        """Read what the request fixes.

        Args:
            request: A verification or sizing request, its ``assessed_on`` resolved to a day.
            rulebook: The rulebook to use.
            assessed_on_assumed: Whether the caller filled in the day.

        Raises:
            RefusedRequest: When the request names what the rulebook does not know, or lacks a needed thickness.
        """
        check_version(request, rulebook)
        check_allowed_values(request, rulebook)
        _check_fixture(request["fixture"])
        self._request, self._rulebook = request, rulebook
        self._day = date.fromisoformat(request["assessed_on"])
        self._in_force = requirements.rulebook_in_force(rulebook.document, self._day)
        self._concrete = self._read_concrete(assessed_on_assumed)
        self._evidence = evidence_of(request, rulebook, self._day)
        self._families: dict[tuple[str, bool], _OfFamily] = {}
        self._rows: dict[tuple[str, str, str], _OfRow] = {}

    def assess(self, family_id: str, size: str, embedment_name: str, positions: Sequence[Point]) -> Assessment:
        """Judge one fastener in one layout.

        Args:
            family_id: Family of the rulebook.
            size: Size of the family.
            embedment_name: Name of the embedment in the rulebook, its depth in mm.
            positions: Positions of the fasteners (mm).

        Returns:
            The verdict that ``verify`` would give, and what decides it.
        """
        key = (family_id, size, embedment_name)
        if key not in self._rows:
            data = self._rulebook.families[family_id]["sizes"][size]
            row = data["embedments"][embedment_name]
            selection = Selection(family_id, self._rulebook.families[family_id], size, data, embedment_name, row)
            self._rows[key] = self._read_row(selection, float(row["depth"]["effective_mm"]), None)
        found, _, results = self._judge(self._rows[key], tuple(positions), want_trace=False, for_answer=False)
        limits = tuple({limit.code: limit for result in results for limit in result.scope_limits}.values())
        checks = [] if limits else governing_checks(results)
        worst = max(checks, key=lambda pair: pair[1].utilisation, default=None)
        return Assessment(
            verdict=verdict_of(found, results),
            utilisation=None if worst is None else worst[1].utilisation,
            governing=None if worst is None else _named(*worst),
            unmet=tuple(requirement for requirement in found if not requirement.met),
            scope_limits=limits,
        )

    def outcome(self) -> Outcome:
        """Judge the fastener and the positions that the request itself names.

        Returns:
            Everything an answer is made of.

        Raises:
            RefusedRequest: For an unknown family or size, or a fastener beside its fixture or its member.
        """
        request = self._request
        selection = select(request, self._rulebook)
        _check_positions(request, self._concrete.member)
        wanted = request["fastener"]
        row = self._read_row(selection, float(wanted["embedment_mm"]), wanted.get("length_mm"))
        of_family = self._of_family(selection)
        want_trace = request.get("detail") == "full"
        found, fixing, results = self._judge(row, assembly.positions(request), want_trace, for_answer=True)
        assumed = (*self._concrete.assumptions, *of_family.assumptions, *row.assumptions)
        return Outcome(
            request=request,
            rulebook=self._rulebook,
            selection=selection,
            length=row.length,
            site=of_family.site,
            requirements=tuple(found),
            assumptions=(*assumed, *of_family.assumptions_of_loads) if fixing is not None else assumed,
            cautions=tuple(self._cautions(selection, of_family)),
            fixing=fixing,
            results=results,
            situation=of_family.use.situation,
            evidence=self._evidence,
        )

    def _cautions(self, selection: Selection, of_family: _OfFamily) -> Iterator[Statement]:
        yield from self._evidence.cautions()
        yield from cautions_of(self._request, selection, of_family.site, of_family.use)

    def _read_concrete(self, assessed_on_assumed: bool) -> _Concrete:
        request, assumptions = self._request, Assumptions()
        if assessed_on_assumed:
            assumptions.add(AssumptionCode.ASSESSED_ON_TODAY, "#/assessed_on", day=request["assessed_on"])
        taken = strength(request["member"], self._rulebook, assumptions)
        is_cracked = cracked(request["member"], self._rulebook, assumptions)
        bars = reinforcement(request["member"], assumptions)
        member = assembly.member(request, taken, is_cracked, bars)
        return _Concrete(taken, is_cracked, member, assumptions.all())

    def _of_family(self, selection: Selection) -> _OfFamily:
        torque_named = names_torque(selection.size)
        found = self._families.get((selection.family_id, torque_named))
        if found is None:
            mechanism = selection.family["mechanism"]
            said, of_loads = Assumptions(), Assumptions()
            taken_use = use(self._request, self._rulebook, selection.family, said)
            given = self._request.get("site")
            site = site_reduction(given, mechanism, self._rulebook, said, torque_named=torque_named)
            cases = assembly.load_cases(self._request, self._rulebook, mechanism == "bonded", of_loads)
            found = _OfFamily(taken_use, site, cases, said.all(), of_loads.all())
            self._families[selection.family_id, torque_named] = found
        return found

    def _read_row(self, selection: Selection, embedment_mm: float, length_mm: float | None) -> _OfRow:
        of_family, request = self._of_family(selection), self._request
        geometry, said = selection.size["geometry"], Assumptions()
        edges_out_of_reach(request["member"], reach_mm(embedment_mm, float(geometry["nominal_diameter_mm"])), said)
        reached_mm = (request.get("built") or {}).get("embedment_mm")
        length = choose_length(selection, length_mm, request["fixture"], said, reached_mm)
        drilling = (request.get("site") or {}).get("drilling") or UNKNOWN
        member = self._concrete.member
        in_use = FastenerInUse(selection, embedment_mm, member, self._concrete.strength, of_family.use, drilling)
        before = (
            self._in_force,
            *requirements.not_suspended(selection, self._rulebook),
            *requirements.approval(selection, of_family.use, self._day),
            *self._evidence.cover(in_use),
        )
        tool = requirements.tightening(selection, request.get("site"))
        after = (*requirements.surroundings(selection, of_family.use, drilling), *tool, *length.requirements)
        covered = all(requirement.met for requirement in before if requirement.decisive)
        factors = assembly.factors(selection, self._rulebook, of_family.use.situation)
        fastener = self._evidence.figures(in_use, factors, of_family.load_cases) if covered else None
        if covered:
            fixture = assembly.fixture(request, geometry["clearance_hole_mm"] is None, said)
        else:
            fixture = assembly.fixture(request, geometry["clearance_hole_mm"] is None, Assumptions())
        return _OfRow(selection, length, before, after, fastener, fixture, factors, said.all())

    def _judge(
        self, row: _OfRow, positions: tuple[Point, ...], want_trace: bool, for_answer: bool
    ) -> tuple[list[Requirement], Fixing | None, tuple[CaseResult, ...]]:
        request, of_family = self._request, self._of_family(row.selection)
        found = [
            *row.before_distances,
            *self._evidence.distances(row.selection, self._concrete.member, positions, of_family.load_cases),
            *row.after_distances,
            *requirements.holes_in_fixture(
                row.selection, request["fixture"], positions, self._rulebook.document["fixture"]
            ),
        ]
        if row.fastener is None or not all(requirement.met for requirement in found if requirement.decisive):
            return found, None, ()
        fixing = Fixing(
            fastener=row.fastener,
            positions=positions,
            member=self._concrete.member,
            fixture=row.fixture,
            factors=row.factors,
            site_factor=of_family.site.factor,
            load_cases=of_family.load_cases,
        )
        results = mechanics.verify(fixing, want_trace, for_answer)
        stress = largest_plate_stress(results)
        if stress is not None and row.fixture.yield_mpa is not None:
            found.append(requirements.plate(stress, row.fixture.yield_mpa))
        return found, fixing, results


def evidence_of(request: Mapping[str, Any], rulebook: Rulebook, assessed_on: date) -> Evidence:
    """What the fasteners of a request have their resistance from.

    Args:
        request: A verification or sizing request.
        rulebook: The rulebook.
        assessed_on: Day of the assessment.

    Returns:
        The pulls on site that the request brings with it; else the assessment of the product.
    """
    if request.get("site_test") is not None:
        return pulls_of(request, rulebook, assessed_on)
    return ProductAssessment(traced=request.get("detail") == "full")


def _named(result: CaseResult, check: Check) -> tuple[Mode, str, Edge | None]:
    """Mode, load case and edge of a check, as people name them."""
    return Mode(check.mode), result.name, None if check.edge is None else Edge(check.edge)


def _check_positions(request: Mapping[str, Any], member: Member) -> None:
    refusals = []
    x0, x1, y0, y1 = requirements.outline(request["fixture"])
    for index, (x, y) in enumerate(assembly.positions(request)):
        if min(member.nearest_mm([(x, y)])) <= 0.0:
            refusals.append(
                Refusal(f"#/positions/{index}", "outside_member", "stands beside the member or on its edge")
            )
        elif not (x0 <= x <= x1 and y0 <= y <= y1):
            refusals.append(Refusal(f"#/positions/{index}", "outside_fixture", "stands beside the fixture"))
    if refusals:
        raise RefusedRequest(*refusals)


def _check_fixture(fixture: Mapping[str, Any]) -> None:
    if assembly.raised(fixture) and fixture.get("thickness_mm") is None:
        words = "is needed with a stand-off or grout, for the lever arm of the shear"
        raise RefusedRequest(Refusal("#/fixture/thickness_mm", "required", words))
