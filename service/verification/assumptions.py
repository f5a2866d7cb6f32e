"""What the request leaves open and how it is taken: the safe way, said aloud."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from service.engine.en1992_1_1 import STRENGTH_CLASSES
from service.engine.model import EDGE_NAMES, EdgeReinforcement, Reinforcement
from service.rulebook import Rulebook
from service.verification.selection import UNKNOWN


@dataclass(frozen=True, slots=True)
class Assumption:
    """One thing taken because the request does not say it."""

    code: str
    text: str
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

    def add(self, code: str, text: str, pointer: str | None) -> None:
        """Note one assumption once."""
        assumption = Assumption(code, text, pointer)
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
        assumptions.add(
            "strength_unknown", f"Strength of the concrete not known: taken as {name}", "#/member/strength_class"
        )
    return Strength(STRENGTH_CLASSES[name], name)


def edges_out_of_reach(member: Mapping[str, Any], reach_mm: float, assumptions: Assumptions) -> None:
    """Say that an edge which is not given is taken to be farther away than it could matter (mm)."""
    edges = member.get("edges") or {}
    missing = [name for name in EDGE_NAMES if edges.get(f"{name}_mm") is None]
    if missing:
        assumptions.add(
            "edges_out_of_reach",
            f"Edges not given ({', '.join(missing)}) are out of reach: at least {reach_mm:g} mm from any fastener",
            "#/member/edges",
        )


def cracked(member: Mapping[str, Any], rulebook: Rulebook, assumptions: Assumptions) -> bool:
    """Whether the concrete counts as cracked; it does unless the request says uncracked."""
    state = member.get("state")
    if state is None or state == UNKNOWN:
        state = rulebook.document["unknown"]["state"]
        assumptions.add("state_unknown", f"State of the concrete not known: taken as {state}", "#/member/state")
    elif state == "uncracked":
        assumptions.add(
            "uncracked_to_be_shown",
            "Uncracked concrete was stated; it must be shown for the service life (EN 1992-4, 4.7)",
            "#/member/state",
        )
    return bool(state != "uncracked")


def reinforcement(member: Mapping[str, Any], assumptions: Assumptions) -> Reinforcement:
    """Reinforcement of the member (mm); nothing helpful is taken from what is not known."""
    given = member.get("reinforcement")
    if given is None or given == UNKNOWN:
        assumptions.add(
            "reinforcement_unknown",
            "Reinforcement not known: taken as close (no credit for wide spacing), no edge bar, cracks not held",
            "#/member/reinforcement",
        )
        given = {}
    elif given.get("spacing_mm") is None:
        assumptions.add(
            "reinforcement_spacing_unknown",
            "Spacing of the reinforcement not known: taken as close",
            "#/member/reinforcement/spacing_mm",
        )
    elif given["spacing_mm"] < 150 and given["spacing_mm"] >= 100 and given.get("diameter_mm") is None:
        assumptions.add(
            "reinforcement_diameter_unknown",
            "Diameter of the reinforcement not known: taken as over 10 mm",
            "#/member/reinforcement/diameter_mm",
        )
    edge: EdgeReinforcement = given.get("edge") or "none"
    stirrups = given.get("stirrup_spacing_mm")
    if edge == "edge_bar_with_stirrups" and stirrups is not None:
        assumptions.add(
            "edge_reinforcement_to_be_shown",
            "Edge bar and stirrups were stated; they count only where the embedment is at least 2.5 times the cover of "
            "the edge bar, which has to be shown",
            "#/member/reinforcement/edge",
        )
    if edge == "edge_bar_with_stirrups" and stirrups is None:
        assumptions.add(
            "stirrup_spacing_unknown",
            "Spacing of the stirrups not known: no credit for edge reinforcement",
            "#/member/reinforcement/stirrup_spacing_mm",
        )
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


_USE_DEFAULTS: tuple[tuple[str, str | bool, str], ...] = (
    ("situation", "persistent", "Design situation not given: taken as persistent"),
    ("redundant", False, "Redundancy not given: taken as not redundant"),
    ("structural", True, "Not said whether the use is structural: taken as structural"),
    ("overhead", True, "Not said whether the fixing is overhead: taken as overhead"),
)


def use(request: Mapping[str, Any], rulebook: Rulebook, family: Mapping[str, Any], assumptions: Assumptions) -> Use:
    """Use of the fixing, what is left open taken the safe way."""
    given = request.get("use") or {}
    taken: dict[str, Any] = {}
    for name, default, text in _USE_DEFAULTS:
        taken[name] = given.get(name)
        if taken[name] is None:
            taken[name] = default
            assumptions.add(f"{name}_not_given", text, f"#/use/{name}")
    if taken["redundant"]:
        assumptions.add(
            "redundant_to_be_shown",
            "Redundant use was stated; that there are enough fixing points, each lightly loaded, and that the others "
            "carry the load of one that fails has to be shown",
            "#/use/redundant",
        )
    exposure = given.get("exposure")
    if exposure is None or exposure == UNKNOWN:
        exposure = rulebook.document["unknown"]["exposure"]
        assumptions.add("exposure_unknown", f"Exposure not known: taken as {exposure}", "#/use/exposure")
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
    wetter = "" if hole == WETNESS[-1] else "; wetter is not covered"
    assumptions.add("hole_unknown", f"Condition of the hole not known: taken as {hole}{wetter}", "#/use/hole")
    return hole


def _temperature_range(
    given: str | None, rulebook: Rulebook, family: Mapping[str, Any], assumptions: Assumptions
) -> str:
    if given is not None and given != UNKNOWN:
        return given
    taken = str(rulebook.document["unknown"]["temperature_range"])
    if family["mechanism"] == "bonded":
        words = "the least favourable that is assessed" if taken == WEAKEST_COVERED else taken
        assumptions.add(
            "temperature_range_unknown", f"Temperature range not given: taken as {words}", "#/use/temperature_range"
        )
    return taken
