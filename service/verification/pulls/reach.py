"""How far pulls on site reach: at which distances, in what state of the concrete, and for how long."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from service.contract import wanted
from service.contract.fields import UNKNOWN
from service.contract.verification_codes import BaseMaterial, BaseState, ConcreteState, PullRequirementCode, TestedState
from service.engine.en1992_4.concrete_edge import reach_mm
from service.verification.pulls.requirements import RULES
from service.verification.pulls.statistics import Pull
from service.verification.requirements import Requirement
from service.verification.selection import Selection
from service.words import Value

UNCRACKED, CRACKED, NO_CONCRETE = "uncracked", "cracked", "not_concrete"


@dataclass(frozen=True, slots=True)
class Reach:
    """Where and for how long the resistance holds (mm)."""

    family: str
    size: str
    embedment_mm: float
    base_material: str
    drilling: str
    hole: str
    edge_mm: float
    shear_edge_mm: float
    spacing_mm: float
    thickness_mm: float
    tested_on: date
    valid_until: date
    concrete_state: str
    crack_mm: float | None
    """Width of the narrowest crack of the pulls, None where they do not stand for cracked concrete (mm)."""
    crack_min_mm: float | None
    """Width that the rulebook asks of a crack, None where it lets no pulls stand for cracked concrete (mm)."""
    not_measured: tuple[str, ...]
    """ "edge" and "spacing", where it was not measured at every pull."""


def reach_of(
    tests: wanted.AllowableTests, selection: Selection, rules: Mapping[str, Any], pulls: Sequence[Pull]
) -> Reach:
    """How far pulls reach.

    Args:
        tests: The tests of a request.
        selection: The pulled fastener.
        rules: The rulebook's rules of site tests.
        pulls: The pulls, each with the crack that ran through its place (mm).

    Returns:
        Where, in what concrete and for how long a resistance from them holds (mm).
    """
    fastener, limits = tests.fastener, rules["reach"]
    depth = fastener.embedment_mm
    measured = {"edge": [pull.edge_mm for pull in tests.pulls], "spacing": [pull.spacing_mm for pull in tests.pulls]}
    felt = reach_mm(depth, float(selection.size["geometry"]["nominal_diameter_mm"]))
    apart = float(limits["spacing_factor"]) * depth
    # Below what its assessment or label allows a fastener splits what it is set in, at once or in time.
    edge = max(
        _as_far_as_all(measured["edge"], max(felt, float(limits["edge_factor"]) * depth)), _least_mm(selection, "edge")
    )
    spacing = max(_as_far_as_all(measured["spacing"], max(felt, apart)), apart, _least_mm(selection, "spacing"))
    asked = rules["allowable_tests"].get("crack_width_min_mm")
    crack_min_mm = None if asked is None else float(asked)
    state, crack_mm = _state(tests, crack_min_mm, pulls)
    return Reach(
        family=fastener.family,
        size=fastener.size,
        embedment_mm=depth,
        base_material=tests.base_material,
        drilling=tests.drilling,
        hole=tests.hole,
        edge_mm=edge,
        shear_edge_mm=max(edge, float(limits["shear_edge_factor"]) * depth),
        spacing_mm=spacing,
        thickness_mm=tests.thickness_mm,
        tested_on=tests.tested_on,
        valid_until=tests.tested_on + timedelta(days=int(limits["age_max_days"])),
        concrete_state=state,
        crack_mm=crack_mm,
        crack_min_mm=crack_min_mm,
        not_measured=tuple(name for name, distances in measured.items() if None in distances),
    )


def _least_mm(selection: Selection, distance: str) -> float:
    """Least edge distance or spacing of the assessment, and of the label where one counts (mm)."""
    row = selection.row or {}
    label, limits = row.get("simplified") or {}, row.get("limits") or {}
    return max(float(limits.get(f"{distance}_min_mm") or 0.0), float(label.get(f"{distance}_mm") or 0.0))


def _as_far_as_all(distances: Sequence[float | None], felt_mm: float) -> float:
    """The distance at which no pull of the sample stood more favourably (mm); what lies beyond ``felt_mm`` is alike."""
    # The resistance is that of the whole sample: a few pulls near an edge show no fractile there, and the others would
    # hide that they held less. What nobody measured may have stood as far away as makes no difference.
    measured = [distance for distance in distances if distance is not None]
    counted = [felt_mm if distance is None else min(distance, felt_mm) for distance in distances]
    return max(*counted, min(measured, default=felt_mm))


def _state(tests: wanted.AllowableTests, crack_min_mm: float | None, pulls: Sequence[Pull]) -> tuple[str, float | None]:
    """What the pulls stand for: cracked concrete only where a crack of the rulebook's width ran through each place."""
    if tests.base_material_kind == BaseMaterial.MASONRY:
        return NO_CONCRETE, None
    narrowest = min(pull.crack_mm for pull in pulls)
    # A rulebook that names no width lets no pulls stand for cracked concrete.
    if crack_min_mm is not None and narrowest >= crack_min_mm:
        return CRACKED, narrowest
    return UNCRACKED, None


def young_enough(reach: Reach, day: date) -> Requirement:
    """Whether the tests were made before a day, and are not too old on it.

    Args:
        reach: Their reach.
        day: The day of an assessment.

    Returns:
        The requirement.
    """
    start, until = reach.tested_on, reach.valid_until
    return Requirement(
        PullRequirementCode.SITE_TEST_AGE,
        start <= day <= until,
        {"day": day.isoformat(), "tested_on": start.isoformat(), "valid_until": until.isoformat()},
        f"{RULES}/reach/age_max_days",
        decisive=True,
    )


def state_reached(reach: Reach, state: str) -> Requirement:
    """Whether the concrete of a fixing is as the pulls show it. EN 1992-4:2018, 4.7: cracked unless shown otherwise.

    Args:
        reach: The reach of the pulls.
        state: State of the concrete of the fixing, or unknown.

    Returns:
        The requirement.
    """
    code, tested = PullRequirementCode.SITE_TEST_STATE, TestedState(reach.concrete_state)
    if tested is TestedState.NOT_CONCRETE:
        in_masonry: dict[str, Value] = {
            "state": BaseState.MASONRY,
            "tested": tested,
            "not_shown": None,
            "crack_min_mm": None,
        }
        return Requirement(code, True, in_masonry, decisive=True)
    met = state == UNCRACKED or tested is TestedState.CRACKED
    figures: dict[str, Value] = {
        "state": None if state == UNKNOWN else BaseState(state),
        "tested": tested,
        "not_shown": None if met else ConcreteState.CRACKED,
        "crack_min_mm": None if met else reach.crack_min_mm,
    }
    rule = None if reach.crack_min_mm is None else f"{RULES}/allowable_tests/crack_width_min_mm"
    return Requirement(code, met, figures, rule, "4.7", decisive=True)
