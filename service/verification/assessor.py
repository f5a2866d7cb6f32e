"""Judging fixings under one request: what the request fixes is read once, and each fastener and layout against it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import chain, islice
from typing import Any

from service.contract import wanted
from service.contract.fields import UNKNOWN
from service.contract.terms import PERSISTENT
from service.contract.things import MOST_CYCLES, may_tire
from service.contract.verification_codes import AssumptionCode, BaseMaterial, Edge, Mode, Verdict
from service.engine import verification as mechanics
from service.engine.codes import Limit
from service.engine.en1992_4.concrete_edge import reach_mm
from service.engine.free_edges import FreeEdges, checks_anywhere, farthest, free_edges, may_govern, used_by
from service.engine.model import Fastener, Fixing, Fixture, LoadCase, Member, PartialFactors, Point
from service.engine.results import CaseResult, Check, ScopeLimit
from service.rulebook import Rulebook
from service.verification import fixing as assembly
from service.verification import fixture_stiffness, neighbours, requirements
from service.verification.answer import Outcome, governing_checks, verdict_of
from service.verification.assumptions import (
    Assumption,
    Assumptions,
    Strength,
    Use,
    concrete_of_the_method,
    cracked,
    edges_out_of_reach,
    reinforcement,
    strength,
    topping,
    use,
)
from service.verification.below_fixture import room_for_nuts
from service.verification.beside_section import room_beside_section
from service.verification.cautions import cautions_of
from service.verification.evidence import Evidence, FastenerInUse, ProductAssessment
from service.verification.fixture_holes import fastener_passes, goes_without_plate, hold_of
from service.verification.length import Length, choose_length
from service.verification.loads import loads_of
from service.verification.pulls.evidence import pulls_of
from service.verification.redundancy import point_of
from service.verification.requirements import LeastSpacing, Requirement
from service.verification.selection import Selection, check_allowed_values, check_version, select
from service.verification.site_reduction import SiteReduction, names_torque, site_reduction
from service.verification.tolerance import same_mm

NOT_BUILT = wanted.Built()


@dataclass(frozen=True, slots=True)
class Assessment:
    """What decides about a fixing, from unrounded figures; no answer is built.

    The utilisation is that of the worst check, those of ends included that are not given and count at any distance.
    """

    verdict: Verdict
    utilisation: float | None
    governing: tuple[Mode, str, Edge | None] | None
    unmet: tuple[Requirement, ...]
    scope_limits: tuple[ScopeLimit, ...]


@dataclass(frozen=True, slots=True)
class _Concrete:
    """The member as the request describes it."""

    strength: Strength
    member: Member
    limit: ScopeLimit | None
    """That the method does not cover the base material, or what comes and goes so often."""
    assumptions: tuple[Assumption, ...]


@dataclass(frozen=True, slots=True)
class _OfFamily:
    """What is the same for every size of a family."""

    use: Use
    site: SiteReduction
    load_cases: Mapping[str, tuple[LoadCase, ...]]
    """By design situation."""
    assumptions: tuple[Assumption, ...]
    assumptions_of_loads: tuple[Assumption, ...]


@dataclass(frozen=True, slots=True)
class _InSituation:
    """What a design situation asks of a fastener, its partial factors, and the fastener with its figures."""

    load_cases: tuple[LoadCase, ...]
    factors: PartialFactors
    fastener: Fastener


@dataclass(frozen=True, slots=True)
class _OfRow:
    """What is the same for every layout of a size and embedment."""

    selection: Selection
    length: Length
    before_distances: tuple[Requirement, ...]
    after_distances: tuple[Requirement, ...]
    situations: tuple[_InSituation, ...]
    """None where the assessment gives no resistance."""
    fixture: Fixture
    assumptions: tuple[Assumption, ...]


@dataclass(frozen=True, slots=True)
class _Calculated:
    """A fixing under the actions and with the partial factors of one design situation, and what it came to."""

    fixing: Fixing
    results: tuple[CaseResult, ...]
    open_edges: bool
    """Whether edges that are not given may govern beyond their reach."""
    checks_anywhere: tuple[tuple[Check, ...], ...]
    """Of each load case with edges that are not given and count at any distance; empty where none does."""

    @property
    def used_anywhere(self) -> tuple[float, ...]:
        """What its load cases come to by such edges; empty where there are none."""
        return tuple(used_by(checks) for checks in self.checks_anywhere)

    def with_ends(self) -> Iterator[tuple[CaseResult, tuple[Check, ...]]]:
        """Each load case with its checks by such edges."""
        return zip(self.results, self.checks_anywhere, strict=bool(self.checks_anywhere))

    @property
    def anywhere(self) -> float | None:
        """What it comes to by such edges; None where there are none."""
        return max(self.used_anywhere, default=None)


@dataclass(frozen=True, slots=True)
class _Judgement:
    """What is asked of a fixing, and what it was calculated to; nothing where a decisive requirement is not met."""

    requirements: list[Requirement]
    fixing: Fixing | None
    results: tuple[CaseResult, ...]
    situations: tuple[_Calculated, ...] = ()
    """The same, each design situation with its own partial factors."""

    @property
    def used_anywhere(self) -> tuple[float, ...]:
        """What load cases come to by edges that are not given and count at any distance; empty where none does."""
        each = [each.used_anywhere or (0.0,) * len(each.results) for each in self.situations]
        return tuple(chain.from_iterable(each)) if any(one.used_anywhere for one in self.situations) else ()


class Assessor:
    """Judges fasteners and layouts under the loads, concrete, use and site of one request."""

    def __init__(self, request: wanted.Fixing, rulebook: Rulebook, *, assessed_on_assumed: bool = False) -> None:
        """Read what the request fixes.

        Args:
            request: What a verification or a sizing wants.
            rulebook: The rulebook to use.
            assessed_on_assumed: Whether the caller filled in the day.

        Raises:
            RefusedRequest: When the request names what the rulebook does not know.
        """
        check_version(request.rulebook, request.assessed_on, rulebook)
        check_allowed_values(request.use, request.site, rulebook)
        neighbours.check_named(request.neighbours or (), rulebook)
        self._request, self._rulebook = request, rulebook
        self._fixture = request.standing_fixture
        self._in_force = requirements.rulebook_in_force(rulebook.document, request.assessed_on)
        self._evidence = evidence_of(request, rulebook)
        self._loads = loads_of(request, rulebook)
        self._assessed_on_assumed = assessed_on_assumed
        self._concrete = self._read_concrete()
        self._concretes: dict[str, _Concrete] = {}
        self._families: dict[tuple[str, bool], _OfFamily] = {}
        self._rows: dict[tuple[str, str, str], _OfRow] = {}
        self._plates = mechanics.Plates()

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
        row = self._row(family_id, size, embedment_name)
        judgement = self._judge(row, tuple(positions), want_trace=False, for_answer=False)
        results = judgement.results
        limits = tuple({limit.code: limit for result in results for limit in result.scope_limits}.values())
        # What passes only as nobody says where the member ends is judged by its ends, so it is chosen by them too.
        ends = [(r, check) for each in judgement.situations for r, checks in each.with_ends() for check in checks]
        checks = [] if limits else [*governing_checks(results), *ends]
        worst = max(checks, key=lambda pair: pair[1].utilisation, default=None)
        return Assessment(
            verdict=verdict_of(judgement.requirements, results),
            utilisation=None if worst is None else worst[1].utilisation,
            governing=None if worst is None else _named(*worst),
            unmet=tuple(requirement for requirement in judgement.requirements if not requirement.met),
            scope_limits=limits,
        )

    def unmet_before_checks(
        self, family_id: str, size: str, embedment_name: str, positions: Sequence[Point]
    ) -> int:
        """Count the requirements that ``assess`` finds unmet of those that ask for no resistance.

        Args:
            family_id: Family of the rulebook.
            size: Size of the family.
            embedment_name: Name of the embedment in the rulebook, its depth in mm.
            positions: Positions of the fasteners (mm).

        Returns:
            How many; of what the method turns out not to cover it may be more than ``assess`` names.
        """
        row, places = self._row(family_id, size, embedment_name), tuple(positions)
        asked = self._asked(row, places)
        if _is_calculated(row, asked):
            each = (mechanics.plates_bent(fixing, self._plates) for fixing in self._fixings(row, places))
            asked.extend(fixture_stiffness.requirements(tuple(chain.from_iterable(each)), row.fixture))
        return sum(not requirement.met for requirement in asked)

    def outcome(self) -> Outcome:
        """Judge the fastener and the positions that the request itself names.

        Returns:
            Everything an answer is made of.

        Raises:
            RefusedRequest: For an unknown family or size.
            TypeError: The request is no verification, and names neither.
        """
        request = self._request
        if not isinstance(request, wanted.Verification):
            raise TypeError("only a verification names its fastener")
        selection = select(request.fastener, self._rulebook)
        row = self._read_row(selection, request.fastener.embedment_mm, request.fastener.length_mm, request.built)
        of_family = self._of_family(selection)
        judgement = self._judge(row, request.positions, request.traced, for_answer=True)
        around = self._of_neighbours(selection, judgement)
        edges = self._of_edges(selection, request.fastener.embedment_mm, judgement)
        concrete = self._concrete_for(selection)
        assumptions = (*concrete.assumptions, *of_family.assumptions, *edges, *row.assumptions, *around)
        calculated = judgement.fixing is not None
        return Outcome(
            request=request,
            rulebook=self._rulebook,
            selection=selection,
            length=row.length,
            site=of_family.site,
            requirements=tuple(judgement.requirements),
            assumptions=(*assumptions, *of_family.assumptions_of_loads) if calculated else assumptions,
            cautions=(
                *self._evidence.cautions(),
                *cautions_of(request, selection, of_family.site, of_family.use),
            ),
            fixing=judgement.fixing,
            results=judgement.results,
            used_anywhere=judgement.used_anywhere,
            situation=of_family.use.situation,
            evidence=self._evidence,
            loads=self._loads,
        )

    def _concrete_for(self, selection: Selection) -> _Concrete:
        """The concrete as it counts for a family: what nobody knows may be as weak as the family covers."""
        if self._concrete.strength.known:
            return self._concrete
        if selection.family_id not in self._concretes:
            self._concretes[selection.family_id] = self._read_concrete(selection.family["assessment"]["covers"])
        return self._concretes[selection.family_id]

    def _read_concrete(self, covers: Mapping[str, Any] | None = None) -> _Concrete:
        given, assumptions = self._request.member, Assumptions()
        covered = self._evidence.covers_any_material or concrete_of_the_method(given, assumptions)
        if self._assessed_on_assumed:
            day = self._request.assessed_on.isoformat()
            assumptions.add(AssumptionCode.ASSESSED_ON_TODAY, "#/assessed_on", day=day)
        # Of what the method does not cover nothing is taken that only concrete has.
        of_concrete = assumptions if covered else Assumptions()
        concrete_strength = strength(given, self._rulebook, of_concrete, covers)
        is_cracked = cracked(given, self._rulebook, of_concrete)
        bars = reinforcement(given, of_concrete)
        member = assembly.member(given, concrete_strength, is_cracked, bars)
        limit = _limit_of_fatigue(self._request.loads_from) if covered else _limit_of(given)
        return _Concrete(concrete_strength, member, limit, assumptions.all())

    def _of_family(self, selection: Selection) -> _OfFamily:
        key = selection.family_id, names_torque(selection.size)
        if key not in self._families:
            self._families[key] = self._read_family(selection, torque_named=key[1])
        return self._families[key]

    def _read_family(self, selection: Selection, *, torque_named: bool) -> _OfFamily:
        request, rulebook, mechanism = self._request, self._rulebook, selection.family["mechanism"]
        assumptions, of_loads = Assumptions(), Assumptions()
        # Of actions their combinations say the situation, so that nothing is assumed of it.
        asked = replace(request.use, situation=PERSISTENT) if request.actions else request.use
        bonded = mechanism == "bonded"
        load_cases = self._loads.cases(asked.situation or PERSISTENT, bonded=bonded, assumptions=of_loads)
        point = point_of(request, tuple(chain(*load_cases.values())))
        family_use = use(asked, rulebook, selection.family, point, assumptions, request.loads_from)
        reduction = site_reduction(request.site, mechanism, rulebook, assumptions, torque_named=torque_named)
        return _OfFamily(family_use, reduction, load_cases, assumptions.all(), of_loads.all())

    def _row(self, family_id: str, size: str, embedment_name: str) -> _OfRow:
        key = (family_id, size, embedment_name)
        if key not in self._rows:
            data = self._rulebook.families[family_id]["sizes"][size]
            row = data["embedments"][embedment_name]
            selection = Selection(family_id, self._rulebook.families[family_id], size, data, embedment_name, row)
            self._rows[key] = self._read_row(selection, float(row["depth"]["effective_mm"]))
        return self._rows[key]

    def _read_row(
        self,
        selection: Selection,
        embedment_mm: float,
        length_mm: float | None = None,
        built: wanted.Built = NOT_BUILT,
    ) -> _OfRow:
        request, of_family, concrete = self._request, self._of_family(selection), self._concrete_for(selection)
        assumptions = Assumptions()
        length = choose_length(selection, length_mm, self._fixture, assumptions, built.embedment_mm)
        lengths = (length, *self._other_lengths(selection, length, built))
        drilling, member = request.site.value("drilling"), concrete.member
        in_use = FastenerInUse(selection, embedment_mm, member, concrete.strength, of_family.use, drilling)
        before = (
            self._in_force,
            *requirements.site_above_floor(of_family.site),
            *requirements.not_suspended(selection, self._rulebook),
            *requirements.approval(selection, of_family.use, request.assessed_on),
            *requirements.use_not_excluded(selection, of_family.use),
            *(self._evidence.cover(in_use) if concrete.limit is None else ()),
            *requirements.hole_not_frozen(selection, of_family.use),
            *requirements.resin_cures(selection, of_family.use),
            *goes_without_plate(selection, self._fixture),
        )
        tool = requirements.tightening(selection, request.site)
        around = requirements.surroundings(selection, of_family.use, drilling)
        # A hole that is still to be drilled is as deep as its length asks for, whatever others are.
        drilled_mm = None if built.to_set_numbers else built.hole_depth_mm
        through = chain.from_iterable(
            requirements.hole_through_member(selection, each.length_mm, self._fixture, member, drilled_mm)
            for each in lengths
        )
        passing = (
            *fastener_passes(selection, self._fixture),
            *requirements.tightened_on_concrete(
                selection, request.fixture, request.member.topping, hold_of(self._fixture, selection)
            ),
        )
        of_lengths = chain.from_iterable(each.requirements for each in lengths)
        after = (*around, *tool, *of_lengths, *passing, *(through if concrete.limit is None else ()))
        covered = concrete.limit is None and all(requirement.met for requirement in before if requirement.decisive)
        situations = tuple(self._situations(in_use, of_family)) if covered else ()
        # Of a fixture that nothing is calculated for, nothing is assumed.
        of_fixture = assumptions if covered else Assumptions()
        fixture = assembly.fixture(self._fixture, selection, of_fixture)
        topping(request.member, of_fixture)
        return _OfRow(selection, length, before, after, situations, fixture, assumptions.all())

    def _other_lengths(self, selection: Selection, length: Length, built: wanted.Built) -> Iterator[Length]:
        """Lengths that single fasteners have beside that of the rest: each has to serve."""
        for other_mm in built.other_lengths_mm:
            if length.length_mm is None or not same_mm(other_mm, length.length_mm):
                yield choose_length(selection, other_mm, self._fixture, Assumptions(), built.embedment_mm)

    def _situations(self, fastener: FastenerInUse, of_family: _OfFamily) -> Iterator[_InSituation]:
        for situation, load_cases in of_family.load_cases.items():
            factors = assembly.factors(fastener.selection, self._rulebook, situation)
            yield _InSituation(load_cases, factors, self._evidence.figures(fastener, factors, load_cases))

    def _asked(self, row: _OfRow, positions: tuple[Point, ...]) -> list[Requirement]:
        """What is asked before anything is calculated."""
        concrete = self._concrete_for(row.selection)
        every = self._every_case(row)
        around = (
            *self._evidence.distances(row.selection, concrete.member, positions, every),
            *self._neighbour_spacings(row.selection, positions),
        )
        plate_rule = self._rulebook.document["fixture"]
        return [
            *row.before_distances,
            *(around if concrete.limit is None else ()),
            *row.after_distances,
            *requirements.holes_in_fixture(row.selection, self._fixture, positions, plate_rule),
            *room_beside_section(row.selection, row.fixture, positions),
        ]

    def _every_case(self, row: _OfRow) -> tuple[LoadCase, ...]:
        return tuple(chain(*self._of_family(row.selection).load_cases.values()))

    def _fixings(self, row: _OfRow, positions: tuple[Point, ...]) -> tuple[Fixing, ...]:
        """The fixing in each design situation."""
        near = self._request.neighbours or ()
        return tuple(
            Fixing(
                fastener=each.fastener,
                positions=positions,
                member=self._concrete_for(row.selection).member,
                fixture=row.fixture,
                factors=each.factors,
                site_factor=self._of_family(row.selection).site.factor,
                load_cases=each.load_cases,
                neighbours=neighbours.acting(near, self._rulebook, each.fastener.embedment_mm),
            )
            for each in row.situations
        )

    def _judge(self, row: _OfRow, positions: tuple[Point, ...], want_trace: bool, for_answer: bool) -> _Judgement:
        concrete, every = self._concrete_for(row.selection), self._every_case(row)
        member, limit = concrete.member, concrete.limit
        asked = self._asked(row, positions)
        if limit is not None:
            return _Judgement(asked, None, tuple(mechanics.not_covered(case, limit) for case in every))
        if not _is_calculated(row, asked):
            asked.extend(self._old_holes(row.selection, positions, ()))
            return _Judgement(asked, None, ())
        fixings = self._fixings(row, positions)
        judged = tuple(_calculated(fixing, want_trace, for_answer, self._plates) for fixing in fixings)
        results = tuple(chain.from_iterable(each.results for each in judged))
        asked.extend(fixture_stiffness.requirements(fixture_stiffness.bent(results), row.fixture))
        asked.extend(room_for_nuts(row.selection, self._request.fixture, results))
        book, bears = self._rulebook, self._evidence.bears_mpa
        pressed = (unmet for each in judged for unmet in requirements.contact(each.fixing, each.results, book, bears))
        asked.extend(islice(pressed, 1))
        asked.extend(self._old_holes(row.selection, positions, results))
        open_ends = (unmet for each in judged for unmet in requirements.open_ends(member, each.anywhere))
        asked.extend(islice(open_ends, 1))
        return _Judgement(asked, replace(fixings[0], load_cases=every), results, judged)

    def _least_spacing(self, selection: Selection, positions: Sequence[Point]) -> LeastSpacing:
        return self._evidence.least_spacing(selection, min(self._concrete.member.nearest_mm(positions)))

    def _neighbour_spacings(self, selection: Selection, positions: Sequence[Point]) -> Iterator[Requirement]:
        given = self._request.neighbours
        if given:
            nearest = self._concrete.member.nearest_mm
            # Whichever of both stands at the edge, it is there that the concrete splits between them.
            edges = [min(nearest((*positions, neighbour.point))) for neighbour in given]
            least = [self._evidence.least_spacing(selection, edge) for edge in edges]
            yield from neighbours.spacings(given, edges, least, positions, self._rulebook)

    def _old_holes(
        self, selection: Selection, positions: Sequence[Point], results: Sequence[CaseResult]
    ) -> Iterator[Requirement]:
        given = self._request.neighbours or ()
        yield from neighbours.old_holes(given, selection, positions, results, self._rulebook)

    def _of_edges(self, selection: Selection, embedment_mm: float, judgement: _Judgement) -> tuple[Assumption, ...]:
        """How far edges were taken to be that the request does not give."""
        assumptions = Assumptions()
        least = FreeEdges(reach_mm(embedment_mm, float(selection.size["geometry"]["nominal_diameter_mm"])))
        found = (
            free_edges(each.fixing, each.results, each.used_anywhere)
            for each in judgement.situations
            if each.open_edges
        )
        free = farthest([least, *found])
        edges_out_of_reach(self._request.member.edges, free, assumptions)
        return assumptions.all()

    def _of_neighbours(self, selection: Selection, judgement: _Judgement) -> tuple[Assumption, ...]:
        """What is taken of neighbours, named or not; of a fixing that nothing is calculated for, nothing."""
        request, fixing, assumptions = self._request, judgement.fixing, Assumptions()
        if fixing is not None:
            given, book = request.neighbours, self._rulebook
            neighbours.assumed(given or (), book, fixing.fastener.embedment_mm, assumptions)
            least, told = self._least_spacing(selection, fixing.positions), given is not None
            neighbours.no_others(fixing, judgement.results, least, book, assumptions, told=told)
        return assumptions.all()


def _is_calculated(row: _OfRow, asked: Sequence[Requirement]) -> bool:
    """Whether the assessment gives resistances, and nothing that is asked first stands against them."""
    return bool(row.situations) and all(requirement.met for requirement in asked if requirement.decisive)


def _calculated(fixing: Fixing, want_trace: bool, for_answer: bool, plates: mechanics.Plates) -> _Calculated:
    results = mechanics.verify(fixing, want_trace, for_answer, plates)
    open_edges = may_govern(fixing, results)
    anywhere = checks_anywhere(fixing, results) if open_edges else ()
    if None in anywhere:
        cases = zip(fixing.load_cases, results, anywhere, strict=True)
        left = (mechanics.no_concrete_left(case) if ends is None else result for case, result, ends in cases)
        return _Calculated(fixing, tuple(left), False, ())
    return _Calculated(fixing, results, open_edges, tuple(checks for checks in anywhere if checks is not None))


def evidence_of(request: wanted.Fixing, rulebook: Rulebook) -> Evidence:
    """What the fasteners of a request have their resistance from.

    Args:
        request: What a verification or a sizing wants.
        rulebook: The rulebook.

    Returns:
        The pulls on site that the request brings with it; else the assessment of the product.
    """
    if isinstance(request, wanted.Verification) and request.site_test is not None:
        return pulls_of(request, request.site_test, rulebook)
    return ProductAssessment(traced=request.traced)


def _limit_of(member: wanted.Member) -> ScopeLimit:
    """That the method covers solid normal-weight concrete only. EN 1992-4:2018, 1, from memory."""
    given = member.material
    figures = {"material": None if given is None or given == UNKNOWN else BaseMaterial(given)}
    return ScopeLimit(Limit.BASE_MATERIAL, "1", figures)


def _limit_of_fatigue(loads_from: Sequence[wanted.LoadsFrom]) -> ScopeLimit | None:
    """That what acts may tire the fasteners, none of which is assessed for that. EN 1992-4:2018, 8, from memory."""
    if not any(may_tire(one.load_model, one.words, one.numbers) for one in loads_from):
        return None
    return ScopeLimit(Limit.FATIGUE, "8", {"cycles_max": MOST_CYCLES})


def _named(result: CaseResult, check: Check) -> tuple[Mode, str, Edge | None]:
    """Mode, load case and edge of a check, as people name them."""
    return Mode(check.mode), result.name, None if check.edge is None else Edge(check.edge)
