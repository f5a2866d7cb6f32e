"""From the engine's results to the answer of the contract: N become kN, figures are rounded, verdicts are not."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from service.contract import checks as stated
from service.contract import identity, wanted
from service.contract.verification_codes import (
    AssumptionCode,
    CautionCode,
    FixtureFigure,
    PlateNotChecked,
    ScopeLimitCode,
    Verdict,
)
from service.contract.writing import rounded, writer
from service.engine.codes import Mode, Note
from service.engine.model import Fixing
from service.engine.open_readings import OPEN_READINGS
from service.engine.results import CaseResult, Check, ScopeLimit
from service.engine.trace import TraceEntry
from service.rulebook import Rulebook
from service.rulebook.suspensions import Suspension
from service.verification.assumptions import Assumption
from service.verification.evidence import Evidence
from service.verification.fixing import N_PER_KN, STANDARD_GRAVITY, action_factors
from service.verification.length import Length
from service.verification.requirements import Requirement, figures_of_suspension
from service.verification.selection import Selection
from service.verification.site_reduction import SiteReduction
from service.verification.statements import (
    cautions_of_rulebook,
    sentence,
    shown_assumption,
    shown_caution,
    shown_requirement,
    shown_statement,
)
from service.words import Statement

BASIS_NOTE = (
    "The formulas were written from knowledge of EN 1992-4 and have not yet been checked clause by clause "
    "against its text."
)

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
    situation: str
    evidence: Evidence


def governing_checks(results: Iterable[CaseResult]) -> list[tuple[CaseResult, Check]]:
    """For each load case, mode and edge the worse of its combinations, in order."""
    chosen: dict[tuple[str, str, str | None], tuple[CaseResult, Check]] = {}
    for result in results:
        for check in result.checks:
            key = (result.name, check.mode, check.edge)
            if key not in chosen or check.utilisation > chosen[key][1].utilisation:
                chosen[key] = (result, check)
    return list(chosen.values())


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
    outside = found == Verdict.OUTSIDE_SCOPE
    checks = [] if outside else governing_checks(outcome.results)
    full = outcome.request.traced
    write_check = writer(stated.Check)
    return {
        "verdict": found.value,
        "governing": _governing(checks),
        "checks": [write_check(_CaseCheck(result, check, check.trace if full else None)) for result, check in checks],
        "requirements": [shown_requirement(requirement) for requirement in outcome.requirements],
        "scope_limits": _scope_limits(outcome.results),
        "fastener": _fastener(outcome),
        "fastener_forces": [] if outside else [_forces(outcome, result) for result in outcome.results],
        "site_reduction": writer(stated.SiteReduction)(outcome.site),
        "permissible": _permissible(outcome, checks) if found == Verdict.VERIFIED else None,
        "plate": _plate(outcome, outside),
        "assumptions": _assumptions(outcome),
        "cautions": _cautions(outcome, found, checks),
        "basis": _basis(outcome),
        "rulebook": rulebook_identity(outcome.rulebook),
        "suspensions": [shown_suspension(suspension) for suspension in _touching(outcome)],
        "assessed_on": outcome.request.assessed_on.isoformat(),
        "fixing_reference": outcome.request.fixing_reference,
        **outcome.evidence.shown(),
    }


def rulebook_identity(rulebook: Rulebook) -> dict[str, Any]:
    """Which rules an answer stands on."""
    return writer(identity.RulebookIdentity)(rulebook)


def shown_suspension(suspension: Suspension) -> dict[str, Any]:
    """A suspension as answers show it."""
    return writer(identity.Suspension)(suspension)


def _touching(outcome: Outcome) -> list[Suspension]:
    """The suspensions of this fastener, and those of versions: this one, or a higher one that was passed by for it."""
    selection = outcome.selection
    return [
        suspension
        for suspension in outcome.rulebook.suspensions
        if suspension.version is not None or suspension.concerns(selection.family_id, selection.size_name)
    ]


@dataclass(frozen=True, slots=True)
class _CaseCheck:
    """A check with the load case that it belongs to; no trace where none is asked for."""

    case: CaseResult
    check: Check
    trace: tuple[TraceEntry, ...] | None = None


def _governing(checks: Sequence[tuple[CaseResult, Check]]) -> dict[str, Any] | None:
    if not checks:
        return None
    return writer(stated.Governing)(_CaseCheck(*max(checks, key=lambda pair: pair[1].utilisation)))


def statement_of_limit(limit: ScopeLimit) -> Statement:
    """What is said of a limit of the method."""
    return Statement(ScopeLimitCode(limit.code), dict(limit.figures))


def _scope_limits(results: Iterable[CaseResult]) -> list[dict[str, Any]]:
    limits = {limit.code: limit for result in results for limit in result.scope_limits}
    return [
        shown_statement(said) | {"detail": sentence(said), "clause": limit.clause}
        for limit in limits.values()
        for said in [statement_of_limit(limit)]
    ]


def _fastener(outcome: Outcome) -> dict[str, Any]:
    selection = outcome.selection
    return {
        "family": selection.family_id,
        "title": selection.family["title"],
        "mechanism": selection.family["mechanism"],
        "size": selection.size_name,
        "embedment_mm": rounded(outcome.request.fastener.embedment_mm),
        "length_mm": None if outcome.length.length_mm is None else rounded(outcome.length.length_mm),
        "article_code": outcome.length.article_code,
    }


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


def _forces(outcome: Outcome, result: CaseResult) -> dict[str, Any]:
    fixing, forces = outcome.fixing, result.forces
    if fixing is None or forces is None:
        raise ArithmeticError("a calculated case has forces")
    each = zip(fixing.positions, forces.tension_n, forces.shear_n, strict=True)
    fasteners = [
        _FastenerForce(number, *point, tension, *shear) for number, (point, tension, shear) in enumerate(each, start=1)
    ]
    pressed = forces.contact
    contact = None if pressed is None else _Contact(pressed.compression_n, *pressed.centre, pressed.pressure_mpa)
    return writer(stated.LoadCaseForces)(_CaseForces(result, fasteners, contact))


def _permissible(outcome: Outcome, checks: Sequence[tuple[CaseResult, Check]]) -> list[dict[str, Any]]:
    used: dict[str, float] = {}
    for result, check in checks:
        used[result.name] = max(used.get(result.name, 0.0), check.utilisation)
    return [_permissible_case(outcome, case, used.get(case.name, 0.0)) for case in outcome.request.load_cases]


def _permissible_case(outcome: Outcome, case: wanted.LoadCase, used: float) -> dict[str, Any]:
    growth = 1.0 / used if used > 0.0 else None
    factors = action_factors(case, outcome.rulebook)
    normal = case.normal_kn
    across = math.hypot(case.shear_x_kn, case.shear_y_kn)
    turning = case.turns
    if "design" in factors:
        to_service = float(outcome.rulebook.document["partial_factors"]["actions"]["variable"])
        basis = f"design action divided by {to_service:g}, the factor of variable actions, times growth"
    else:
        to_service = 1.0
        basis = "characteristic action times growth"
    force = math.hypot(normal, across)
    service = force * growth / to_service if growth is not None and force > 0.0 else None
    if service is not None and growth is not None and (across > 0.0 or normal < 0.0):
        parts = [growth * part / to_service for part in (normal, across)]
        basis += f": normal force {parts[0]:.4g} kN and shear {parts[1]:.4g} kN"
    if turning:
        basis += "; the moments grow with the force"
    hangs = service is not None and normal > 0.0 and across == 0.0 and not turning
    return {
        "load_case": case.name,
        "growth": None if growth is None else rounded(growth),
        "service_kn": None if service is None else rounded(service),
        "service_kg": rounded(service * N_PER_KN / STANDARD_GRAVITY) if service is not None and hangs else None,
        "basis": basis,
    }


def _plate(outcome: Outcome, outside: bool) -> dict[str, Any]:
    calculated = [] if outside else [result for result in outcome.results if result.plate is not None]
    stressed = [result for result in calculated if result.plate is not None and result.plate.stress_mpa is not None]
    pressures = [
        r.forces.contact.pressure_mpa for r in calculated if r.forces is not None and r.forces.contact is not None
    ]
    soft = [result.utilisation_soft_contact for result in calculated]
    found: dict[str, Any] = {
        "status": "not_checked",
        "reason": sentence(Statement(PlateNotChecked.NO_FORCES)),
        "missing": [],
        "load_case": None,
        "stress_mpa": None,
        "yield_mpa": None,
        "stress_ratio": None,
        "contact_pressure_mpa": rounded(max(pressures)) if pressures else None,
        "utilisation_half_contact_stiffness": rounded(max(u for u in soft if u is not None))
        if soft and None not in soft
        else None,
    }
    if calculated and not stressed and calculated[0].plate is not None:
        missing = tuple(FixtureFigure(name) for name in calculated[0].plate.missing)
        found["reason"] = sentence(Statement(PlateNotChecked.NOT_GIVEN, {"missing": missing}))
        found["missing"] = list(missing)
    if stressed and outcome.fixing is not None and outcome.fixing.fixture.yield_mpa is not None:
        worst = max(stressed, key=lambda result: _stress(result))
        yielding = outcome.fixing.fixture.yield_mpa
        found |= {
            "status": "checked",
            "reason": None,
            "load_case": worst.name,
            "stress_mpa": rounded(_stress(worst)),
            "yield_mpa": rounded(yielding),
            "stress_ratio": rounded(_stress(worst) / yielding),
        }
    return found


def _stress(result: CaseResult) -> float:
    return 0.0 if result.plate is None or result.plate.stress_mpa is None else result.plate.stress_mpa


def largest_plate_stress(results: Iterable[CaseResult]) -> float | None:
    """Largest estimated stress of the fixture over all load cases (MPa), None where none was calculated."""
    stresses = [r.plate.stress_mpa for r in results if r.plate is not None and r.plate.stress_mpa is not None]
    return max(stresses, default=None)


def _notes(outcome: Outcome) -> dict[Note, None]:
    """What the load cases note, each once; that splitting was left out only where no load case had it verified."""
    split = any(check.mode == Mode.SPLITTING for result in outcome.results for check in result.checks)
    noted = (note for result in outcome.results for note in result.notes)
    return dict.fromkeys(note for note in noted if not (split and note == Note.SPLITTING_NOT_NEEDED))


def _assumptions(outcome: Outcome) -> list[dict[str, Any]]:
    taken = (Assumption(Statement(_TAKEN[note]), None) for note in _notes(outcome) if note in _TAKEN)
    return [shown_assumption(assumption) for assumption in (*outcome.assumptions, *taken)]


def _cautions(outcome: Outcome, found: str, checks: Sequence[tuple[CaseResult, Check]]) -> list[dict[str, Any]]:
    said = [Statement(CautionCode(note)) for note in _notes(outcome) if note not in _TAKEN]
    said.extend(_standing(outcome.rulebook, _touching(outcome)))
    said.extend(outcome.cautions)
    covered = bool(outcome.results) and found != Verdict.OUTSIDE_SCOPE
    if found == Verdict.OUTSIDE_SCOPE:
        said.append(Statement(CautionCode.OUTSIDE_SCOPE))
    if covered and not checks:
        said.append(Statement(CautionCode.COMPRESSION_ONLY))
    if covered and outcome.results[0].plate is not None:
        said.extend(_plate_cautions(outcome))
    return cautions_of_rulebook(outcome.rulebook) + [shown_caution(statement) for statement in said]


def cautions_of_rules(rulebook: Rulebook, *fasteners: tuple[str, str | None]) -> list[dict[str, Any]]:
    """Say what is suspended or superseded of the rules that an answer without a verification stands on.

    Args:
        rulebook: The rules.
        fasteners: Family and size of each fastener that the answer is about; a size of None stands for all sizes.

    Returns:
        The cautions, each with its code.
    """
    touching = [
        suspension
        for suspension in rulebook.suspensions
        if suspension.version is not None
        or any(
            suspension.family == family and (size is None or suspension.concerns(family, size))
            for family, size in fasteners
        )
    ]
    return [shown_caution(statement) for statement in _standing(rulebook, touching)]


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
    if largest_plate_stress(outcome.results) is None:
        yield Statement(CautionCode.PLATE_NOT_CHECKED)
    used = max((result.utilisation for result in outcome.results), default=0.0)
    soft = [result.utilisation_soft_contact for result in outcome.results]
    if used <= 1.0 and any(value is None or value > 1.0 for value in soft):
        yield Statement(CautionCode.SENSITIVE_TO_CONTACT_STIFFNESS)


def _basis(outcome: Outcome) -> dict[str, Any]:
    used = dict.fromkeys(code for result in outcome.results for code in result.open_readings)
    if outcome.situation == "accidental":
        used["accidental_shear_factor"] = None
    basis = outcome.rulebook.document["design_basis"]
    return {
        "standards": [dict(standard) for standard in basis["standards"]],
        "national_choices": [dict(choice) for choice in basis["national_choices"]],
        "open_readings": [
            {"code": code, "clause": OPEN_READINGS[code].clause, "text": OPEN_READINGS[code].text} for code in used
        ],
        "note": BASIS_NOTE,
    }
