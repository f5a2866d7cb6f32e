"""Reading a label: what a stated load means, and what it allows when the label is all that is known.

No assessment stands behind a label, so it never becomes a verification: it gives one permissible service load in any
direction, and a list of what it cannot answer.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, field
from datetime import date
from types import MappingProxyType
from typing import Any

from service.contract import checks, wanted
from service.contract import labels as contract
from service.contract.fields import UNKNOWN
from service.contract.label_codes import (
    IN_CONCRETE,
    UNITS,
    LabelAssumptionCode,
    LabelCautionCode,
    LimitCode,
    LimitIn,
    LoadMeaning,
    NotAnsweredCode,
    ProofOf,
    TakenAs,
    VoidCode,
)
from service.contract.verification_codes import Mechanism
from service.contract.writing import writer
from service.engine.scope import TENSILE_MAX_MPA
from service.engine.trace import Recorder, TraceEntry
from service.rulebook import Rulebook
from service.site.labels.contradictions import Stated, contradictions, down, impossible
from service.site.labels.site_improvements import (
    improvements,
    least_favourable_mechanism,
)
from service.verification.answer import cautions_of_rules, rulebook_identity
from service.verification.assumptions import Assumptions
from service.verification.fixing import KG_PER_LB, N_PER_KN, STANDARD_GRAVITY
from service.verification.selection import check_allowed_values, check_version
from service.verification.site_reduction import SiteReduction, figures_of_floor, site_reduction
from service.verification.statements import cautions_of_rulebook, rounded, sentence, shown_assumption, shown_caution
from service.verification.tolerance import reaches_mm, same_mm
from service.words import Code, Statement, Value

PLASTIC = "plastic_anchor"
SET_AT_ITS_DEPTH = ("deformation_controlled_expansion", "undercut", UNKNOWN)
"""Mechanisms that hold only where the hole ends at its depth; what nobody knows may be one of them."""
PROOFS: Mapping[ProofOf, str] = MappingProxyType({
    ProofOf.HOLE: "hole_diameter_mm",
    ProofOf.DEPTH: "hole_depth_mm",
    ProofOf.TORQUE: "torque_nm",
})
"""What has to be shown, and the figure of the label that it is held against."""

MEANING_TITLES: Mapping[str, str] = MappingProxyType({
    "characteristic": "divisor of a characteristic load",
    "mean_ultimate": "divisor of a mean failure load",
    "recommended": "divisor of a recommended load",
})


@dataclass(frozen=True, slots=True)
class Read:
    """One stated load as read.

    Attributes:
        index: Its place in the request.
        given: Its meaning as given.
        taken: Its meaning as taken.
        stated_kn: The load (kN); the least where it stands in several units.
        agrees: Whether its units agree; None where there is only one.
        expected_lb: What the kilograms are in pounds (lb); None without kilograms.
        divisor: What it is divided by (no unit).
        permissible_kn: What is left (kN).
    """

    index: int
    given: str
    taken: str
    stated_kn: float
    agrees: bool | None
    expected_lb: float | None
    divisor: float
    permissible_kn: float


@dataclass(frozen=True, slots=True)
class Limit:
    """What may hang there (kN), from the label down to what to stay below."""

    governing: int
    label_kn: float
    here_kn: float
    share: float
    below_kn: float
    missing: tuple[ProofOf, ...]


@dataclass(frozen=True, slots=True)
class Permissible:
    """What may hang there, and in which concrete."""

    limit: Limit
    where: LimitIn

    @property
    def statement(self) -> Statement:
        """The limit, its figures rounded down: in words it must not grow."""
        here, below = self.limit.here_kn, self.limit.below_kn
        figures: dict[str, Value] = {
            "service_kn": float(down(here)),
            "service_kg": float(down(_kg(here))),
            "where": self.where,
            "missing": self.limit.missing,
            "stay_below_kn": float(down(below)),
            "stay_below_kg": float(down(_kg(below))),
        }
        return Statement(LimitCode.IN_SERVICE, figures)

    @property
    def label_kg(self) -> float:
        """What the label allows, as a hanging mass (kg)."""
        return _kg(self.limit.label_kn)

    @property
    def service_kg(self) -> float:
        """What is left after the site reduction, as a hanging mass (kg)."""
        return _kg(self.limit.here_kn)

    @property
    def stay_below_kg(self) -> float:
        """What to stay below, as a hanging mass (kg)."""
        return _kg(self.limit.below_kn)


@dataclass(frozen=True, slots=True)
class Coded:
    """What is said by a code without figures."""

    code: Code
    figures: Mapping[str, Value] = field(default_factory=dict)

    @property
    def statement(self) -> Statement:
        """What is said."""
        return Statement(self.code)


def read_label(request: Mapping[str, Any], rulebook: Rulebook) -> dict[str, Any]:
    """Say what a label's stated loads mean and allow.

    Args:
        request: A label, each field sound, ``assessed_on`` resolved.
        rulebook: The rulebook with its divisors and site conditions.

    Returns:
        Each figure read, the permissible service load or why there is none, and what the label cannot answer.

    Raises:
        RefusedRequest: The rulebook does not know a site condition or a value.
    """
    check_version(request.get("rulebook"), date.fromisoformat(request["assessed_on"]), rulebook)
    label = _Label(request, rulebook)
    return label.answer()


class _Label:
    """A label on its way to an answer."""

    def __init__(self, request: Mapping[str, Any], rulebook: Rulebook) -> None:
        self.request, self.rulebook = request, rulebook
        site = wanted.Site.of(request.get("site"))
        check_allowed_values(wanted.Use(), site, rulebook)
        self.rules = rulebook.factors["stated-loads"]
        self.trace = Recorder()
        self.assumptions = Assumptions()
        self.assessed = _word(request, "european_assessment")
        self.mechanism = self._mechanism(site)
        self.site: SiteReduction = site_reduction(site, self.mechanism, rulebook, self.assumptions)
        self.improvements = improvements(site, rulebook, self.mechanism)
        below = (VoidCode.SITE_BELOW_FLOOR,) if self.site.below_floor else ()
        self.void = (*_void(request), *below)
        meanings = [self._meaning(index) for index in range(len(request["figures"]))]
        pairs = impossible(meanings, [_least_kn(figure) for figure in request["figures"]])
        self.doubted = frozenset(index for pair in pairs for index in pair)

    def answer(self) -> dict[str, Any]:
        figures = [self._read(index, figure) for index, figure in enumerate(self.request["figures"])]
        governing = min(figures, key=lambda figure: figure.permissible_kn)
        missing = self._missing_proof()
        self._note()
        limit = None if self.void else self._limit(governing, missing)
        applied = self._applied(limit)
        return {
            "figures": [self._shown(figure) for figure in figures],
            "permissible": None if limit is None else writer(contract.LabelLimit)(Permissible(limit, self._where())),
            "void": [writer(contract.VoidReason)(Coded(code)) for code in self.void],
            "applied": applied,
            "mechanism": self.mechanism,
            "site_reduction": writer(checks.SiteReduction)(self.site),
            "improvements": [writer(contract.SiteImprovement)(one) for one in self.improvements],
            "not_answered": [writer(contract.NotAnswered)(Coded(code)) for code in self._not_answered()],
            "trace": [] if self.void else [_step(entry) for entry in self.trace.entries()],
            "assumptions": [shown_assumption(assumption) for assumption in self.assumptions.all()],
            "cautions": self._cautions(figures, missing, applied),
            "rulebook": rulebook_identity(self.rulebook),
            "assessed_on": self.request["assessed_on"],
        }

    def _mechanism(self, site: wanted.Site) -> str:
        mechanism = _word(self.request, "mechanism")
        if mechanism != UNKNOWN:
            return mechanism
        taken = least_favourable_mechanism(site, self.rulebook)
        self.assumptions.add(LabelAssumptionCode.MECHANISM_TAKEN, "#/mechanism", taken=Mechanism(taken))
        return taken

    def _read(self, index: int, figure: Mapping[str, Any]) -> Read:
        given = figure.get("meaning") or UNKNOWN
        loads = [(unit, float(figure[unit])) for unit in UNITS if figure.get(unit) is not None]
        stated = [self.trace.add(*_in_kn(index, unit, value)) for unit, value in loads]
        names = ", ".join(_symbol(index, unit) for unit, _ in loads)
        least = self.trace.add(f"F_stated,{index}", min(stated), "kN", f"min({names})" if loads[1:] else names, "")
        taken = given
        doubted = index in self.doubted
        if given == UNKNOWN or doubted:
            taken = max(self.rules["meanings"], key=self._divisor)
            code = LabelAssumptionCode.MEANING_DOUBTED if doubted else LabelAssumptionCode.MEANING_TAKEN
            self.assumptions.add(code, f"#/figures/{index}/meaning", taken=LoadMeaning(taken))
        divisor = self.trace.add(f"D_{index}", self._divisor(taken), "1", MEANING_TITLES[taken], "", self._rule(taken))
        return Read(
            index=index,
            given=given,
            taken=taken,
            stated_kn=least,
            agrees=self._agree(loads) if len(loads) > 1 else None,
            expected_lb=None if figure.get("value_kg") is None else float(figure["value_kg"]) / KG_PER_LB,
            divisor=divisor,
            permissible_kn=self.trace.add(f"F_{index}", least / divisor, "kN", f"F_stated,{index}/D_{index}", ""),
        )

    def _meaning(self, index: int) -> str:
        return str(self.request["figures"][index].get("meaning") or UNKNOWN)

    def _contradictions(self, figures: Sequence[Read]) -> Iterator[Statement]:
        stated = [Stated(f.given, f.stated_kn, f.divisor) for f in figures]
        return contradictions(stated, float(self.rules["agreement"]["tolerance"]))

    def _divisor(self, meaning: str) -> float:
        return float(self.rules["meanings"][meaning][self._divisor_name()])

    def _divisor_name(self) -> str:
        return "assessed_divisor" if self.assessed == "yes" else "not_assessed_divisor"

    def _rule(self, meaning: str) -> str:
        return f"factors/stated-loads#/meanings/{meaning}/{self._divisor_name()}"

    def _agree(self, loads: Sequence[tuple[str, float]]) -> bool:
        """Whether a load printed in several units is one load, but for the rounding of whole pounds and kilograms."""
        tolerance = float(self.rules["agreement"]["tolerance"])
        ranges = [_range_kn(unit, value, tolerance) for unit, value in loads]
        return max(low for low, _ in ranges) <= min(high for _, high in ranges)

    def _missing_proof(self) -> tuple[ProofOf, ...]:
        proof, label = self.request.get("proof") or {}, self.request.get("label") or {}
        tightened = self._applies("torque_control")
        # What the label does not state cannot have been kept to.
        return tuple(
            name
            for name, stated in PROOFS.items()
            if (name is not ProofOf.TORQUE or tightened) and not (proof.get(name) and label.get(stated) is not None)
        )

    def _applies(self, condition: str) -> bool:
        known = self.rulebook.factors["site-conditions"]["conditions"].get(condition)
        return known is not None and self.mechanism in known["applies_to"]

    def _limit(self, governing: Read, missing: tuple[ProofOf, ...]) -> Limit:
        factor = self.trace.add(
            "k_site", self.site.factor, "1", "product of the site factors", ""
        )
        index = governing.index
        here = self.trace.add("F_site", governing.permissible_kn * factor, "kN", f"F_{index}·k_site", "")
        if not missing:
            return Limit(index, governing.permissible_kn, here, 1.0, here, missing)
        share = self.trace.add(
            "k_proof",
            float(self.rules["without_proof"]["share"]),
            "1",
            f"share without proof of {', '.join(missing)}",
            "",
            "factors/stated-loads#/without_proof/share",
        )
        below = self.trace.add("F_limit", here * share, "kN", "F_site·k_proof", "")
        return Limit(index, governing.permissible_kn, here, share, below, missing)

    def _applied(self, limit: Limit | None) -> dict[str, Any] | None:
        given = self.request.get("applied") or {}
        loads = [_kn(unit, float(given[unit])) for unit in UNITS if given.get(unit) is not None]
        if not loads:
            return None
        load = max(loads)
        if limit is None:
            return {"service_kn": rounded(load), "left_kn": None, "left_kg": None, "growth": None, "within": "no_limit"}
        within = "service" if load <= limit.here_kn else "over"
        return {
            "service_kn": rounded(load),
            "left_kn": rounded(limit.below_kn - load),
            "left_kg": rounded(_kg(limit.below_kn - load)),
            "growth": rounded(limit.below_kn / load),
            "within": "stay_below" if load <= limit.below_kn else within,
        }

    def _covers_cracks(self) -> bool:
        return _word(self.request, "cracked_concrete_covered") == "yes"

    def _where(self) -> LimitIn:
        """In which concrete the limit holds."""
        if self._covers_cracks():
            return LimitIn.CRACKED_OR_NOT
        return LimitIn.UNCRACKED

    def _not_answered(self) -> Iterator[NotAnsweredCode]:
        known = {
            NotAnsweredCode.BASE_MATERIAL: _word(self.request, "base_material") in IN_CONCRETE,
            NotAnsweredCode.FIXTURE_THICKNESS: _fits(self.request, self.request.get("label") or {}),
            NotAnsweredCode.CRACKED_CONCRETE: self._covers_cracks(),
        }
        yield from (code for code in NotAnsweredCode if not known.get(code, False))

    def _note(self) -> None:
        if self.assessed == UNKNOWN:
            self.assumptions.add(LabelAssumptionCode.NOT_ASSESSED_TAKEN, "#/european_assessment")
        if _word(self.request, "concrete_state") == "uncracked" and not self._covers_cracks():
            self.assumptions.add(LabelAssumptionCode.UNCRACKED_TO_BE_SHOWN, "#/concrete_state")
        for code in (LabelAssumptionCode.ANY_DIRECTION, LabelAssumptionCode.SINGLE_FASTENER):
            self.assumptions.add(code, None)

    def _cautions(
        self, figures: Sequence[Read], missing: tuple[ProofOf, ...], applied: Mapping[str, Any] | None
    ) -> list[dict[str, Any]]:
        within = applied["within"] if applied else None
        present = {
            LabelCautionCode.LABEL_IS_NO_ASSESSMENT: True,
            LabelCautionCode.TORQUE_DOES_NOT_DECIDE: True,
            LabelCautionCode.STAY_WELL_BELOW: bool(missing),
            LabelCautionCode.ULTIMATE_IS_NOT_SERVICE: any(figure.taken != "recommended" for figure in figures),
            LabelCautionCode.MEANING_NOT_KNOWN: any(figure.given == UNKNOWN for figure in figures),
            LabelCautionCode.NO_ASSESSMENT_KNOWN: self.assessed != "yes",
            LabelCautionCode.ONLY_IN_CONCRETE: not self.void,
            LabelCautionCode.PLASTIC_REDUNDANT_ONLY: self.mechanism == PLASTIC
            or _word(self.request, "mechanism") == UNKNOWN,
            LabelCautionCode.OVER_THE_LIMIT: within == "over",
            LabelCautionCode.OVER_WELL_BELOW: within == "service",
        }
        said = [Statement(code) for code, there in present.items() if there]
        said += self._units_apart(figures)
        said += self._contradictions(figures)
        if self.site.below_floor:
            said.append(Statement(LabelCautionCode.SITE_REDUCTION_FLOOR, figures_of_floor(self.site)))
        own = [shown_caution(statement) for statement in said]
        return [*own, *cautions_of_rules(self.rulebook), *cautions_of_rulebook(self.rulebook)]

    def _units_apart(self, figures: Sequence[Read]) -> Iterator[Statement]:
        for figure in figures:
            if figure.agrees is False:
                least = float(down(figure.stated_kn))
                values = {unit: self.request["figures"][figure.index].get(unit) for unit in UNITS}
                said: dict[str, Value] = {"meaning": LoadMeaning(figure.given), "stated_kn": least, **values}
                yield Statement(LabelCautionCode.FIGURES_DISAGREE, said)

    def _shown(self, figure: Read) -> dict[str, Any]:
        return {
            "meaning_given": figure.given,
            "meaning_taken": figure.taken,
            "words": sentence(Statement(TakenAs(figure.taken))),
            "stated_kn": rounded(figure.stated_kn),
            "units_agree": figure.agrees,
            "kilograms_in_lb": None if figure.expected_lb is None else rounded(figure.expected_lb),
            "divisor": rounded(figure.divisor),
            "reason": self.rules["meanings"][figure.taken]["reason"],
            "rule": self._rule(figure.taken),
            "permissible_kn": None if self.void else rounded(figure.permissible_kn),
        }


def _word(request: Mapping[str, Any], name: str) -> str:
    return str(request.get(name) or UNKNOWN)


def _kn(unit: str, value: float) -> float:
    kilograms = {"value_kg": value, "value_lb": value * KG_PER_LB}
    return value if unit == "value_kn" else kilograms[unit] * STANDARD_GRAVITY / N_PER_KN


def _least_kn(figure: Mapping[str, Any]) -> float:
    return min(_kn(unit, float(figure[unit])) for unit in UNITS if figure.get(unit) is not None)


def _kg(value_kn: float) -> float:
    return value_kn * N_PER_KN / STANDARD_GRAVITY


def _in_kn(index: int, unit: str, value: float) -> tuple[str, float, str, str, str]:
    how = {"value_kn": "", "value_kg": "·g_n/1000", "value_lb": "·0.45359237·g_n/1000"}[unit]
    return _symbol(index, unit), _kn(unit, value), "kN", f"{value:.10g}{how}", ""


def _symbol(index: int, unit: str) -> str:
    return f"F_{unit.removeprefix('value_')},{index}"


def _range_kn(unit: str, value: float, tolerance: float) -> tuple[float, float]:
    """What a printed figure may stand for (kN): pounds and kilograms are often printed whole."""
    half = 0.5 if unit != "value_kn" and value == int(value) else 0.0
    apart = max(half, value * tolerance / 2.0)
    return _kn(unit, value - apart), _kn(unit, value + apart)


def _void(request: Mapping[str, Any]) -> Iterator[VoidCode]:
    """What makes the stated loads void."""
    # What nobody said may be the worse of the two, so it gives no figure either.
    if request.get("own_screw_used") is not False:
        yield VoidCode.OWN_SCREW if request.get("own_screw_used") else VoidCode.OWN_SCREW_NOT_KNOWN
    if _word(request, "base_material") not in IN_CONCRETE:
        unknown = _word(request, "base_material") == UNKNOWN
        yield VoidCode.BASE_MATERIAL_NOT_KNOWN if unknown else VoidCode.OTHER_BASE_MATERIAL
    label, done = request.get("label") or {}, request.get("as_set") or {}
    if _beyond_steel(request["figures"], (label.get("hole_diameter_mm"), done.get("hole_diameter_mm"))):
        yield VoidCode.LOAD_BEYOND_STEEL
    if _less(done.get("hole_depth_mm"), label.get("hole_depth_mm")):
        yield VoidCode.HOLE_TOO_SHALLOW
    if _less(label.get("hole_depth_mm"), done.get("hole_depth_mm")) and _word(request, "mechanism") in SET_AT_ITS_DEPTH:
        yield VoidCode.HOLE_TOO_DEEP
    if _differ(done.get("hole_diameter_mm"), label.get("hole_diameter_mm")):
        yield VoidCode.OTHER_HOLE_DIAMETER
    if _less(label.get("fixture_thickness_max_mm"), done.get("fixture_thickness_mm")):
        yield VoidCode.FIXTURE_TOO_THICK
    covered = _word(request, "cracked_concrete_covered") == "yes"
    state = _word(request, "concrete_state")
    if state != "uncracked" and not covered:
        # Unknown is cracked, as everywhere else (EN 1992-4, 4.7).
        yield VoidCode.STATE_NOT_KNOWN if state == UNKNOWN else VoidCode.CRACKED_NOT_COVERED


def _beyond_steel(figures: Sequence[Mapping[str, Any]], holes_mm: Sequence[float | None]) -> bool:
    """Whether a load is beyond what could stand in the widest hole told (mm): it was misread, or misprinted."""
    widest = max((hole for hole in holes_mm if hole is not None), default=math.inf)
    return any(_least_kn(figure) > TENSILE_MAX_MPA * math.pi / 4.0 * widest**2 / N_PER_KN for figure in figures)


def _less(value: float | None, limit: float | None) -> bool:
    return value is not None and limit is not None and not reaches_mm(value, limit)


def _differ(one: float | None, other: float | None) -> bool:
    return one is not None and other is not None and not same_mm(one, other)


def _fits(request: Mapping[str, Any], label: Mapping[str, Any]) -> bool:
    """Whether the fixture is known to be within the label's thickness."""
    thickness = (request.get("as_set") or {}).get("fixture_thickness_mm")
    limit = label.get("fixture_thickness_max_mm")
    return thickness is not None and limit is not None and not _less(limit, thickness)


def _step(entry: TraceEntry) -> dict[str, Any]:
    return asdict(entry) | {"value": rounded(entry.value), "clause": entry.clause or None}
