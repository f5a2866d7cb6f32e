"""Five thousand requests in each of which one thing is wrong that people are hurt by: none of them is verified.

Each takes a reference fixing that is verified, so that nothing else stands in the way, and makes one thing worse. That
it must not pass then is common practice, no source, or the assessment's own limit, which is read from the family.
"""

from __future__ import annotations

import copy
from functools import cache
from random import Random
from typing import TYPE_CHECKING, Any

import pytest

from service.contract.verification import VerificationRequest
from service.rulebook import plain
from service.verification import verify
from service.verification.refusal import RefusedRequest
from tests.shipped import shipped_rules

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

Request = dict[str, Any]
RULEBOOK = shipped_rules()
CONTRACT = VerificationRequest()
SIDES = {"x_plus_mm": ("x_mm", 1), "x_minus_mm": ("x_mm", -1), "y_plus_mm": ("y_mm", 1), "y_minus_mm": ("y_mm", -1)}
TIMES = 3
REFUSED = "refused"


def verdict(request: Request) -> str:
    if CONTRACT.validate(request):
        return REFUSED
    try:
        return str(verify(request, RULEBOOK)["verdict"])
    except RefusedRequest:
        return REFUSED


@cache
def fixings() -> list[Request]:
    """Reference fixings that are verified."""
    requests = [plain(fixing["request"]) for fixing in RULEBOOK.reference]
    return [request for request in requests if verdict(request) == "verified"]


def family_of(request: Request) -> Mapping[str, Any]:
    return RULEBOOK.families[request["fastener"]["family"]]


def row_of(request: Request) -> Mapping[str, Any]:
    size = family_of(request)["sizes"][request["fastener"]["size"]]
    row: Mapping[str, Any] = size["embedments"][f"{request['fastener']['embedment_mm']:g}"]
    return row


def loads_of(request: Request) -> list[dict[str, Any]]:
    return [*request.get("load_cases", []), *request.get("actions", [])]


def far_side(request: Request, side: str) -> float:
    name, sign = SIDES[side]
    return float(max(sign * position[name] for position in request["positions"]))


def member_of_less_than_its_least_thickness(request: Request, chance: Random) -> None:
    least = row_of(request)["limits"]["member_thickness_min_mm"]
    request["member"]["thickness_mm"] = least - chance.choice([1, 5, 20, least - 20])


def hole_that_comes_out_behind(request: Request, chance: Random) -> None:
    depth = row_of(request)["depth"]
    request["member"]["thickness_mm"] = (depth["hole_mm"] or depth["nominal_mm"]) + chance.choice([0, 1])


def edge_a_millimetre_too_near(request: Request, chance: Random) -> None:
    side = chance.choice([*SIDES])
    least = row_of(request)["limits"]["edge_min_mm"]
    request["member"].setdefault("edges", {})[side] = far_side(request, side) + least - chance.choice([1, 10])


def past_an_edge_by_a_millimetre(request: Request, chance: Random) -> None:
    side = chance.choice([*SIDES])
    request["member"].setdefault("edges", {})[side] = far_side(request, side) - 1


def second_fastener_too_near(request: Request, chance: Random) -> None:
    first = chance.choice(request["positions"])
    off = row_of(request)["limits"]["spacing_min_mm"] - chance.choice([1, 10, 20])
    request["positions"].append({"x_mm": first["x_mm"] + off, "y_mm": first["y_mm"]})
    for name in {"width_mm", "depth_mm"} & request.get("fixture", {}).keys():
        request["fixture"][name] += 200


def heavier_than_it_holds(request: Request, chance: Random) -> None:
    used = verify(request, RULEBOOK)["governing"]
    # Every utilisation of tension or shear alone grows with the actions; a thousand is more than any fixing has left.
    factor = 1000 if used is None else (1 + chance.random()) * 1.01 / used["utilisation"]
    for case in loads_of(request):
        for name in [name for name in case if name.endswith(("_kn", "_knm"))]:
            case[name] *= factor


def all_that_is_asked_of_the_site_unknown(request: Request, chance: Random) -> None:
    request["site"] = dict.fromkeys(RULEBOOK.factors["site-conditions"]["conditions"], "unknown")
    del chance


def exposure_that_eats_the_steel(request: Request, chance: Random) -> None:
    request["use"]["exposure"] = chance.choice(exposures_not_covered(request))


def drill_that_the_assessment_does_not_know(request: Request, chance: Random) -> None:
    request.setdefault("site", {})["drilling"] = chance.choice(drills_not_known(request))


def resin_in_frozen_water(request: Request, chance: Random) -> None:
    request["use"] |= {
        "hole": chance.choice(["wet", "flooded", "unknown"]),
        "coldest_until_cured_c": -chance.randint(1, 30),
    }


def day_before_the_approval(request: Request, chance: Random) -> None:
    request["assessed_on"] = chance.choice(["2020-01-01", "2025-12-31", "2099-01-01"])


def size_that_the_family_has_not(request: Request, chance: Random) -> None:
    request["fastener"] |= chance.choice([
        {"size": "M99"},
        {"embedment_mm": 71.5},
        {"family": "bolt"},
        {"length_mm": 5},
    ])


def plate_thicker_than_the_fastener_reaches(request: Request, chance: Random) -> None:
    longest = max(length["fixture_thickness_max_mm"] for length in row_of(request)["lengths"])
    request["fixture"]["thickness_mm"] = longest + chance.choice([1, 10])


def neighbour_close_by(request: Request, chance: Random) -> None:
    first = chance.choice(request["positions"])
    off = {"x_mm": first["x_mm"] + chance.choice([-20, 20]), "y_mm": first["y_mm"] + chance.choice([0, 5])}
    state = chance.choice(["loaded", "unknown", "unloaded", "open_hole"])
    depth = {"hole_depth_mm": chance.choice([60, 150]), "hole_diameter_mm": 12} if state == "open_hole" else {}
    request["neighbours"] = [off | depth | {"state": state}]


def old_hole_close_by(request: Request, chance: Random) -> None:
    first = chance.choice(request["positions"])
    deep = {"hole_diameter_mm": chance.choice([8, 16]), "hole_depth_mm": chance.choice([60, 120])}
    off = {"x_mm": first["x_mm"] + chance.choice([-15, 15]), "y_mm": first["y_mm"]}
    request["neighbours"] = [off | deep | {"state": chance.choice(["open_hole", "filled_hole"])}]


def not_solid_concrete(request: Request, chance: Random) -> None:
    request["member"]["material"] = chance.choice(["hollow_core_slab", "lightweight_concrete", "masonry", "unknown"])


def for_lifting_people_or_their_lives(request: Request, chance: Random) -> None:
    request["use"]["consequence"] = [chance.choice(family_of(request)["uses_excluded"])]


def on_one_point_alone(request: Request, chance: Random) -> None:
    request["use"]["redundancy"] = chance.choice([
        {"points": 2, "fasteners_per_point": 1, "bridging_shown_by": "structural engineer"},
        {"points": 8, "fasteners_per_point": 1},
        {"points": 1},
    ])


def no_figure_at_all(request: Request, chance: Random) -> None:
    case = chance.choice(loads_of(request))
    case["normal_kn"] = chance.choice([float("nan"), float("inf"), 1e300, "2"])


def exposures_not_covered(request: Request) -> list[str]:
    return [one for one in RULEBOOK.factors["exposures"]["exposures"] if one not in family_of(request)["exposures"]]


def drills_not_known(request: Request) -> list[str]:
    # A drill that nobody names is the one that the sheet will name; its factor is the least.
    known = {*family_of(request)["installation"]["drilling_methods"], "unknown"}
    methods = RULEBOOK.factors["site-conditions"]["conditions"]["drilling"]["values"]
    return [one for one in methods if one not in known] if drilled(request) else []


def nobody_knows_the_concrete(request: Request, chance: Random) -> None:
    member = request["member"]
    for name in [name for name in member if name.startswith("strength")]:
        del member[name]
    del chance


def drilled(request: Request) -> bool:
    return str(family_of(request)["mechanism"]) != "headed_fastener"


def in_resin(request: Request) -> bool:
    return bool(family_of(request)["installation"]["working_and_curing"])


def excludes_uses(request: Request) -> bool:
    return bool(family_of(request).get("uses_excluded"))


def needs_redundancy(request: Request) -> bool:
    redundant_only: bool = family_of(request)["assessment"]["covers"]["redundant_use_only"]
    return redundant_only


def clamps_its_fixture(request: Request) -> bool:
    lengths = row_of(request)["lengths"]
    return bool(lengths and all(length["fixture_thickness_max_mm"] for length in lengths))


def anything(request: Request) -> bool:
    del request
    return True


DANGERS: Mapping[Callable[[Request, Random], None], Callable[[Request], object]] = {
    member_of_less_than_its_least_thickness: anything,
    hole_that_comes_out_behind: anything,
    edge_a_millimetre_too_near: anything,
    past_an_edge_by_a_millimetre: anything,
    second_fastener_too_near: anything,
    heavier_than_it_holds: anything,
    nobody_knows_the_concrete: anything,
    all_that_is_asked_of_the_site_unknown: in_resin,
    exposure_that_eats_the_steel: exposures_not_covered,
    drill_that_the_assessment_does_not_know: drills_not_known,
    resin_in_frozen_water: in_resin,
    day_before_the_approval: anything,
    size_that_the_family_has_not: anything,
    plate_thicker_than_the_fastener_reaches: clamps_its_fixture,
    neighbour_close_by: anything,
    old_hole_close_by: anything,
    not_solid_concrete: anything,
    for_lifting_people_or_their_lives: excludes_uses,
    on_one_point_alone: needs_redundancy,
    no_figure_at_all: anything,
}


def test_there_are_as_many_as_that() -> None:
    assert len(fixings()) > 100
    assert sum(TIMES * len([*filter(meets, fixings())]) for meets in DANGERS.values()) > 5_000


@pytest.mark.parametrize("danger", DANGERS, ids=lambda danger: danger.__name__)
def test_none_is_verified(danger: Callable[[Request, Random], None]) -> None:
    chance, verified = Random(danger.__name__), []  # noqa: S311 - the same requests in every run
    for fixing in filter(DANGERS[danger], fixings()):
        for _ in range(TIMES):
            request = copy.deepcopy(fixing)
            danger(request, chance)
            if verdict(request) == "verified":
                verified.append(request)
    assert verified == []
