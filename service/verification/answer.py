"""From the engine's results to the answer of the contract: N become kN, figures are rounded, verdicts are not."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from service.contract import identity, wanted
from service.contract.terms import ACCIDENTAL, PERSISTENT
from service.contract.verification import UnrecordedAnswer
from service.contract.verification_codes import (
    AssumptionCode,
    CautionCode,
    FixtureFigure,
    PlateNotChecked,
    RequirementCode,
    ScopeLimitCode,
    Verdict,
)
from service.contract.writing import writer
from service.engine.codes import Mode, Note
from service.engine.en1990 import Equation
from service.engine.model import Fixing
from service.engine.open_readings import OPEN_READINGS
from service.engine.results import CaseResult, Check, ScopeLimit
from service.engine.trace import TraceEntry
from service.rulebook import Rulebook
from service.rulebook.suspensions import Suspension
from service.verification import fixture_stiffness
from service.verification.assumptions import Assumption
from service.verification.evidence import Evidence
from service.verification.fixing import N_PER_KN, STANDARD_GRAVITY
from service.verification.length import Length
from service.verification.loads import Combined, Loads, action_factors
from service.verification.redundancy import used_of_point
from service.verification.requirements import Requirement, figures_of_suspension, pressure_max_mpa
from service.verification.selection import Selection
from service.verification.site_reduction import SiteReduction
from service.verification.statements import Caution, caution, own_cautions, shown_caution
from service.words import Statement

BASIS_NOTE = (
    "The formulas were written from knowledge of EN 1992-4 and have not yet been checked clause by clause "
    "against its text."
)

_EQUATIONS = frozenset(Equation)

_TAKEN = {Note.SPLITTING_NOT_NEEDED: AssumptionCode.SPLITTING_NOT_NEEDED}
"""Notes of the engine that are assumptions; the others are cautions."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """Everything an answer is made of."""

    request: wanted.Verification
    rulebook: Rulebook
    selection: Selection
    length: Length
    site: SiteReduction
    requirements: tuple[Requirement, ...]
    assumptions: tuple[Assumption, ...]
    cautions: tuple[Statement, ...]
    fixing: Fixing | None
    results: tuple[CaseResult, ...]
    used_anywhere: tuple[float, ...]
    """By load case, where edges that are not given count at any distance; else empty."""
    situation: str
    evidence: Evidence
    loads: Loads

    @property
    def suspensions(self) -> list[Suspension]:
        """What is suspended and touches the answer."""
        return _touching(self.rulebook, (self.selection.family_id, self.selection.size_name))


def governing_checks(results: Iterable[CaseResult]) -> list[tuple[CaseResult, Check]]:
    """For each load case, or the actions of a situation, mode and edge the worst of its combinations, in order."""
    chosen: dict[tuple[str, str, str | None], tuple[CaseResult, Check]] = {}
    for result in results:
        for check in result.checks:
            key = (_case_of(result), check.mode, check.edge)
            if key not in chosen or check.utilisation > chosen[key][1].utilisation:
                chosen[key] = (result, check)
    return list(chosen.values())


def _case_of(result: CaseResult) -> str:
    if result.combination not in _EQUATIONS:
        return result.name
    return ACCIDENTAL if result.combination == Equation.EQ_6_11 else PERSISTENT


def verdict_of(requirements: Iterable[Requirement], results: Sequence[CaseResult]) -> Verdict:
    """The verdict, from unrounded figures.

    Args:
        requirements: Every requirement.
        results: Every load case, empty where the assessment gives no resistance.

    Returns:
        ``verified``, ``not_verified`` or ``outside_scope``.
    """
    if any(result.scope_limits for result in results):
        return Verdict.OUTSIDE_SCOPE
    met = all(requirement.met for requirement in requirements)
    passed = all(check.utilisation <= 1.0 for result in results for check in result.checks)
    return Verdict.VERIFIED if met and passed else Verdict.NOT_VERIFIED


def build(outcome: Outcome) -> dict[str, Any]:
    """The answer of a verification, without its record.

    Args:
        outcome: What was found.

    Returns:
        The answer as the contract describes it.
    """
    found = verdict_of(outcome.requirements, outcome.results)
    checks = [] if found == Verdict.OUTSIDE_SCOPE else governing_checks(outcome.results)
    full = outcome.request.traced
    shown = tuple(_CaseCheck(result, check, check.trace if full else None) for result, check in checks)
    return writer(UnrecordedAnswer)(_Answer(outcome, found, shown))


@dataclass(frozen=True, slots=True)
class _CaseCheck:
    """A check with the load case that it belongs to; no trace where none is asked for."""

    case: CaseResult
    check: Check
    trace: tuple[TraceEntry, ...] | None


@dataclass(frozen=True, slots=True)
class _Answer:
    """What the fields of an answer come from, as far as the outcome does not have it by itself."""

    outcome: Outcome
    verdict: Verdict
    checks: tuple[_CaseCheck, ...]

    @property
    def combinations(self) -> tuple[Combined, ...] | None:
        """The combinations of the actions; None where there are load cases."""
        return self.outcome.loads.combinations or None

    @property
    def calculated(self) -> tuple[CaseResult, ...]:
        """The load cases that the method covers: all or none."""
        return () if self.verdict == Verdict.OUTSIDE_SCOPE else self.outcome.results

    @property
    def governing(self) -> _CaseCheck | None:
        """The check with the highest utilisation."""
        return max(self.checks, key=lambda shown: shown.check.utilisation, default=None)

    @property
    def scope_limits(self) -> list[_Limit]:
        """Limits of the method, each once."""
        limits = {limit.code: limit for result in self.outcome.results for limit in result.scope_limits}
        return [_Limit(statement_of_limit(limit), limit.clause) for limit in limits.values()]

    @property
    def fastener_forces(self) -> list[_CaseForces]:
        """Forces under each load case."""
        return [_forces(self.outcome.fixing, result) for result in self.calculated]

    @property
    def permissible(self) -> list[_Permissible] | None:
        """What the group may carry, where it is verified."""
        return _permissible(self.outcome) if self.verdict == Verdict.VERIFIED else None

    @property
    def plate(self) -> _Plate:
        """Whether the fixture is stiff enough."""
        return _plate(self.outcome.fixing, self.calculated)

    @property
    def assumptions(self) -> list[Assumption]:
        """What the request leaves open, and what the mechanics took."""
        taken = (Assumption(Statement(_TAKEN[note]), None) for note in _notes(self.outcome) if note in _TAKEN)
        return [*self.outcome.assumptions, *taken]

    @property
    def cautions(self) -> list[Caution]:
        """What to beware of."""
        return _cautions(self.outcome, self.verdict)

    @property
    def basis(self) -> _Basis:
        """What the answer rests on."""
        return _basis(self.outcome)


def rulebook_identity(rulebook: Rulebook) -> dict[str, Any]:
    """Which rules an answer stands on."""
    return writer(identity.RulebookIdentity)(rulebook)


def shown_suspension(suspension: Suspension) -> dict[str, Any]:
    """A suspension as answers show it."""
    return writer(identity.Suspension)(suspension)


def _touching(rulebook: Rulebook, *fasteners: tuple[str, str | None]) -> list[Suspension]:
    """The suspensions of fasteners, and those of versions: this one, or a higher one that was passed by for it."""
    return [
        suspension
        for suspension in rulebook.suspensions
        if suspension.version is not None or any(suspension.concerns(*fastener) for fastener in fasteners)
    ]


def statement_of_limit(limit: ScopeLimit) -> Statement:
    """What is said of a limit of the method."""
    return Statement(ScopeLimitCode(limit.code), dict(limit.figures))


@dataclass(frozen=True, slots=True)
class _Limit:
    """A limit of the method with its clause."""

    statement: Statement
    clause: str | None


@dataclass(frozen=True, slots=True)
class _FastenerForce:
    """Forces of one fastener, and where it stands."""

    number: int
    x_mm: float
    y_mm: float
    tension_n: float
    shear_x_n: float
    shear_y_n: float

    @property
    def shear_n(self) -> float:
        """The resultant."""
        return math.hypot(self.shear_x_n, self.shear_y_n)


@dataclass(frozen=True, slots=True)
class _Contact:
    """Pressure under the fixture, and where it acts."""

    compression_n: float
    x_mm: float
    y_mm: float
    pressure_mpa: float


@dataclass(frozen=True, slots=True)
class _CaseForces:
    """Forces under one load case."""

    case: CaseResult
    fasteners: list[_FastenerForce]
    contact: _Contact | None


def _forces(fixing: Fixing | None, result: CaseResult) -> _CaseForces:
    forces = result.forces
    if fixing is None or forces is None:
        raise ArithmeticError("a calculated case has forces")
    each = zip(fixing.positions, forces.tension_n, forces.shear_n, strict=True)
    fasteners = [
        _FastenerForce(number, *point, tension, *shear) for number, (point, tension, shear) in enumerate(each, start=1)
    ]
    pressed = forces.contact
    contact = None if pressed is None else _Contact(pressed.compression_n, *pressed.centre, pressed.pressure_mpa)
    return _CaseForces(result, fasteners, contact)


@dataclass(frozen=True, slots=True)
class _Permissible:
    """What the group may carry in service under a load case."""

    load_case: str
    growth: float | None
    service_kn: float | None
    service_kg: float | None
    basis: str


def _permissible(outcome: Outcome) -> list[_Permissible]:
    used = {result.name: 0.0 for result in outcome.results}
    for result in outcome.results:
        used[result.name] = max(used[result.name], result.utilisation, *_used_beside_checks(outcome, result))
    for result, anywhere in zip(outcome.results, outcome.used_anywhere, strict=bool(outcome.used_anywhere)):
        used[result.name] = max(used[result.name], anywhere)
    if outcome.loads.combinations:
        words = "characteristic actions of the combination times growth"
        found = outcome.loads.combinations
        return [_grown(each.name, each.characteristic, used[each.name], 1.0, words) for each in found]
    return [_permissible_case(outcome, case, used.get(case.name, 0.0)) for case in outcome.request.load_cases]


def _used_beside_checks(outcome: Outcome, result: CaseResult) -> Iterator[float]:
    """What else is used up as the actions grow: the plate's yield strength, what bears it, and the share of a point."""
    yield 0.0
    fixing, contact = outcome.fixing, None if result.forces is None else result.forces.contact
    if fixing is None:
        return
    if result.plate is not None:
        yield fixture_stiffness.used(result.plate, fixing.fixture)
    if contact is not None:
        yield contact.mean_mpa / pressure_max_mpa(fixing, outcome.rulebook, outcome.evidence.bears_mpa)
    for requirement in outcome.requirements:
        if requirement.code is RequirementCode.REDUNDANT_USE and requirement.met:
            yield used_of_point(requirement.figures)


def _permissible_case(outcome: Outcome, case: wanted.LoadCase, used: float) -> _Permissible:
    if "design" not in action_factors(case, outcome.rulebook):
        return _grown(case.name, case, used, 1.0, "characteristic action times growth")
    to_service = float(outcome.rulebook.document["partial_factors"]["actions"]["variable"])
    basis = f"design action divided by {to_service:g}, the factor of variable actions, times growth"
    return _grown(case.name, case, used, to_service, basis)


def _grown(name: str, actions: wanted.Components, used: float, to_service: float, basis: str) -> _Permissible:
    growth = 1.0 / used if used > 0.0 else None
    normal = actions.normal_kn
    across = math.hypot(actions.shear_x_kn, actions.shear_y_kn)
    turning = actions.turns
    force = math.hypot(normal, across)
    service = force * growth / to_service if growth is not None and force > 0.0 else None
    if service is not None and growth is not None and (across > 0.0 or normal < 0.0):
        parts = [growth * part / to_service for part in (normal, across)]
        basis += f": normal force {parts[0]:.4g} kN and shear {parts[1]:.4g} kN"
    if turning:
        basis += "; the moments grow with the force"
    hangs = normal > 0.0 and across == 0.0 and not turning
    mass = service * N_PER_KN / STANDARD_GRAVITY if service is not None and hangs else None
    return _Permissible(name, growth, service, mass, basis)


@dataclass(frozen=True, slots=True)
class _Plate:
    """Whether the fixture was checked, and what was found of it."""

    contact_pressure_mpa: float | None
    utilisation_half_contact_stiffness: float | None
    reason: Statement | None = None
    missing: tuple[FixtureFigure, ...] = ()
    load_case: str | None = None
    stress_mpa: float | None = None
    yield_mpa: float | None = None
    deformation_mm: float | None = None
    deformation_max_mm: float | None = None

    @property
    def status(self) -> str:
        """Whether it was checked."""
        return "not_checked" if self.stress_mpa is None else "checked"

    @property
    def stress_ratio(self) -> float | None:
        """Stress over yield strength."""
        return None if self.stress_mpa is None or self.yield_mpa is None else self.stress_mpa / self.yield_mpa


def _plate(fixing: Fixing | None, results: Sequence[CaseResult]) -> _Plate:
    calculated = [(result, result.plate) for result in results if result.plate is not None]
    contacts = [result.forces.contact for result, _ in calculated if result.forces is not None]
    pressure = max((contact.pressure_mpa for contact in contacts if contact is not None), default=None)
    soft = [result.utilisation_soft_contact for result, _ in calculated]
    known = [used for used in soft if used is not None]
    found = _Plate(pressure, max(known, default=None) if len(known) == len(soft) else None)
    if fixing is not None and results and not fixing.fixture.plate:
        return replace(found, reason=Statement(PlateNotChecked.NO_PLATE))
    if fixing is None or not calculated:
        return replace(found, reason=Statement(PlateNotChecked.NO_FORCES))
    missing = tuple(FixtureFigure(name) for name in calculated[0][1].missing)
    if missing:
        return replace(found, reason=Statement(PlateNotChecked.NOT_GIVEN, {"missing": missing}), missing=missing)
    name, plate = max(
        ((result.name, plate) for result, plate in calculated),
        key=lambda each: fixture_stiffness.used(each[1], fixing.fixture),
    )
    return replace(
        found,
        load_case=name,
        stress_mpa=plate.stress_mpa,
        yield_mpa=fixing.fixture.yield_mpa,
        deformation_mm=plate.deformation_mm,
        deformation_max_mm=plate.deformation_max_mm,
    )


def _notes(outcome: Outcome) -> dict[Note, None]:
    """What the load cases note, each once; that splitting was left out only where no load case had it verified."""
    split = any(check.mode == Mode.SPLITTING for result in outcome.results for check in result.checks)
    noted = (note for result in outcome.results for note in result.notes)
    return dict.fromkeys(note for note in noted if not (split and note == Note.SPLITTING_NOT_NEEDED))


def _cautions(outcome: Outcome, found: Verdict) -> list[Caution]:
    said = [Statement(CautionCode(note)) for note in _notes(outcome) if note not in _TAKEN]
    said.extend(_standing(outcome.rulebook, outcome.suspensions))
    said.extend(outcome.cautions)
    covered = bool(outcome.results) and found != Verdict.OUTSIDE_SCOPE
    if found == Verdict.OUTSIDE_SCOPE:
        said.append(Statement(CautionCode.OUTSIDE_SCOPE))
    if covered and _some_case_only_presses(outcome.results):
        said.append(Statement(CautionCode.COMPRESSION_ONLY))
    if covered and outcome.results[0].plate is not None:
        said.extend(_plate_cautions(outcome))
    return own_cautions(outcome.rulebook) + [caution(statement) for statement in said]


def _some_case_only_presses(results: Sequence[CaseResult]) -> bool:
    """Whether a load case leaves no check; of combinations one that presses harder than any that has checks."""
    idle = [result for result in results if not result.checks]
    if not idle or _case_of(idle[0]) == idle[0].name:
        return bool(idle)
    most = max((_compression_n(result) for result in results if result.checks), default=0.0)
    return any(_compression_n(result) > most for result in idle)


def _compression_n(result: CaseResult) -> float:
    contact = None if result.forces is None else result.forces.contact
    return 0.0 if contact is None else contact.compression_n


def cautions_of_rules(rulebook: Rulebook, *fasteners: tuple[str, str | None]) -> list[dict[str, Any]]:
    """Say what is suspended or superseded of the rules that an answer without a verification stands on.

    Args:
        rulebook: The rules.
        fasteners: Family and size of each fastener that the answer is about; a size of None stands for all sizes.

    Returns:
        The cautions, each with its code.
    """
    return [shown_caution(statement) for statement in _standing(rulebook, _touching(rulebook, *fasteners))]


def _standing(rulebook: Rulebook, touching: Iterable[Suspension]) -> Iterator[Statement]:
    for suspension in touching:
        passed_by = suspension.version not in {None, rulebook.version}
        figures = figures_of_suspension(suspension)
        # The sentence ends with the reason, and reasons are often sentences themselves.
        figures["reason"] = suspension.reason.removesuffix(".")
        figures["made_by"] = rulebook.version if passed_by else None
        yield Statement(CautionCode.SUSPENDED, figures)
    if rulebook.superseded_by is not None:
        yield superseded(rulebook.version, rulebook.superseded_by)


def superseded(version: str, by: str) -> Statement:
    """Say that a fixing stands on rules that are no longer the ones in force.

    Args:
        version: The version it stands on.
        by: The one in force.

    Returns:
        The caution.
    """
    return Statement(CautionCode.SUPERSEDED, {"version": version, "in_force": by})


def _plate_cautions(outcome: Outcome) -> Iterator[Statement]:
    if fixture_stiffness.carries_unchecked(outcome.results):
        yield Statement(CautionCode.PLATE_NOT_CHECKED)
    used = max((result.utilisation for result in outcome.results), default=0.0)
    soft = [result.utilisation_soft_contact for result in outcome.results]
    if used <= 1.0 and any(value is None or value > 1.0 for value in soft):
        yield Statement(CautionCode.SENSITIVE_TO_CONTACT_STIFFNESS)


@dataclass(frozen=True, slots=True)
class _Reading:
    """An open reading that was used."""

    code: str
    clause: str
    text: str


@dataclass(frozen=True, slots=True)
class _Basis:
    """What an answer rests on."""

    standards: Sequence[Mapping[str, Any]]
    national_choices: Sequence[Mapping[str, Any]]
    open_readings: Sequence[_Reading]
    note: str = BASIS_NOTE


def _basis(outcome: Outcome) -> _Basis:
    used = dict.fromkeys(code for result in outcome.results for code in result.open_readings)
    accidental = any(each.found.accidental for each in outcome.loads.combinations)
    if accidental or outcome.situation == ACCIDENTAL:
        used["accidental_shear_factor"] = None
    basis = outcome.rulebook.document["design_basis"]
    readings = [_Reading(code, OPEN_READINGS[code].clause, OPEN_READINGS[code].text) for code in used]
    return _Basis(basis["standards"], basis["national_choices"], readings)
