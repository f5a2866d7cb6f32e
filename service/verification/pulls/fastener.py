"""The fastener that was pulled: as the rulebook has it, what its steel bears, and what its resin loses in warmth."""

from __future__ import annotations

import math
from dataclasses import replace

from service.contract import wanted
from service.engine.en1992_4 import steel_shear, steel_tension
from service.rulebook import Rulebook
from service.verification.assumptions import WEAKEST_COVERED
from service.verification.fixing import N_PER_KN
from service.verification.refusal import Refusal, RefusedRequest
from service.verification.selection import Selection, select


def pulled_fastener(fastener: wanted.PulledFastener, rulebook: Rulebook, place: str) -> Selection:
    """The pulled fastener in the rulebook.

    Args:
        fastener: The fastener of tests or of a lot.
        rulebook: The rulebook.
        place: Where the tests stand in the request, as a JSON pointer.

    Returns:
        Family, size and embedment.

    Raises:
        RefusedRequest: For one that the rulebook has not, with those it has.
    """
    try:
        selection = select(fastener, rulebook)
    except RefusedRequest as refused:
        moved = (replace(error, pointer=place + error.pointer.removeprefix("#")) for error in refused.errors)
        raise RefusedRequest(*moved) from None
    if selection.row is None:
        known = ", ".join(selection.size["embedments"])
        allowed = {"allowed": [row["depth"]["effective_mm"] for row in selection.size["embedments"].values()]}
        words = f"{selection.family_id} {selection.size_name} has no such embedment; it has {known} mm"
        raise RefusedRequest(Refusal(f"{place}/fastener/embedment_mm", "not_allowed", words, allowed))
    return selection


def label_n(selection: Selection) -> float:
    """What the label of a fastener states (N), infinite where its assessment gives the full figures."""
    simplified = (selection.row or {}).get("simplified")
    return math.inf if simplified is None else float(simplified["resistance_kn"]) * N_PER_KN


def steel_n(selection: Selection) -> float:
    """Most that the fastener itself bears in tension: N_Rk,s, and no more than its label states (N)."""
    return min(label_n(selection), ultimate_n(selection))


def ultimate_n(selection: Selection) -> float:
    """What the steel of a fastener bears in tension, N_Rk,s; infinite where nothing is known of its steel (N)."""
    steel, geometry = selection.size["steel"], selection.size["geometry"]
    if steel is None:
        return math.inf
    if steel["tension_kn"] is not None:
        return float(steel["tension_kn"]) * N_PER_KN
    area, strength = float(geometry["stress_area_mm2"]), float(steel["tensile_strength_mpa"])
    return steel_tension.steel_resistance(area, strength)


def yield_n(selection: Selection) -> float:
    """Load at which the steel of a fastener yields, A_s·f_yk; infinite where nothing is known of its steel (N)."""
    steel, area = selection.size["steel"], selection.size["geometry"]["stress_area_mm2"]
    return math.inf if steel is None or area is None else float(area) * float(steel["yield_strength_mpa"])


def steel_shear_n(selection: Selection, count: int) -> float:
    """Most that one fastener of a group itself bears in shear: k7·V0_Rk,s, and no more than its label states (N)."""
    steel, geometry = selection.size["steel"], selection.size["geometry"]
    if steel is None:
        return label_n(selection)
    alone = (
        float(steel["shear_kn"]) * N_PER_KN
        if steel["shear_kn"] is not None
        else steel_shear.steel_resistance(float(geometry["stress_area_mm2"]), float(steel["tensile_strength_mpa"]))
    )
    factor = steel_shear.group_factor(steel["shear_group_factor"], count, bool(steel["ductile"]))
    return min(label_n(selection), factor * alone)


def warmth_factor(selection: Selection, temperature_range: str) -> float | None:
    """What resin that was pulled on a cool day loses in a temperature range.

    The assessment's own figures show it: bond in the range over bond in the strongest one, the least of what it gives
    for cracked and uncracked concrete and each condition of the hole.

    Args:
        selection: The fastener.
        temperature_range: Range of the use, or that the weakest one counts.

    Returns:
        Factor on the resistance (no unit); 1 where the fastener has no resin, None where the range is not assessed.
    """
    bond = selection.size["bond"]
    if bond is None:
        return 1.0
    shares: list[float] = []
    for by_hole in bond["characteristic_mpa"].values():
        for by_range in (by_hole or {}).values():
            bonds = {name: float(tau) for name, tau in (by_range or {}).items() if tau is not None}
            names = bonds if temperature_range == WEAKEST_COVERED else [temperature_range]
            shares += [bonds[name] / max(bonds.values()) for name in names if name in bonds]
    return min(shares, default=None)
