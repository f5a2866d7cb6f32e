"""Site tests over HTTP: from the plan to a resistance that a verification uses, and what is refused."""

# A case a row: the tables are read down their columns.
# ruff: noqa: E501

from __future__ import annotations

import copy
import math
from typing import Any

import numpy as np
import pytest
from scipy.stats import nct, norm

from service.contract import site_tests as shapes
from tests.api.holding import HeldClient, errors_of
from tests.shipped import VERSION

PLANS, ASSESSMENTS, VERIFICATIONS = "/v1/site-tests/plans", "/v1/site-tests/assessments", "/v1/verifications"
SOUND_BARS = [92.0, 101.0, 88.0, 95.0, 99.0, 104.0, 90.0]
MATERIAL = "no-fines concrete of the gallery, north wall"


def changed(request: dict[str, Any], value: Any, *path: str | int) -> dict[str, Any]:
    """Copy a request with a value at a place."""
    copied = copy.deepcopy(request)
    place: Any = copied
    for step in path[:-1]:
        place = place[step]
    place[path[-1]] = value
    return copied


def answered(client: HeldClient, path: str, request: dict[str, Any]) -> dict[str, Any]:
    response = client.post(path, json=request)
    assert response.status_code == 200, response.get_json()
    found: dict[str, Any] = response.get_json()
    return found


def assessed(client: HeldClient, request: dict[str, Any]) -> dict[str, Any]:
    found: dict[str, Any] = answered(client, ASSESSMENTS, request)["allowable_resistance"]
    return found


OFF = 0.01
"""Accuracy of the example's gauge, which it states as 1 %."""


def loads_kn(bars: list[float]) -> list[float]:
    """The example's calibration by numpy, an independent interpolation, less what the gauge may be off."""
    points = shapes.GAUGE["points"]
    return [
        float(x) * (1 - OFF)
        for x in np.interp(bars, [p["reading_bar"] for p in points], [p["load_kn"] for p in points])
    ]


def characteristic_kn(bars: list[float]) -> float:
    """Seven pulls by numpy and SciPy's noncentral t: m − k·s, s at least a tenth of m (EN 1990 D.7, from memory)."""
    loads = loads_kn(bars)
    assert len(loads) == 7
    k = float(nct.ppf(0.9, 6, norm.ppf(0.95) * math.sqrt(7))) / math.sqrt(7)
    return float(np.mean(loads) - k * max(np.std(loads, ddof=1), 0.10 * np.mean(loads)))


def unmet(entries: list[dict[str, Any]]) -> list[str]:
    return [entry["code"] for entry in entries if not entry["met"]]


# --- three sets of seven pulls ---


def test_seven_sound_pulls_give_a_resistance(client: HeldClient) -> None:
    """Source: numpy and SciPy's noncentral t."""
    found = assessed(client, shapes.SOUND_PULLS)
    loads, characteristic = loads_kn(SOUND_BARS), characteristic_kn(SOUND_BARS)
    k = float(nct.ppf(0.9, 6, norm.ppf(0.95) * math.sqrt(7))) / math.sqrt(7)
    assert found["verdict"] == "resistance"
    assert [pull["load_kn"] for pull in found["pulls"]] == pytest.approx(loads, rel=1e-5)
    assert found["origin"]["characteristic_resistance_kn"] == pytest.approx(characteristic, rel=1e-5)
    assert found["design_resistance_kn"] == pytest.approx(characteristic / 2.5, rel=1e-5)
    assert found["statistics"]["tolerance_factor"] == pytest.approx(k, rel=1e-5)
    assert found["statistics"]["distribution"] == "normal"
    assert found["outliers"] == []
    assert found["without_outliers"] is None
    assert found["origin"]["number_of_tests"] == 7
    assert found["origin"]["valid_until"] == "2027-11-02"
    assert (
        found["origin"]["reach"] | {"base_material": MATERIAL, "edge_min_mm": 250, "spacing_min_mm": 300}
        == found["origin"]["reach"]
    )


def test_outlier_is_named_and_stays(client: HeldClient) -> None:
    answer = answered(client, ASSESSMENTS, shapes.PULLS_WITH_AN_OUTLIER)
    found = answer["allowable_resistance"]
    assert [outlier["name"] for outlier in found["outliers"]] == ["T7"]
    assert found["outliers"][0]["statistic"] > found["outliers"][0]["limit"]
    assert found["origin"]["number_of_tests"] == 7
    assert found["verdict"] == "resistance"
    without = found["without_outliers"]
    assert without["number_of_tests"] == 6
    assert without["characteristic_resistance_kn"] > found["origin"]["characteristic_resistance_kn"]
    assert "only where its cause is found and explained" in without["text"]
    assert "outlier_stays" in {caution["code"] for caution in answer["cautions"]}
    dropped = copy.deepcopy(shapes.PULLS_WITH_AN_OUTLIER)
    del dropped["allowable_resistance"]["pulls"][6]
    anew = assessed(client, dropped)["origin"]
    assert anew["characteristic_resistance_kn"] == without["characteristic_resistance_kn"]
    assert anew["id"] != found["origin"]["id"]


def test_too_much_scatter_gives_no_number(client: HeldClient) -> None:
    found = assessed(client, shapes.PULLS_THAT_SCATTER)
    assert found["verdict"] == "no_resistance"
    assert unmet(found["requirements"]) == ["site_test_scatter"]
    assert found["statistics"]["variation"] > 0.3
    assert found["site_test"] is None
    numbers = (found["origin"]["characteristic_resistance_kn"], found["design_resistance_kn"])
    within = tuple(found["statistics"][name] for name in ("normal_kn", "log_normal_kn", "before_cap_kn"))
    assert numbers + within == (None,) * 5


@pytest.mark.parametrize("failure", ["none", "steel"])
def test_fewer_than_five_failures_give_no_number(client: HeldClient, failure: str) -> None:
    """Three of seven are lower bounds, so four failures are left."""
    request = copy.deepcopy(shapes.SOUND_PULLS)
    for index in (1, 4, 5):
        request["allowable_resistance"]["pulls"][index] |= {"failure": failure, "reading_bar": 240}
    answer = answered(client, ASSESSMENTS, request)
    found = answer["allowable_resistance"]
    assert (found["verdict"], found["statistics"], found["design_resistance_kn"]) == ("no_resistance", None, None)
    assert unmet(found["requirements"]) == ["site_test_number"]
    assert [pull["counted"] for pull in found["pulls"]] == [True, False, True, True, False, False, True]
    assert "bounds_not_counted" in {caution["code"] for caution in answer["cautions"]}


def test_bridge_too_near_gives_no_number(client: HeldClient) -> None:
    """Common practice, no source: twice h_ef of 75 mm is 150 mm."""
    found = assessed(client, changed(shapes.SOUND_PULLS, 149, "allowable_resistance", "support_distance_mm"))
    assert unmet(found["requirements"]) == ["site_test_support"]
    assert found["site_test"] is None


def test_headed_fasteners_have_no_resistance_from_pulls(client: HeldClient) -> None:
    family = client.get("/v1/families/headed-stud").get_json()["family"]
    size, data = next(iter(family["sizes"].items()))
    depth = next(iter(data["embedments"].values()))["depth"]["effective_mm"]
    request = changed(
        shapes.SOUND_PULLS,
        {"family": "headed-stud", "size": size, "embedment_mm": depth},
        "allowable_resistance",
        "fastener",
    )
    request["allowable_resistance"]["support_distance_mm"] = 2000
    found = assessed(client, request)
    assert unmet(found["requirements"]) == ["site_test_mechanism", "site_test_above_zero"]


def test_readings_in_kg_are_masses_that_hang(client: HeldClient) -> None:
    """Source: BIPM SI Brochure, g_n 9.80665 m/s²: 2000 kg are 19.6133 kN, less 1 % that the gauge may be off."""
    request = copy.deepcopy(shapes.SOUND_PULLS)
    request["allowable_resistance"]["gauge"]["points"] = None
    for index, pull in enumerate(request["allowable_resistance"]["pulls"]):
        del pull["reading_bar"]
        pull["reading_kg"] = 2000 + 10 * index
    assert assessed(client, request)["pulls"][0]["load_kn"] == pytest.approx(19.6133 * (1 - OFF), rel=1e-5)


# --- its use in a verification ---


def by_pulls(client: HeldClient) -> dict[str, Any]:
    """The example of a verification with what the assessment gave back, unchanged."""
    return changed(shapes.PIPE_ON_UNKNOWN_WALL, assessed(client, shapes.SOUND_PULLS)["site_test"], "site_test")


def test_sound_pulls_carry_a_verification_and_their_origin_into_its_answer(client: HeldClient) -> None:
    answer = answered(client, VERIFICATIONS, by_pulls(client))
    origin = assessed(client, shapes.SOUND_PULLS)["origin"]
    assert answer["verdict"] == "verified"
    assert {check["mode"] for check in answer["checks"]} == {"simplified_resultant"}
    assert answer["site_test"] == origin
    [check] = answer["checks"]
    assert check["characteristic_resistance_kn"] == origin["characteristic_resistance_kn"]
    assert check["partial_factor"] == 2.5
    assert check["design_action_kn"] == pytest.approx(math.hypot(1.5, 0.6), rel=1e-5)
    used = check["design_action_kn"] / check["design_resistance_kn"] / answer["site_reduction"]["factor"]
    assert check["utilisation"] == pytest.approx(used, rel=1e-4)
    words = next(caution["text"] for caution in answer["cautions"] if caution["code"] == "site_test_reach")
    assert "7 pulls to failure on 2026-11-02" in words
    assert MATERIAL in words


def test_verification_without_pulls_has_no_word_of_them(client: HeldClient, guardrail_post: dict[str, Any]) -> None:
    answer = answered(client, VERIFICATIONS, guardrail_post)
    assert "site_test" not in answer
    assert not any(entry["code"].startswith("site_test") for entry in answer["requirements"] + answer["cautions"])


REACH = [
    pytest.param("2027-11-03", ("assessed_on",), ["site_test_age"], id="too old"),
    pytest.param("2026-11-01", ("assessed_on",), ["site_test_age"], id="before the tests"),
    pytest.param("the same wall, south side", ("base_material",), ["site_test_base_material"], id="another wall"),
    pytest.param("diamond_core", ("site", "drilling"), ["site_test_drilling"], id="drilled otherwise"),
    pytest.param("wet", ("use", "hole"), ["site_test_hole"], id="another hole"),
    pytest.param(50, ("fastener", "embedment_mm"), ["site_test_fastener"], id="another embedment"),
    pytest.param("M16", ("fastener", "size"), ["site_test_fastener"], id="another size"),
    pytest.param(199, ("member", "thickness_mm"), ["site_test_thickness"], id="thinner"),
    pytest.param(699, ("member", "edges", "x_minus_mm"), ["site_test_shear_edge"], id="edge under shear"),
    pytest.param(249, ("member", "edges", "x_minus_mm"), ["site_test_edge", "site_test_shear_edge"], id="edge"),
    pytest.param(149, ("positions", 1, "y_mm"), ["site_test_spacing"], id="closer"),
    pytest.param(10, ("fixture", "stand_off_mm"), ["site_test_contact"], id="stand-off"),
    pytest.param("sha256:" + "0" * 64, ("site_test", "id"), ["site_test_id"], id="other tests"),
    pytest.param(100, ("site_test", "tests", "support_distance_mm"), ["site_test_support", "site_test_id"], id="bridge"),
    pytest.param(130, ("site_test", "tests", "pulls", 0, "reading_bar"), ["site_test_id"], id="a pull was changed"),
]  # fmt: skip


@pytest.mark.parametrize(("value", "path", "codes"), REACH)
def test_beyond_its_reach_there_is_no_number(
    client: HeldClient, value: Any, path: tuple[str | int, ...], codes: list[str]
) -> None:
    answer = answered(client, VERIFICATIONS, changed(by_pulls(client), value, *path))
    found = [code for code in unmet(answer["requirements"]) if code.startswith("site_test")]
    assert (answer["verdict"], answer["checks"], found) == ("not_verified", [], codes)


@pytest.mark.parametrize(("kn", "met"), [(-20, True), (-30, False)])
def test_pulls_show_no_pressure_that_the_wall_bears(client: HeldClient, kn: float, met: bool) -> None:
    """120 by 400 mm: 24 kN are 0.5 MPa. A plate pressed with 300 kN on no-fines concrete was verified as on C20/25."""
    pressed = changed(by_pulls(client), [{"name": "pressed", "kind": "design", "normal_kn": kn}], "load_cases")
    answer = answered(client, VERIFICATIONS, pressed)
    assert ("contact_pressure" not in unmet(answer["requirements"])) is met
    assert (answer["verdict"] == "verified") is met
    told = changed(pressed, "C20/25", "member", "strength_class")
    # Where the member is concrete of a strength that is told, that bears; in another material it says nothing.
    assert answered(client, VERIFICATIONS, told)["verdict"] == "verified"
    hollow = changed(told, "hollow_core_slab", "member", "material")
    assert (answered(client, VERIFICATIONS, hollow)["verdict"] == "verified") is met


def test_each_edge_and_pair_beyond_the_reach_is_told(client: HeldClient) -> None:
    near = changed(by_pulls(client), 249, "member", "edges", "x_minus_mm")
    asked = {entry["code"]: entry["figures"] for entry in answered(client, VERIFICATIONS, near)["requirements"]}
    # Both fasteners stand over each other, as near to the edge.
    assert asked["site_test_edge"]["near_edges"] == ["x_minus", "x_minus"]
    assert asked["site_test_edge"]["near_edge_numbers"] == [1, 2]
    assert asked["site_test_edge"]["near_edges_mm"] == [249, 249]
    assert asked["site_test_spacing"]["near_spacings_mm"] is None
    close = changed(by_pulls(client), 149, "positions", 1, "y_mm")
    asked = {entry["code"]: entry["figures"] for entry in answered(client, VERIFICATIONS, close)["requirements"]}
    pair = asked["site_test_spacing"]
    assert (pair["near_first_numbers"], pair["near_second_numbers"]) == ([1], [2])
    assert pair["near_spacings_mm"] == [pair["spacing_mm"]]


def test_without_shear_the_edge_may_be_as_near_as_it_was_tested(client: HeldClient) -> None:
    request = changed(by_pulls(client), 250, "member", "edges", "x_minus_mm")
    request["load_cases"][0]["shear_y_kn"] = 0
    assert answered(client, VERIFICATIONS, request)["verdict"] == "verified"


def test_invented_pulls_do_not_become_a_resistance_of_the_base_material_above_steel_in_shear(
    client: HeldClient,
) -> None:
    """Under shear the steel's shear resistance caps what the pulls give: M12 of the demonstration, V0_Rk,s 27.6 kN."""
    request = copy.deepcopy(shapes.PIPE_ON_UNKNOWN_WALL)
    tests = request["site_test"]["tests"]
    tests["gauge"]["points"] = None
    for index, pull in enumerate(tests["pulls"]):
        del pull["reading_bar"]
        pull["reading_kn"] = 48 + index / 10
    family = client.get("/v1/families/bolt-expansion-stainless").get_json()["family"]
    steel = family["sizes"]["M12"]["steel"]
    [check] = answered(client, VERIFICATIONS, request)["checks"]
    assert check["characteristic_resistance_kn"] == pytest.approx(
        steel["shear_kn"] * (steel["shear_group_factor"] or 1.0)
    )


def test_pulls_that_give_nothing_verify_nothing(client: HeldClient) -> None:
    request = changed(
        shapes.PIPE_ON_UNKNOWN_WALL, shapes.PULLS_THAT_SCATTER["allowable_resistance"], "site_test", "tests"
    )
    answer = answered(client, VERIFICATIONS, request)
    assert (answer["verdict"], answer["checks"]) == ("not_verified", [])
    assert unmet(answer["requirements"]) == ["site_test_scatter"]
    assert answer["site_test"]["characteristic_resistance_kn"] is None


@pytest.mark.parametrize("hole", ["dry", "flooded"])
def test_bonded_fastener_counts_six_tenths_for_creep(client: HeldClient, hole: str) -> None:
    """Source: EN 1992-4, 7.2.1.6: 0.6 where an assessment gives nothing (from memory); also in a hole it does not cover."""
    request = copy.deepcopy(shapes.PIPE_ON_UNKNOWN_WALL)
    family = client.get("/v1/families/bonded-rod-hybrid-fast").get_json()["family"]
    size, data = next(iter(family["sizes"].items()))
    rod = {
        "family": family["id"],
        "size": size,
        "embedment_mm": next(iter(data["embedments"].values()))["depth"]["effective_mm"],
    }
    request["fastener"] = request["site_test"]["tests"]["fastener"] = rod
    request["site_test"]["tests"] |= {"hole": hole, "support_distance_mm": 1000, "curing_over": True}
    request["use"] |= {"hole": hole, "temperature_range": "I"}
    request["fixture"]["depth_mm"] = 4000
    request["positions"] = [{"x_mm": 0, "y_mm": -1000}, {"x_mm": 0, "y_mm": 1000}]
    request["member"] = {"thickness_mm": 400, "state": "uncracked"}
    request["load_cases"][0]["shear_y_kn"] = 0
    [check] = answered(client, VERIFICATIONS, request)["checks"]
    assert check["characteristic_resistance_kn"] == pytest.approx(0.6 * characteristic_kn(SOUND_BARS), rel=1e-4)


def test_sizing_takes_no_pulls(client: HeldClient, free_holes: dict[str, Any]) -> None:
    response = client.post("/v1/sizings", json=free_holes | {"site_test": {"tests": {}}})
    [error] = errors_of(response)
    assert (response.status_code, error["pointer"], error["code"]) == (422, "#/site_test", "unknown_field")


# --- plans ---


def test_plan_says_how_many_how_hard_and_which(client: HeldClient) -> None:
    """Source: BS 8539 (from memory): 1.5 times 6.2 kN on 2.5 % of 140, at least 3; after a failure twice as many."""
    [lot] = answered(client, PLANS, shapes.LOTS)["lots"]
    assert (lot["ready"], lot["number_to_pull"], lot["after_one_failure"]["number_in_all"]) == (True, 4, 8)
    assert lot["proof_load"]["load_kn"] == 9.3
    assert lot["proof_load"]["reading_bar"] == pytest.approx(50 * 9.3 / (1 - OFF) / 9.8, rel=1e-5)
    drawn = lot["chosen"] + lot["after_one_failure"]["further"]
    assert len({one["number"] for one in drawn}) == 8
    assert {one["part"] for one in lot["chosen"]} == {"wall, first team", "corner in spray, second team"}
    assert all((one["number"] > 90) == (one["part"] == "corner in spray, second team") for one in drawn)
    assert lot["chosen"][0]["part"] == "corner in spray, second team"


def test_same_seed_draws_the_same_and_another_one_others(client: HeldClient) -> None:
    first = answered(client, PLANS, shapes.LOTS)["lots"][0]["chosen"]
    assert answered(client, PLANS, shapes.LOTS)["lots"][0]["chosen"] == first
    assert answered(client, PLANS, changed(shapes.LOTS, 2027, "lots", 0, "seed"))["lots"][0]["chosen"] != first


def test_softer_scheme_pulls_more(client: HeldClient) -> None:
    """Source: BS 8539 (from memory): 1.25 times on 5 % of 140."""
    [lot] = answered(client, PLANS, changed(shapes.LOTS, "more_softer", "lots", 0, "scheme"))["lots"]
    assert (lot["number_to_pull"], lot["proof_load"]["load_kn"]) == (7, 7.75)


def test_every_part_of_a_lot_has_a_pull(client: HeldClient) -> None:
    parts = [{"name": f"bay {n}", "first": 20 * n + 1, "last": 20 * n + 20} for n in range(7)]
    answer = answered(client, PLANS, changed(shapes.LOTS, parts, "lots", 0, "parts"))
    [lot] = answer["lots"]
    assert {one["part"] for one in lot["chosen"]} == {part["name"] for part in parts}
    assert "number_raised" in {caution["code"] for caution in answer["cautions"]}


@pytest.mark.parametrize(
    ("value", "path", "found"),
    [
        (24, ("service_action_kn",), ["within_resistance", "pull_below_steel"]),
        (104, ("support_distance_mm",), ["feet_far_enough"]),
    ],
)
def test_no_plan_that_harms_the_steel_or_holds_the_cone_down(
    client: HeldClient, value: float, path: tuple[str], found: list[str]
) -> None:
    [lot] = answered(client, PLANS, changed(shapes.LOTS, value, "lots", 0, *path))["lots"]
    assert unmet(lot["requirements"]) == found
    assert (lot["ready"], lot["proof_load"], lot["chosen"], lot["steps"]) == (False, None, [], [])


def test_more_pulls_lower_the_tolerance_factor(client: HeldClient) -> None:
    """Source: ISO 16269-6 (from memory): k of 10 at 95 % and 90 % is 2.568."""
    [tests] = answered(client, PLANS, shapes.UNKNOWN_WALL)["allowable_resistance"]
    factors = [row["tolerance_factor"] for row in tests["more_pulls"]]
    assert factors == sorted(factors, reverse=True)
    assert {row["pulls"]: row["tolerance_factor"] for row in tests["more_pulls"]}[10] == pytest.approx(2.568, abs=6e-4)
    assert any("sacrificed" in step for step in tests["steps"])


def test_four_pulls_are_no_plan(client: HeldClient) -> None:
    [tests] = answered(client, PLANS, changed(shapes.UNKNOWN_WALL, 4, "allowable_resistance", 0, "pulls"))[
        "allowable_resistance"
    ]
    assert unmet(tests["requirements"]) == ["enough_pulls_planned"]
    assert (tests["ready"], tests["stop_at"], tests["steps"]) == (False, None, [])


# --- proof tests ---


FIRST, FURTHER = ("127", "7", "92", "62"), ("118", "70", "133", "12")
"""What the example's plan draws; `test_assessment_draws_what_the_plan_drew` holds them to it."""


def proof(
    failures: dict[int, dict[str, Any]], pulls: int = 4, again: tuple[dict[str, Any], ...] = (), **rest: Any
) -> dict[str, Any]:
    """The example with so many pulls in the order drawn, some of them changed, and replacements behind."""
    request = copy.deepcopy(shapes.PROVEN_LOT)
    sound = request["proof"]["pulls"][0]
    drawn = [sound | {"name": name} | failures.get(n, {}) for n, name in enumerate((*FIRST, *FURTHER)[:pulls])]
    request["proof"]["pulls"] = drawn + [sound | {"name": f"new {n}"} | one for n, one in enumerate(again)]
    request["proof"] |= rest
    return request


OUT = {"failure": "pull_out"}
NEW = {"replaces": "127"}
WHY: dict[str, Any] = {"cause_of_failure": "drilled too deep"}


@pytest.mark.parametrize(
    ("request_", "step", "counted", "failed"),
    [
        pytest.param(proof({}), "accept", 4, 0, id="all held"),
        pytest.param(proof({}, 3), "continue", 3, 0, id="one more is wanted"),
        pytest.param(proof({0: OUT}), "investigate_and_extend", 4, 1, id="one failed"),
        pytest.param(proof({0: OUT}, 8, (NEW,)), "investigate_and_extend", 8, 1, id="one failed, no cause"),
        pytest.param(proof({0: OUT}, 7, (NEW,), **WHY), "investigate_and_extend", 7, 1, id="too few"),
        pytest.param(proof({0: OUT}, 8, **WHY), "investigate_and_extend", 8, 1, id="not replaced"),
        pytest.param(proof({0: OUT}, 8, (NEW | {"held_minutes": 0},), **WHY), "investigate_and_extend", 8, 1, id="replacement not held long"),
        pytest.param(proof({0: OUT}, 8, (NEW,), **WHY), "accept", 8, 1, id="explained and replaced"),
        pytest.param(proof({0: OUT}, 8, (NEW | OUT,), **WHY), "test_all_and_reconsider", 8, 2, id="replacement failed"),
        pytest.param(proof({0: OUT, 1: {"movement_mm": 0.6}}, 7, **WHY), "test_all_and_reconsider", 7, 2, id="two"),
        pytest.param(proof({0: {"reading_bar": 47}}), "continue", 3, 0, id="not hard enough"),
        pytest.param(proof({0: {"held_minutes": 0.5}}), "continue", 3, 0, id="not long enough"),
        pytest.param(proof({0: {"movement_mm": None}}), "continue", 3, 0, id="movement not read"),
        pytest.param(proof({}, support_distance_mm=80), "continue", 0, 0, id="bridge too near"),
        pytest.param(proof({0: {"reading_bar": 20} | OUT}), "investigate_and_extend", 4, 1, id="failed below the load"),
        pytest.param(proof({0: {"name": "1"}}), "continue", 3, 0, id="not drawn"),
        pytest.param(proof({0: {"name": "1"} | OUT}, 8), "investigate_and_extend", 7, 1, id="not drawn, and failed"),
        pytest.param(proof({0: {"name": "141"}}), "continue", 3, 0, id="not of the lot"),
        pytest.param(proof({0: {"name": "nearest the ladder"}}), "continue", 3, 0, id="no number"),
        pytest.param(proof({}, seed=2027), "continue", 0, 0, id="another seed"),
        pytest.param(proof({}, parts=None), "continue", 3, 0, id="other parts"),
        pytest.param(proof({0: {"reading_bar": 200}}), "continue", 3, 0, id="harmed"),
        pytest.param(proof({0: {"reading_bar": 200}}, 4, (NEW,)), "accept", 4, 0, id="harmed and replaced"),
        pytest.param(proof({0: {"reading_bar": 270}}), "continue", 3, 0, id="beyond what the steel bears"),
        pytest.param(proof({0: {"reading_bar": 20}}, 4, (NEW,)), "continue", 3, 0, id="not pulled hard, and exchanged"),
    ],
)  # fmt: skip
def test_proof_tests_by_the_plans_rules(
    client: HeldClient, request_: dict[str, Any], step: str, counted: int, failed: int
) -> None:
    """Source: BS 8539 (from memory); harmed by more than 0.8·A_s·f_yk, and no more than N_Rk,s of 51.5 kN (common practice)."""
    found = answered(client, ASSESSMENTS, request_)["proof"]
    assert (found["next_step"], found["number_counted"], found["number_failed"]) == (step, counted, failed)


# --- bad inputs ---

ALLOWABLE = "allowable_resistance"
REFUSED = [
    (
        VERIFICATIONS,
        shapes.PIPE_ON_UNKNOWN_WALL,
        "SHA256:0",
        ("site_test", "id"),
        "not_allowed",
        "#/site_test/id",
        "64 hexadecimal digits",
    ),
    (
        ASSESSMENTS,
        shapes.SOUND_PULLS,
        "unknown",
        (ALLOWABLE, "drilling"),
        "not_allowed",
        "#/allowable_resistance/drilling",
        "must be one of hammer",
    ),
    (
        ASSESSMENTS,
        shapes.SOUND_PULLS,
        "2026-11-01",
        (ALLOWABLE, "gauge", "valid_until"),
        "calibration_expired",
        "#/allowable_resistance/gauge/valid_until",
        "ended on 2026-11-01",
    ),
    (
        ASSESSMENTS,
        shapes.SOUND_PULLS,
        301,
        (ALLOWABLE, "pulls", 2, "reading_bar"),
        "outside_calibration",
        "#/allowable_resistance/pulls/2/reading_bar",
        "readings of 0 to 300 bar",
    ),
    (
        ASSESSMENTS,
        shapes.SOUND_PULLS,
        0,
        (ALLOWABLE, "pulls", 2, "reading_bar"),
        "below_minimum",
        "#/allowable_resistance/pulls/2/reading_bar",
        "above 0",
    ),
    (
        ASSESSMENTS,
        shapes.SOUND_PULLS,
        20,
        (ALLOWABLE, "pulls", 2, "reading_kn"),
        "conflict",
        "#/allowable_resistance/pulls/2",
        "one reading only",
    ),
    (
        ASSESSMENTS,
        shapes.SOUND_PULLS,
        None,
        (ALLOWABLE, "pulls", 2, "reading_bar"),
        "required",
        "#/allowable_resistance/pulls/2",
        "must have a reading",
    ),
    (
        ASSESSMENTS,
        shapes.SOUND_PULLS,
        {"name": "T3", "reading_kg": 900, "failure": "steel"},
        (ALLOWABLE, "pulls", 2),
        "conflict",
        "#/allowable_resistance/pulls/2/reading_kg",
        "one unit with the other pulls: reading_bar",
    ),
    (
        ASSESSMENTS,
        shapes.SOUND_PULLS,
        "T1",
        (ALLOWABLE, "pulls", 2, "name"),
        "duplicate_name",
        "#/allowable_resistance/pulls/2/name",
        "same name as pull 1",
    ),
    (
        ASSESSMENTS,
        shapes.SOUND_PULLS,
        "fell_off",
        (ALLOWABLE, "pulls", 2, "failure"),
        "not_allowed",
        "#/allowable_resistance/pulls/2/failure",
        "must be one of: pull_out",
    ),
    (
        ASSESSMENTS,
        shapes.SOUND_PULLS,
        None,
        (ALLOWABLE, "gauge", "points"),
        "required",
        "#/allowable_resistance/gauge/points",
        "a pressure is no load",
    ),
    (
        ASSESSMENTS,
        shapes.SOUND_PULLS,
        100,
        (ALLOWABLE, "gauge", "points", 1, "reading_bar"),
        "not_rising",
        "#/allowable_resistance/gauge/points/2",
        "above those of the point before",
    ),
    (
        ASSESSMENTS,
        shapes.SOUND_PULLS,
        {"reading_kn": 1, "load_kn": 9},
        (ALLOWABLE, "gauge", "points", 1),
        "conflict",
        "#/allowable_resistance/gauge/points/1",
        "must have reading_bar",
    ),
    (
        ASSESSMENTS,
        shapes.SOUND_PULLS,
        "M13",
        (ALLOWABLE, "fastener", "size"),
        "unknown_size",
        "#/allowable_resistance/fastener/size",
        "it has",
    ),
    (
        ASSESSMENTS,
        shapes.SOUND_PULLS,
        "bolt",
        (ALLOWABLE, "fastener", "family"),
        "unknown_family",
        "#/allowable_resistance/fastener/family",
        "known are",
    ),
    (
        ASSESSMENTS,
        shapes.SOUND_PULLS,
        71,
        (ALLOWABLE, "fastener", "embedment_mm"),
        "not_allowed",
        "#/allowable_resistance/fastener/embedment_mm",
        "it has 57, 75 mm",
    ),
    (
        ASSESSMENTS,
        shapes.SOUND_PULLS,
        [],
        (ALLOWABLE, "pulls"),
        "too_few",
        "#/allowable_resistance/pulls",
        "at least 1",
    ),
    (
        ASSESSMENTS,
        shapes.SOUND_PULLS,
        5,
        (ALLOWABLE, "safe_kn"),
        "unknown_field",
        "#/allowable_resistance/safe_kn",
        "not a field here",
    ),
    (ASSESSMENTS, shapes.SOUND_PULLS, shapes.PROVEN_LOT["proof"], ("proof",), "conflict", "#/proof", "not both"),
    (ASSESSMENTS, shapes.SOUND_PULLS, None, (ALLOWABLE,), "required", "#/allowable_resistance", "must be given"),
    (ASSESSMENTS, shapes.SOUND_PULLS, "2020.1.0", ("rulebook",), "unknown_version", "#/rulebook", VERSION),
    (
        ASSESSMENTS,
        changed(shapes.PROVEN_LOT, None, "proof", "parts"),
        3,
        ("proof", "number"),
        "too_many",
        "#/proof/pulls",
        "at most number, the 3",
    ),
    (
        ASSESSMENTS,
        shapes.PROVEN_LOT,
        0,
        ("proof", "service_action_kn"),
        "below_minimum",
        "#/proof/service_action_kn",
        "above 0",
    ),
    (PLANS, shapes.LOTS, None, ("lots",), "required", "#/lots", "lots or allowable_resistance"),
    (PLANS, shapes.LOTS, 92, ("lots", 0, "parts", 1, "first"), "outside_lot", "#/lots/0/parts/1", "must begin with 91"),
    (
        PLANS,
        shapes.LOTS,
        139,
        ("lots", 0, "parts", 1, "last"),
        "outside_lot",
        "#/lots/0/parts",
        "140 to 140 are in no part",
    ),
    (
        PLANS,
        shapes.LOTS,
        141,
        ("lots", 0, "parts", 1, "last"),
        "outside_lot",
        "#/lots/0/parts/1",
        "end between there and 140",
    ),
    (
        PLANS,
        shapes.LOTS,
        "wall, first team",
        ("lots", 0, "parts", 1, "name"),
        "duplicate_name",
        "#/lots/0/parts/1/name",
        "same name as part 1",
    ),
    (
        PLANS,
        shapes.LOTS,
        "2026-11-24",
        ("gauge", "valid_until"),
        "calibration_expired",
        "#/gauge/valid_until",
        "ended on 2026-11-24",
    ),
    (
        PLANS,
        shapes.LOTS,
        [{"reading_bar": 0, "load_kn": 0}, {"reading_bar": 40, "load_kn": 8}],
        ("gauge", "points"),
        "outside_calibration",
        "#/lots/0/service_action_kn",
        "covers 0 to 8 kN",
    ),
    (
        PLANS,
        shapes.LOTS,
        {"load_kn": 0},
        ("gauge", "points", 0),
        "required",
        "#/gauge/points/0",
        "must have one reading",
    ),
    (
        PLANS,
        shapes.LOTS,
        "harder",
        ("lots", 0, "scheme"),
        "not_allowed",
        "#/lots/0/scheme",
        "fewer_harder, more_softer",
    ),
    (
        VERIFICATIONS,
        shapes.PIPE_ON_UNKNOWN_WALL,
        None,
        ("base_material",),
        "required",
        "#/base_material",
        "in the words of the tests",
    ),
    (
        VERIFICATIONS,
        shapes.PIPE_ON_UNKNOWN_WALL,
        None,
        ("site_test",),
        "conflict",
        "#/base_material",
        "covers concrete only",
    ),
    (
        VERIFICATIONS,
        shapes.PIPE_ON_UNKNOWN_WALL,
        301,
        ("site_test", "tests", "pulls", 0, "reading_bar"),
        "outside_calibration",
        "#/site_test/tests/pulls/0/reading_bar",
        "nothing is extrapolated",
    ),
    (
        VERIFICATIONS,
        shapes.PIPE_ON_UNKNOWN_WALL,
        30,
        ("site_test", "characteristic_resistance_kn"),
        "unknown_field",
        "#/site_test/characteristic_resistance_kn",
        "the fields are: id, tests",
    ),
]


@pytest.mark.parametrize(("path", "request_", "value", "place", "code", "pointer", "words"), REFUSED)
def test_bad_input_is_refused_with_its_words(
    client: HeldClient,
    path: str,
    request_: dict[str, Any],
    value: Any,
    place: tuple[str | int, ...],
    code: str,
    pointer: str,
    words: str,
) -> None:
    response = client.post(path, json=changed(request_, value, *place))
    [error] = errors_of(response)
    assert (response.status_code, error["code"], error["pointer"]) == (422, code, pointer)
    assert words in error["detail"]


def test_a_record_made_by_pulls_can_be_replayed(client: HeldClient) -> None:
    request = by_pulls(client)
    answer = answered(client, VERIFICATIONS, request)
    replayed = answered(client, "/v1/replays", {"request": request, "answer": answer})
    assert replayed["outcome"] == "identical"
    altered = changed(request, 96, "site_test", "tests", "pulls", 3, "reading_bar")
    assert answered(client, "/v1/replays", {"request": altered, "answer": answer})["outcome"] == "different"


def test_every_family_can_be_planned_for_and_assessed(client: HeldClient) -> None:
    """Every row of the rulebook, those known only from their label with them."""
    label_only = set()
    for family in client.get("/v1/families").get_json()["families"]:
        for size in family["sizes"]:
            fastener = {"family": family["id"], "size": size["size"], "embedment_mm": size["embedments_mm"][0]}
            plan = changed(shapes.LOTS, fastener, "lots", 0, "fastener")
            plan["lots"][0] |= {"service_action_kn": 0.3, "support_distance_mm": 2000}
            plan_answer = answered(client, PLANS, plan)
            [lot] = plan_answer["lots"]
            assert lot["ready"] or set(unmet(lot["requirements"])) <= {"within_resistance", "pull_below_steel"}
            request = changed(shapes.SOUND_PULLS, fastener, "allowable_resistance", "fastener")
            request["allowable_resistance"] |= {"support_distance_mm": 2000, "curing_over": True}
            for pull in request["allowable_resistance"]["pulls"]:
                pull["reading_bar"] /= 10
            found = assessed(client, request)
            assert found["verdict"] == ("no_resistance" if family["mechanism"] == "headed_fastener" else "resistance")
            resistance = found["origin"]["characteristic_resistance_kn"]
            assert resistance is None or resistance <= found["statistics"]["steel_kn"]
            codes = {caution["code"] for caution in plan_answer["cautions"]}
            label_only |= {family["id"]} if "label_only" in codes else set()
    assert label_only == {"nylon-frame-fixing", "sleeve-eyebolt-zinc", "sleeve-hook-zinc"}


def test_pulls_give_a_hook_no_more_than_its_label_states(client: HeldClient) -> None:
    """The demonstration's hook of M8 states 2.0 kN, its steel bears 18.3 kN."""
    embedment = client.get("/v1/families/sleeve-hook-zinc").get_json()["family"]["sizes"]["M8"]["embedments"]
    depth = next(iter(embedment.values()))["depth"]["effective_mm"]
    hook = {"family": "sleeve-hook-zinc", "size": "M8", "embedment_mm": depth}
    pulled = changed(shapes.SOUND_PULLS, hook, "allowable_resistance", "fastener")
    for pull in pulled["allowable_resistance"]["pulls"]:
        pull["reading_bar"] /= 2
    found = assessed(client, pulled)
    assert found["statistics"]["capped"] is True
    assert found["origin"]["characteristic_resistance_kn"] == 2.0
    lot = changed(shapes.LOTS, hook, "lots", 0, "fastener")
    lot["lots"][0] |= {"service_action_kn": 1.4}
    [planned] = answered(client, PLANS, lot)["lots"]
    assert unmet(planned["requirements"]) == ["within_resistance", "pull_below_steel"]
    assert planned["limit_kn"] == 2.0


def test_a_plan_goes_on_as_its_assessment(client: HeldClient) -> None:
    (lot,) = answered(client, PLANS, shapes.LOTS)["lots"]
    pulls = [
        {"name": drawn["name"], "reading_bar": 48, "held_minutes": 5, "movement_mm": 0, "failure": "none"}
        for drawn in lot["chosen"]
    ]
    proof = lot["for_assessment"] | {"tested_on": "2026-11-20", "gauge": shapes.GAUGE, "pulls": pulls}
    found = answered(client, ASSESSMENTS, {"assessed_on": "2026-11-25", "proof": proof})["proof"]
    assert (found["not_drawn"], found["still_to_pull"]) == ([], [])


def test_the_least_scatter_is_said_and_changes_no_number(client: HeldClient) -> None:
    """Source: EN 1990, D.7.1, a tenth where the scatter is not known beforehand (from memory)."""
    assert "scatter_small" in {c["code"] for c in answered(client, ASSESSMENTS, shapes.SOUND_PULLS)["cautions"]}
    assert "scatter_small" not in {
        c["code"] for c in answered(client, ASSESSMENTS, shapes.PULLS_WITH_AN_OUTLIER)["cautions"]
    }


def test_the_crew_is_told_what_the_gauge_shows_rounded_to_the_side_that_does_no_harm(client: HeldClient) -> None:
    """By hand: 9.3/0.99 = 9.3939 kN lie at 50·9.3939/9.8 = 47.928 bar of the example's calibration."""
    (lot,) = answered(client, PLANS, shapes.LOTS)["lots"]
    assert any("the gauge shows 9.394 kN (48 bar on the gauge), and hold it" in step for step in lot["steps"])
    without = answered(client, PLANS, {"lots": shapes.LOTS["lots"]})["lots"][0]
    assert not any("on the gauge" in step for step in without["steps"])


def test_a_pull_that_moved_is_a_failure_and_one_stopped_early_is_named(client: HeldClient) -> None:
    """One stop at a third of the least failure changes no figure and is named; said to have moved, it is a failure."""
    sound = assessed(client, shapes.SOUND_PULLS)
    early = copy.deepcopy(shapes.SOUND_PULLS)
    pulls = early["allowable_resistance"]["pulls"]
    early["allowable_resistance"]["pulls"] = [
        *pulls,
        pulls[0] | {"name": "early", "reading_bar": 30, "failure": "none"},
    ]
    answer = answered(client, ASSESSMENTS, early)
    found = answer["allowable_resistance"]
    assert found["statistics"] == sound["statistics"]
    [named] = [one for one in answer["cautions"] if one["code"] == "stopped_too_early"]
    assert "early" in named["text"]
    moved = copy.deepcopy(early)
    moved["allowable_resistance"]["pulls"][-1]["failure"] = "moved"
    worse = answered(client, ASSESSMENTS, moved)["allowable_resistance"]
    assert worse["pulls"][-1]["counted"] is True
    assert worse["statistics"]["mean_kn"] < sound["statistics"]["mean_kn"]
    assert worse["statistics"]["variation"] > sound["statistics"]["variation"]


def test_a_reading_beyond_the_steel_is_asked_for_again_and_condemns_nothing(client: HeldClient) -> None:
    """A point left out: 9.4 kN typed as 940 on a bolt whose steel bears 51.5 kN; given again, the lot stands."""
    request = proof({0: {"reading_bar": 270}})
    found = answered(client, ASSESSMENTS, request)["proof"]
    assert found["replacements_to_pull"] == []
    assert found["number_failed"] == 0
    [typed] = [one for one in found["pulls"] if one["result"] == "not_counted"]
    assert "give the reading again; nothing is condemned before" in typed["text"]
    assert answered(client, ASSESSMENTS, proof({}))["proof"]["next_step"] == "accept"


def test_pounds_are_pounds(client: HeldClient) -> None:
    """By hand: 1 lb is 0.45359237 kg and 9.80665 m/s² (BIPM): 2 113 lb are 9.399 kN, the same as 958.4 kg; 0.99 of it at least."""
    gauge = {"certificate": "G", "valid_until": "2027-01-01", "accuracy_percent": 1}
    loads = {}
    for unit, reading in (("reading_lb", 2113), ("reading_kg", 2113 * 0.45359237)):
        request = copy.deepcopy(shapes.SOUND_PULLS)
        tests = request["allowable_resistance"]
        tests["gauge"] = tests["gauge"] | gauge
        tests["gauge"].pop("points", None)
        for pull in tests["pulls"]:
            pull.pop("reading_bar")
            pull[unit] = reading
        loads[unit] = [pull["load_kn"] for pull in assessed(client, request)["pulls"]]
    assert loads["reading_lb"] == pytest.approx([0.99 * 2113 * 0.45359237 * 9.80665 / 1e3] * 7, rel=1e-5)
    assert loads["reading_lb"] == pytest.approx(loads["reading_kg"], rel=1e-5)


GAUGED = ("allowable_resistance", "gauge")


@pytest.mark.parametrize(
    ("stated", "least"),
    [
        ({"accuracy_percent": 0.1}, lambda load: load * 0.999),
        ({"accuracy_percent": 2}, lambda load: load * 0.98),
        ({"accuracy_kn": 0.5}, lambda load: load - 0.5),
        ({"accuracy_percent": 1, "accuracy_kn": 0.2}, lambda load: load * 0.99 - 0.2),
        ({}, lambda load: load * 0.95),
    ],
)
def test_a_resistance_rests_on_the_least_that_each_reading_may_stand_for(
    client: HeldClient, stated: dict[str, float], least: Any
) -> None:
    """By hand; the reading itself was taken. 5 % for a gauge that states none: the rulebook's figure."""
    gauge = {name: given for name, given in shapes.GAUGE.items() if name != "accuracy_percent"} | stated
    answer = answered(client, ASSESSMENTS, changed(shapes.SOUND_PULLS, gauge, *GAUGED))
    shown = [pull["load_kn"] for pull in answer["allowable_resistance"]["pulls"]]
    assert shown == pytest.approx([least(load / (1 - OFF)) for load in loads_kn(SOUND_BARS)], rel=1e-5)
    cautions = {caution["code"]: caution for caution in answer["cautions"]}
    assert ("gauge_accuracy_not_stated" in cautions) is (stated == {})


def test_a_proof_load_counts_as_held_only_where_the_gauge_cannot_be_short_of_it(client: HeldClient) -> None:
    """48 bar show 9.408 kN, and 9.3 are asked: with 1 % off it is 9.314, with 2 % off 9.22 and not reached."""
    sharp = answered(client, ASSESSMENTS, proof({}))["proof"]
    assert sharp["next_step"] == "accept"
    blunt = answered(client, ASSESSMENTS, proof({}, gauge=shapes.GAUGE | {"accuracy_percent": 2}))["proof"]
    assert {pull["result"] for pull in blunt["pulls"]} == {"not_counted"}


def test_a_pull_that_may_have_passed_the_limit_harms_the_fastener(client: HeldClient) -> None:
    """The most that a reading may stand for counts there: just under the limit on a gauge that is 10 % off."""
    [lot] = answered(client, PLANS, shapes.LOTS)["lots"]
    near = lot["limit_kn"] / 1.05
    points = shapes.GAUGE["points"]
    bar = float(np.interp(near, [p["load_kn"] for p in points], [p["reading_bar"] for p in points]))
    for percent, result in ((1, "held"), (10, "damaged")):
        gauge = shapes.GAUGE | {"accuracy_percent": percent}
        found = answered(client, ASSESSMENTS, proof({0: {"reading_bar": bar}}, gauge=gauge))["proof"]
        assert found["pulls"][0]["result"] == result


@pytest.mark.parametrize("stated", [{"accuracy_percent": 0}, {"accuracy_kn": 0}, {"accuracy_percent": 0.05}])
def test_a_gauge_that_is_off_by_nothing_is_refused(client: HeldClient, stated: dict[str, float]) -> None:
    """It counted as a stated accuracy, and every reading in full. Common practice, no source: none is within 0.1 %."""
    response = client.post(ASSESSMENTS, json=changed(shapes.SOUND_PULLS, shapes.GAUGE | stated, *GAUGED))
    assert response.status_code == 422
    assert [error["code"] for error in errors_of(response)] == ["below_minimum"]


def test_a_reading_within_the_accuracy_of_the_gauge_is_refused(client: HeldClient) -> None:
    blunt = changed(shapes.SOUND_PULLS, shapes.GAUGE | {"accuracy_kn": 30}, *GAUGED)
    response = client.post(ASSESSMENTS, json=blunt)
    assert response.status_code == 422
    assert {error["code"] for error in errors_of(response)} == {"outside_calibration"}


def test_a_plan_without_a_gauge_asks_for_more_than_the_load_on_one_that_nobody_vouches_for(client: HeldClient) -> None:
    """By hand: 9.3/0.95 = 9.78947 kN, rounded up to 9.79."""
    answer = answered(client, PLANS, {"lots": shapes.LOTS["lots"]})
    assert any("until the gauge shows 9.79 kN, and hold it" in step for step in answer["lots"][0]["steps"])
    assert "gauge_accuracy_not_stated" in {caution["code"] for caution in answer["cautions"]}


def test_a_verification_says_that_the_accuracy_of_the_gauge_was_not_stated(client: HeldClient) -> None:
    """Its resistance is 0.95 of what the readings show, where 0.99 was with the 1 % stated (by hand)."""
    sharp = answered(client, VERIFICATIONS, shapes.PIPE_ON_UNKNOWN_WALL)
    gauge = {name: given for name, given in shapes.GAUGE.items() if name != "accuracy_percent"}
    blunt = answered(client, VERIFICATIONS, changed(shapes.PIPE_ON_UNKNOWN_WALL, gauge, "site_test", "tests", "gauge"))
    said = {caution["code"] for caution in blunt["cautions"]} - {caution["code"] for caution in sharp["cautions"]}
    assert said == {"gauge_accuracy_not_stated"}
    least, most = (min(check["characteristic_resistance_kn"] for check in one["checks"]) for one in (blunt, sharp))
    assert least == pytest.approx(most * 0.95 / 0.99, rel=1e-5)
