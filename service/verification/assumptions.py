"""What the request leaves open and how it is taken: the safe way, said aloud."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, TypeVar

from service.contract import wanted
from service.contract.terms import ACCIDENTAL, HOLES, PERSISTENT
from service.contract.things import consequence_of
from service.contract.verification_codes import (
    CONSEQUENCES,
    AssumptionCode,
    ConcreteState,
    Consequence,
    Edge,
    HoleState,
    ToppingKind,
)
from service.engine.en1992_1_1 import STRENGTH_CLASSES
from service.engine.free_edges import FreeEdges
from service.engine.model import Reinforcement
from service.rulebook import Rulebook
from service.verification.redundancy import Point, Sharing, sharing
from service.words import Code, Statement, Value

Said = TypeVar("Said", str, bool)


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
    known: bool = True


class Assumptions:
    """Collects assumptions while a request is read."""

    def __init__(self) -> None:
        self._found: dict[tuple[Any, ...], Assumption] = {}

    def add(self, code: Code, pointer: str | None, **figures: Value) -> None:
        """Note one assumption once."""
        key = (code, pointer, *figures.items())
        if key not in self._found:
            self._found[key] = Assumption(Statement(code, figures), pointer)

    def all(self) -> tuple[Assumption, ...]:
        """Everything noted, in order."""
        return tuple(self._found.values())


def strength(
    member: wanted.Member, rulebook: Rulebook, assumptions: Assumptions, covers: Mapping[str, Any] | None = None
) -> Strength:
    """f_ck of the member: given as class or as strength, else what unknown costs.

    Args:
        member: The member of a request.
        rulebook: The rulebook, which says what class unknown is taken as.
        assumptions: Where that is noted.
        covers: What the assessment of a family covers: where that is weaker concrete than unknown is taken as, the
            weakest class of it counts. None: of no family.

    Returns:
        The strength (MPa).
    """
    if member.strength_mpa is not None:
        return Strength(member.strength_mpa, f"{member.strength_mpa:g} MPa")
    name = member.strength_class
    if name is None:
        name = _weaker(rulebook.document["unknown"]["strength_class"], covers)
        assumptions.add(AssumptionCode.STRENGTH_UNKNOWN, "#/member/strength_class", strength_class=name)
        return Strength(STRENGTH_CLASSES[name], name, known=False)
    return Strength(STRENGTH_CLASSES[name], name)


def _weaker(company: str, covers: Mapping[str, Any] | None) -> str:
    """The company's class of unknown strength, or the weakest that a family covers where that is weaker."""
    least = STRENGTH_CLASSES[company] if covers is None else float(covers["strength_min_mpa"])
    weakest = next((name for name, f_ck in STRENGTH_CLASSES.items() if f_ck >= least), company)
    return min((company, weakest), key=lambda name: STRENGTH_CLASSES[name])


def concrete_of_the_method(member: wanted.Member, assumptions: Assumptions) -> bool:
    """Whether the member is what the method covers; where nothing is said of it, it is taken to be."""
    if member.material is None:
        assumptions.add(AssumptionCode.MATERIAL_NOT_GIVEN, "#/member/material")
    return member.of_the_method


def topping(member: wanted.Member, assumptions: Assumptions) -> None:
    """Say that the fixture is taken to lie on bare concrete, where nothing is said or what lies there comes off."""
    given = member.topping
    if given is None:
        assumptions.add(AssumptionCode.TOPPING_NOT_GIVEN, "#/member/topping")
    elif given.comes_off:
        kind, thickness = ToppingKind(given.kind), given.thickness_mm
        pointer = "#/member/topping/comes_off"
        assumptions.add(AssumptionCode.TOPPING_COMES_OFF, pointer, topping=kind, thickness_mm=thickness)


def edges_out_of_reach(edges: wanted.Edges, free: FreeEdges, assumptions: Assumptions) -> None:
    """Say that an edge which is not given is taken to be farther away than it could matter (mm)."""
    missing = tuple(edge for edge, distance in zip(Edge, edges.all_mm, strict=True) if distance is None)
    if missing:
        reach = free.reach_mm
        assumptions.add(AssumptionCode.EDGES_OUT_OF_REACH, "#/member/edges", edges=missing, edge_reach_mm=reach)
        if free.utilisation_anywhere is not None:
            used, code = free.utilisation_anywhere, AssumptionCode.EDGES_COUNT_ANYWHERE
            assumptions.add(code, "#/member/edges", edges=missing, utilisation=used)


def cracked(member: wanted.Member, rulebook: Rulebook, assumptions: Assumptions) -> bool:
    """Whether the concrete counts as cracked; it does unless the request says uncracked."""
    state = member.state
    if state is None:
        state = rulebook.document["unknown"]["state"]
        assumptions.add(AssumptionCode.STATE_UNKNOWN, "#/member/state", state=ConcreteState(state))
    elif state == "uncracked":
        assumptions.add(AssumptionCode.UNCRACKED_TO_BE_SHOWN, "#/member/state")
    return bool(state != "uncracked")


def reinforcement(member: wanted.Member, assumptions: Assumptions) -> Reinforcement:
    """Reinforcement of the member (mm); nothing helpful is taken from what is not known."""
    bars = member.reinforcement
    if bars is None:
        assumptions.add(AssumptionCode.REINFORCEMENT_UNKNOWN, "#/member/reinforcement")
        bars = wanted.Reinforcement()
    elif bars.spacing_mm is None:
        assumptions.add(AssumptionCode.REINFORCEMENT_SPACING_UNKNOWN, "#/member/reinforcement/spacing_mm")
    elif 100.0 <= bars.spacing_mm < 150.0 and bars.diameter_mm is None:
        assumptions.add(AssumptionCode.REINFORCEMENT_DIAMETER_UNKNOWN, "#/member/reinforcement/diameter_mm")
    if bars.edge == "edge_bar_with_stirrups":
        if bars.stirrup_spacing_mm is None:
            assumptions.add(AssumptionCode.STIRRUP_SPACING_UNKNOWN, "#/member/reinforcement/stirrup_spacing_mm")
        else:
            assumptions.add(AssumptionCode.EDGE_REINFORCEMENT_TO_BE_SHOWN, "#/member/reinforcement/edge")
    return Reinforcement(
        spacing_mm=bars.spacing_mm,
        diameter_mm=bars.diameter_mm,
        edge=bars.edge,
        stirrup_spacing_mm=bars.stirrup_spacing_mm,
        cracks_held=bars.cracks_held_to_0_3_mm,
    )


WEAKEST_COVERED = "weakest_covered"


@dataclass(frozen=True, slots=True)
class Use:
    """Use of the fixing as taken."""

    situation: str
    sharing: Sharing
    structural: bool
    consequence: tuple[Consequence, ...] | None
    overhead: bool
    exposure: str
    temperature_range: str
    hole: str
    coldest_until_cured_c: float | None = None

    @property
    def redundant(self) -> bool:
        """Whether other fixing points are shown to take over when this one fails."""
        return self.sharing.shown


def use(
    given: wanted.Use,
    rulebook: Rulebook,
    family: Mapping[str, Any],
    point: Point,
    assumptions: Assumptions,
    loads_from: Sequence[wanted.LoadsFrom] = (),
) -> Use:
    """Use of the fixing, what is left open taken the safe way."""
    situation = _or(PERSISTENT, given.situation, AssumptionCode.SITUATION_NOT_GIVEN, "situation", assumptions)
    if situation == ACCIDENTAL:
        assumptions.add(AssumptionCode.ACCIDENTAL_TO_BE_SHOWN, "#/use/situation")
    if given.redundancy is None and given.redundant is None:
        assumptions.add(AssumptionCode.REDUNDANT_NOT_GIVEN, "#/use/redundancy")
    structural = _or(True, given.structural, AssumptionCode.STRUCTURAL_NOT_GIVEN, "structural", assumptions)
    overhead = _or(True, given.overhead, AssumptionCode.OVERHEAD_NOT_GIVEN, "overhead", assumptions)
    shared = sharing(given, family, point)
    if shared.shown:
        stated = given.redundancy
        by = None if stated is None else stated.bridging_shown_by
        points = None if stated is None else stated.points
        assumptions.add(AssumptionCode.REDUNDANT_TO_BE_SHOWN, "#/use/redundancy", points=points, bridging_shown_by=by)
    exposure = given.exposure
    if exposure is None:
        exposure = str(rulebook.document["unknown"]["exposure"])
        assumptions.add(AssumptionCode.EXPOSURE_UNKNOWN, "#/use/exposure", exposure=exposure)
    return Use(
        situation=situation,
        sharing=shared,
        structural=structural,
        consequence=_consequence(given, loads_from, family, assumptions),
        overhead=overhead,
        exposure=exposure,
        hole=_hole(given.hole, rulebook, family, assumptions),
        temperature_range=_temperature_range(given.temperature_range, rulebook, family, assumptions),
        coldest_until_cured_c=given.coldest_until_cured_c,
    )


def restricted_for_people(family: Mapping[str, Any]) -> bool:
    """Whether a family may not be used for everything that people depend on."""
    approvals = (family["approval"], *(size["approval"] for size in family["sizes"].values()))
    non_structural = any("non_structural" in (each["uses"] or ()) for each in approvals if each is not None)
    return non_structural or bool(family.get("uses_excluded"))


def _consequence(
    given: wanted.Use,
    loads_from: Sequence[wanted.LoadsFrom],
    family: Mapping[str, Any],
    assumptions: Assumptions,
) -> tuple[Consequence, ...] | None:
    """What comes of it for people if the fixing fails, None where nobody has said; it matters to some families."""
    restricted = restricted_for_people(family)
    if given.consequence is None:
        if restricted:
            assumptions.add(AssumptionCode.CONSEQUENCE_NOT_GIVEN, "#/use/consequence")
        return None
    # What the loads came from counts too: a guardrail keeps people from falling, whatever else is answered.
    said = tuple(Consequence(each) for each in given.consequence)
    states = {each: set(consequence_of_told(each)) - {*said} for each in loads_from}
    more = tuple(each for each in CONSEQUENCES if any(each in stated for stated in states.values()))
    if more:
        models = tuple(dict.fromkeys(source.load_model for source, stated in states.items() if stated))
        code = AssumptionCode.CONSEQUENCE_OF_LOAD_MODEL
        assumptions.add(code, "#/use/consequence", load_models=models, consequence=more)
    elif restricted and not said:
        assumptions.add(AssumptionCode.NOBODY_HURT_TO_BE_SHOWN, "#/use/consequence")
    return tuple(each for each in CONSEQUENCES if each in {*said, *more})


def consequence_of_told(source: wanted.LoadsFrom) -> tuple[Consequence, ...]:
    """Say what comes of a thing that loads came from if its fixing fails, by the words that it was told.

    Args:
        source: One of `loads_from`.

    Returns:
        What comes of it; empty where the thing alone does not tell.
    """
    return consequence_of(source.load_model, source.words)


def _or(assumed: Said, given: Said | None, code: AssumptionCode, name: str, assumptions: Assumptions) -> Said:
    """What the request says of the use, or what is assumed where it says nothing."""
    if given is not None:
        return given
    assumptions.add(code, f"#/use/{name}")
    return assumed


def _hole(given: str | None, rulebook: Rulebook, family: Mapping[str, Any], assumptions: Assumptions) -> str:
    if given is not None:
        return given
    if family["mechanism"] == "headed_fastener":
        return "dry"
    unknown = rulebook.document["unknown"]
    hole = str(unknown["hole"] if family["mechanism"] == "bonded" else unknown["hole_without_resin"])
    if hole == "wettest_covered":
        hole = max(family["assessment"]["covers"]["hole_conditions"], key=HOLES.index)
    wetter = tuple(HoleState(each) for each in HOLES[HOLES.index(hole) + 1 :])
    assumptions.add(AssumptionCode.HOLE_UNKNOWN, "#/use/hole", hole=HoleState(hole), not_covered=wetter)
    return hole


def _temperature_range(
    given: str | None, rulebook: Rulebook, family: Mapping[str, Any], assumptions: Assumptions
) -> str:
    if given is not None:
        return given
    assumed = str(rulebook.document["unknown"]["temperature_range"])
    if family["mechanism"] == "bonded":
        known = None if assumed == WEAKEST_COVERED else assumed
        assumptions.add(AssumptionCode.TEMPERATURE_RANGE_UNKNOWN, "#/use/temperature_range", range=known)
    return assumed
