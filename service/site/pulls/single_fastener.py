"""What a single fastener holds in tension by its assessment: a lot is not pulled for an action beyond it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from service.contract import wanted
from service.contract.site_test_codes import PlanRequirementCode
from service.contract.terms import HOLES
from service.contract.verification_codes import ConcreteState, Mode
from service.engine import verification as mechanics
from service.engine.model import Fixing, LoadCase, Member, Reinforcement
from service.rulebook import Rulebook
from service.verification import fixing as assembly
from service.verification.assumptions import Assumptions, strength, use
from service.verification.fastener import fastener
from service.verification.fixing import N_PER_KN
from service.verification.loads import partial_factors
from service.verification.redundancy import Point
from service.verification.requirements import Requirement
from service.verification.selection import Selection
from service.words import Value

WEAKEST_CLASS = "C20/25"
"""The strength that is taken where nobody says it."""
DEEP = 10.0
"""So many times h_ef thick, a member does not weaken a single fastener."""
PLATE_MM = 100.0


@dataclass(frozen=True, slots=True)
class Held:
    """What holds least in tension: its mode and its design resistance (N)."""

    mode: Mode
    resistance_n: float


def within_resistance(selection: Selection, lot: Mapping[str, Any], rulebook: Rulebook) -> Iterator[Requirement]:
    """Whether a lot is asked for no more than a single fastener holds; nothing where its assessment gives no figure.

    Args:
        selection: The fastener.
        lot: The lot, with its service action and, where it has them, strength class and state of the concrete.
        rulebook: The rulebook.

    Yields:
        The requirement.
    """
    name, state = lot.get("strength_class") or WEAKEST_CLASS, _state(selection, lot.get("state"))
    # Nobody told what share of it is permanent, so that all of it counts as variable.
    factor = partial_factors(rulebook).variable
    action_n = factor * float(lot["service_action_kn"]) * N_PER_KN
    held = held_alone(selection, action_n, name, state, rulebook)
    if held is None:
        return
    figures: dict[str, Value] = {
        "action_kn": action_n / N_PER_KN,
        "resistance_kn": held.resistance_n / N_PER_KN,
        "service_kn": float(lot["service_action_kn"]),
        "factor": factor,
        "mode": held.mode,
        "strength_class": name,
        "state": state,
    }
    met = action_n <= held.resistance_n
    yield Requirement(PlanRequirementCode.WITHIN_RESISTANCE, met, figures, selection.row_path())


def _state(selection: Selection, given: str | None) -> ConcreteState:
    """The state that is said; else cracked, but for what is assessed for uncracked concrete only."""
    if given is not None:
        return ConcreteState(given)
    covered = selection.family["assessment"]["covers"][ConcreteState.CRACKED]
    return ConcreteState.CRACKED if covered else ConcreteState.UNCRACKED


def held_alone(
    selection: Selection, action_n: float, strength_class: str, state: ConcreteState, rulebook: Rulebook
) -> Held | None:
    """What a fastener by itself holds in tension, far from edges, in the weakest use that its assessment covers.

    Args:
        selection: The fastener.
        action_n: The tension to hold it under (N).
        strength_class: Strength class of the concrete.
        state: Whether it is cracked.
        rulebook: The rulebook.

    Returns:
        The mode that holds least; None where the assessment gives no resistance in this concrete.
    """
    covers = selection.family["assessment"]["covers"]
    untold = Assumptions()
    taken = strength(wanted.Member(strength_class=strength_class, thickness_mm=PLATE_MM), rulebook, untold)
    if not covers[state] or not covers["strength_min_mpa"] <= taken.f_ck_mpa <= covers["strength_max_mpa"]:
        return None
    wettest = max(covers["hole_conditions"], key=HOLES.index, default=None)
    alone = Point(fasteners=1, action_kn=action_n / N_PER_KN, turned=False)
    in_use = use(wanted.Use(hole=wettest), rulebook, selection.family, alone, untold)
    embedment_mm = float((selection.row or {})["depth"]["effective_mm"])
    plate = wanted.Fixture(width_mm=PLATE_MM, depth_mm=PLATE_MM, clearance="filled")
    member = Member(
        f_ck_mpa=taken.f_ck_mpa,
        cracked=state == ConcreteState.CRACKED,
        thickness_mm=DEEP * embedment_mm,
        edges_mm=(math.inf,) * 4,
        reinforcement=Reinforcement(None, None, "none", None, False),
    )
    fixing = Fixing(
        fastener=fastener(selection, member, in_use),
        positions=((0.0, 0.0),),
        member=member,
        fixture=assembly.fixture(plate, selection, untold),
        factors=assembly.factors(selection, rulebook, in_use.situation),
        site_factor=1.0,
        load_cases=(LoadCase("pull", "design", action_n, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0),),
    )
    checks = [check for result in mechanics.verify(fixing, False, False) for check in result.checks]
    held = [Held(Mode(check.mode), action_n / check.utilisation) for check in checks if check.utilisation > 0.0]
    return min(held, key=lambda one: one.resistance_n, default=None)
