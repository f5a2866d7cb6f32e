"""What the request leaves open and how it is taken: the safe way, said aloud."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from service.contract.verification_codes import AssumptionCode, ConcreteState, Edge, HoleState
from service.engine.en1992_1_1 import STRENGTH_CLASSES
from service.engine.model import EDGE_NAMES, EdgeReinforcement, Reinforcement
from service.rulebook import Rulebook
from service.verification.selection import UNKNOWN
from service.words import Code, Statement, Value


@dataclass(frozen=True, slots=True)
class Assumption:
    """One thing taken because the request does not say it, and where the request would say it."""

    statement: Statement
    pointer: str | None


@dataclass(frozen=True, slots=True)
class Strength:
    """Strength of the member as taken (MPa)."""

    f_ck_mpa: float
    name: str


class Assumptions:
    """Collects assumptions while a request is read."""

    def __init__(self) -> None:
        self._found: list[Assumption] = []

    def add(self, code: Code, pointer: str | None, **figures: Value) -> None:
        """Note one assumption once."""
        assumption = Assumption(Statement(code, figures), pointer)
        if assumption not in self._found:
            self._found.append(assumption)

    def all(self) -> tuple[Assumption, ...]:
        """Everything noted, in order."""
        return tuple(self._found)


def strength(member: Mapping[str, Any], rulebook: Rulebook, assumptions: Assumptions) -> Strength:
    """f_ck of the member (MPa): given as class or as strength, else what unknown costs."""
    given = member.get("strength_mpa")
    if given is not None:
        return Strength(float(given), f"{given:g} MPa")
    name = member.get("strength_class")
    if name is None or name == UNKNOWN:
        name = rulebook.document["unknown"]["strength_class"]
        assumptions.add(AssumptionCode.STRENGTH_UNKNOWN, "#/member/strength_class", strength_class=name)
    return Strength(STRENGTH_CLASSES[name], name)


def edges_out_of_reach(member: Mapping[str, Any], reach_mm: float, assumptions: Assumptions) -> None:
    """Say that an edge which is not given is taken to be farther away than it could matter (mm)."""
    edges = member.get("edges") or {}
    missing = tuple(Edge(name) for name in EDGE_NAMES if edges.get(f"{name}_mm") is None)
    if missing:
        assumptions.add(AssumptionCode.EDGES_OUT_OF_REACH, "#/member/edges", edges=missing, edge_reach_mm=reach_mm)


def cracked(member: Mapping[str, Any], rulebook: Rulebook, assumptions: Assumptions) -> bool:
    """Whether the concrete counts as cracked; it does unless the request says uncracked."""
    state = member.get("state")
    if state is None or state == UNKNOWN:
        state = rulebook.document["unknown"]["state"]
        assumptions.add(AssumptionCode.STATE_UNKNOWN, "#/member/state", state=ConcreteState(state))
    elif state == "uncracked":
        assumptions.add(AssumptionCode.UNCRACKED_TO_BE_SHOWN, "#/member/state")
    return bool(state != "uncracked")


def reinforcement(member: Mapping[str, Any], assumptions: Assumptions) -> Reinforcement:
    """Reinforcement of the member (mm); nothing helpful is taken from what is not known."""
    given = member.get("reinforcement")
    if given is None or given == UNKNOWN:
        assumptions.add(AssumptionCode.REINFORCEMENT_UNKNOWN, "#/member/reinforcement")
        given = {}
    elif given.get("spacing_mm") is None:
        assumptions.add(AssumptionCode.REINFORCEMENT_SPACING_UNKNOWN, "#/member/reinforcement/spacing_mm")
    elif given["spacing_mm"] < 150 and given["spacing_mm"] >= 100 and given.get("diameter_mm") is None:
        assumptions.add(AssumptionCode.REINFORCEMENT_DIAMETER_UNKNOWN, "#/member/reinforcement/diameter_mm")
    edge: EdgeReinforcement = given.get("edge") or "none"
    stirrups = given.get("stirrup_spacing_mm")
    if edge == "edge_bar_with_stirrups" and stirrups is not None:
        assumptions.add(AssumptionCode.EDGE_REINFORCEMENT_TO_BE_SHOWN, "#/member/reinforcement/edge")
    if edge == "edge_bar_with_stirrups" and stirrups is None:
        assumptions.add(AssumptionCode.STIRRUP_SPACING_UNKNOWN, "#/member/reinforcement/stirrup_spacing_mm")
    return Reinforcement(
        spacing_mm=given.get("spacing_mm"),
        diameter_mm=given.get("diameter_mm"),
        edge=edge,
        stirrup_spacing_mm=stirrups,
        cracks_held=bool(given.get("cracks_held_to_0_3_mm") or False),
    )


WETNESS = ("dry", "wet", "flooded")
WEAKEST_COVERED = "weakest_covered"


@dataclass(frozen=True, slots=True)
class Use:
    """Use of the fixing as taken."""

    situation: str
    redundant: bool
    structural: bool
    overhead: bool
    exposure: str
    temperature_range: str
    hole: str


_USE_DEFAULTS: tuple[tuple[str, str | bool, AssumptionCode], ...] = (
    ("situation", "persistent", AssumptionCode.SITUATION_NOT_GIVEN),
    ("redundant", False, AssumptionCode.REDUNDANT_NOT_GIVEN),
    ("structural", True, AssumptionCode.STRUCTURAL_NOT_GIVEN),
    ("overhead", True, AssumptionCode.OVERHEAD_NOT_GIVEN),
)


def use(request: Mapping[str, Any], rulebook: Rulebook, family: Mapping[str, Any], assumptions: Assumptions) -> Use:
    """Use of the fixing, what is left open taken the safe way."""
    given = request.get("use") or {}
    taken: dict[str, Any] = {}
    for name, default, code in _USE_DEFAULTS:
        taken[name] = given.get(name)
        if taken[name] is None:
            taken[name] = default
            assumptions.add(code, f"#/use/{name}")
    if taken["redundant"]:
        assumptions.add(AssumptionCode.REDUNDANT_TO_BE_SHOWN, "#/use/redundant")
    exposure = given.get("exposure")
    if exposure is None or exposure == UNKNOWN:
        exposure = rulebook.document["unknown"]["exposure"]
        assumptions.add(AssumptionCode.EXPOSURE_UNKNOWN, "#/use/exposure", exposure=exposure)
    return Use(
        exposure=exposure,
        hole=_hole(given.get("hole"), rulebook, family, assumptions),
        temperature_range=_temperature_range(given.get("temperature_range"), rulebook, family, assumptions),
        **taken,
    )


def _hole(given: str | None, rulebook: Rulebook, family: Mapping[str, Any], assumptions: Assumptions) -> str:
    if given is not None and given != UNKNOWN:
        return given
    if family["mechanism"] == "headed_fastener":
        return "dry"
    unknown = rulebook.document["unknown"]
    hole = str(unknown["hole"] if family["mechanism"] == "bonded" else unknown["hole_without_resin"])
    if hole == "wettest_covered":
        hole = max(family["assessment"]["covers"]["hole_conditions"], key=WETNESS.index)
    wetter = tuple(HoleState(each) for each in WETNESS[WETNESS.index(hole) + 1 :])
    assumptions.add(AssumptionCode.HOLE_UNKNOWN, "#/use/hole", hole=HoleState(hole), not_covered=wetter)
    return hole


def _temperature_range(
    given: str | None, rulebook: Rulebook, family: Mapping[str, Any], assumptions: Assumptions
) -> str:
    if given is not None and given != UNKNOWN:
        return given
    taken = str(rulebook.document["unknown"]["temperature_range"])
    if family["mechanism"] == "bonded":
        known = None if taken == WEAKEST_COVERED else taken
        assumptions.add(AssumptionCode.TEMPERATURE_RANGE_UNKNOWN, "#/use/temperature_range", range=known)
    return taken
