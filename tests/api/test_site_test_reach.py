"""Where a resistance from pulls holds: the state of the concrete, edges, the day; and what makes pulls worth nothing.

Rules are common practice, no source, where no other is named. The requests name the version of the directory, as
earlier ones know nothing of cracks.
"""

# A case a row: the tables are read down their columns.
# ruff: noqa: E501

from __future__ import annotations

import copy
from typing import Any

import pytest

from service.contract import site_tests as shapes
from tests.api.holding import HeldClient, errors_of
from tests.shipped import VERSION

ASSESSMENTS, VERIFICATIONS = "/v1/site-tests/assessments", "/v1/verifications"
CRACK = {"concrete_state": "cracked", "crack_width_mm": 0.3}


def answered(client: HeldClient, path: str, request: dict[str, Any]) -> dict[str, Any]:
    response = client.post(path, json=request)
    assert response.status_code == 200, response.get_json()
    found: dict[str, Any] = response.get_json()
    return found


def pulled(*places: dict[str, Any], version: str = VERSION, **rest: Any) -> dict[str, Any]:
    """The example of seven sound pulls; each place changes one of them, the last one those that are left."""
    request = copy.deepcopy(shapes.SOUND_PULLS) | {"rulebook": version}
    tests = request["allowable_resistance"]
    tests["pulls"] = [pull | places[min(n, len(places) - 1)] for n, pull in enumerate(tests["pulls"])]
    tests |= rest
    return request


def used(tests: dict[str, Any], state: str | None) -> dict[str, Any]:
    """The example of a verification by pulls, in concrete of a state."""
    request = copy.deepcopy(shapes.PIPE_ON_UNKNOWN_WALL) | {"rulebook": tests["rulebook"]}
    request["site_test"]["tests"] = tests["allowable_resistance"]
    request["member"]["state"] = state
    return request


def unmet(entries: list[dict[str, Any]]) -> list[str]:
    return [entry["code"] for entry in entries if not entry["met"]]


SOUND, SCRATCH = {"concrete_state": "uncracked"}, {"concrete_state": "cracked", "crack_width_mm": 0.29}
STATES = [
    pytest.param(pulled({}), "uncracked", None, id="nothing said"),
    pytest.param(pulled(SOUND), "uncracked", None, id="uncracked"),
    pytest.param(pulled({"concrete_state": "unknown"}), "uncracked", None, id="not known"),
    pytest.param(pulled({"concrete_state": "cracked"}), "uncracked", None, id="crack not measured"),
    pytest.param(pulled(CRACK, SCRATCH, CRACK), "uncracked", None, id="one crack too narrow"),
    pytest.param(pulled(SOUND, CRACK), "uncracked", None, id="one beside the cracks"),
    pytest.param(pulled(CRACK | {"crack_width_mm": 0.4}, CRACK), "cracked", 0.3, id="all in cracks"),
    pytest.param(pulled(CRACK, version="2026.5.0"), "uncracked", None, id="a release that names no width"),
    pytest.param(pulled({}, base_material_kind="masonry"), "not_concrete", None, id="masonry"),
]


@pytest.mark.parametrize(("tests", "state", "width"), STATES)
def test_assessment_says_for_what_state_the_pulls_stand(
    client: HeldClient, tests: dict[str, Any], state: str, width: float | None
) -> None:
    answer = answered(client, ASSESSMENTS, tests)
    reach = answer["allowable_resistance"]["origin"]["reach"]
    assert (reach["concrete_state"], reach["crack_width_mm"]) == (state, width)
    codes = {caution["code"] for caution in answer["cautions"]}
    assert ("uncracked_only" in codes) == (state == "uncracked")


@pytest.mark.parametrize(("tests", "state", "width"), STATES)
@pytest.mark.parametrize("of_member", ["uncracked", "cracked", "unknown", None])
def test_pulls_beside_cracks_verify_nothing_in_cracked_concrete(
    client: HeldClient, tests: dict[str, Any], state: str, width: float | None, of_member: str | None
) -> None:
    """Concrete is cracked unless shown otherwise: EN 1992-4:2018, 4.7."""
    answer = answered(client, VERIFICATIONS, used(tests, of_member))
    reaches = state != "uncracked" or of_member == "uncracked"
    assert answer["verdict"] == ("verified" if reaches else "not_verified")
    assert unmet(answer["requirements"]) == ([] if reaches else ["site_test_state"])
    assert bool(answer["checks"]) == reaches
    [words] = [r["detail"] for r in answer["requirements"] if r["code"] == "site_test_state"]
    assert ("have an engineer show that the concrete stays uncracked" in words) == (not reaches)
    assert ("joints do" in words) == (state == "not_concrete")
    [caution] = [c["text"] for c in answer["cautions"] if c["code"] == "site_test_reach"]
    said = {
        "uncracked": "It holds in uncracked concrete only: where a crack may run through a fastener, nothing was shown",
        "cracked": "Every pull stood in a crack of 0.3 mm or more; wider cracks are beyond it",
        "not_concrete": "It holds in masonry, where cracks do not count as they do in concrete: joints do",
    }
    assert [words for words in said.values() if words in caution] == [said[state]]
    assert answer["site_test"]["reach"]["concrete_state"] == state


def test_words_name_the_width_of_crack_to_pull_in(client: HeldClient) -> None:
    answer = answered(client, VERIFICATIONS, used(pulled({}), "cracked"))
    [words] = [r["detail"] for r in answer["requirements"] if r["code"] == "site_test_state"]
    assert "pull in cracks of at least 0.3 mm" in words
    [planned] = answered(client, "/v1/site-tests/plans", shapes.UNKNOWN_WALL | {"rulebook": VERSION})[
        "allowable_resistance"
    ]
    assert any("in a crack of at least 0.3 mm" in step for step in planned["steps"])


EDGES = [
    pytest.param(({"edge_mm": 250},), 250, id="all alike"),
    pytest.param(({"edge_mm": 72},), 72, id="all near"),
    pytest.param(({"edge_mm": 50},), 60, id="all nearer than c_min"),
    pytest.param(({"edge_mm": 50}, {"edge_mm": 80}), 80, id="near, one less so"),
    pytest.param(({"edge_mm": 50}, {"edge_mm": 250}), 250, id="one near, the rest away"),
    pytest.param(({"edge_mm": 250},) * 5 + ({"edge_mm": 400},), 400, id="five near, the rest away"),
    pytest.param(({"edge_mm": 50}, {"edge_mm": None}), 750, id="one near, the rest not measured"),
    pytest.param(({"edge_mm": 250}, {"edge_mm": 900}), 750, id="one near, the rest out of reach"),
    pytest.param(({"edge_mm": 900}, {"edge_mm": 800}), 800, id="all out of reach"),
    pytest.param(({"edge_mm": None},), 750, id="none measured"),
]


@pytest.mark.parametrize(("places", "edge"), EDGES)
def test_resistance_reaches_no_nearer_to_an_edge_than_every_pull_stood(
    client: HeldClient, places: tuple[dict[str, Any], ...], edge: float
) -> None:
    """What stands near an edge is hidden by the rest of the sample; c_min is 60 mm.

    What was not measured, or stood farther off, shows nothing within reach of an edge, 10·h_ef of 75 mm, more than
    60 times the 12 mm of the bolt (EN 1992-4, 7.2.2.5).
    """
    found = answered(client, ASSESSMENTS, pulled(*places))["allowable_resistance"]
    assert found["origin"]["reach"]["edge_min_mm"] == edge


@pytest.mark.parametrize(
    ("places", "spacing"),
    [
        pytest.param(({"spacing_mm": 100},), 225, id="all nearer than 3 h_ef"),
        pytest.param(({"spacing_mm": 280}, {"spacing_mm": 400}), 400, id="one near, the rest away"),
        pytest.param(({"spacing_mm": 280}, {"spacing_mm": None}), 750, id="one near, the rest not measured"),
    ],
)
def test_resistance_reaches_no_nearer_to_others_than_every_pull_stood(
    client: HeldClient, places: tuple[dict[str, Any], ...], spacing: float
) -> None:
    """3 times h_ef of 75 mm is 225 mm: the rulebook's least. As for edges, nothing is felt beyond 10·h_ef."""
    found = answered(client, ASSESSMENTS, pulled(*places))["allowable_resistance"]
    assert found["origin"]["reach"]["spacing_min_mm"] == spacing


def test_hook_stays_as_far_apart_as_its_label_says(client: HeldClient) -> None:
    """The demonstration's label of the hook states 200 mm from hook to hook and 100 mm to an edge."""
    family = client.get("/v1/families/sleeve-hook-zinc").get_json()["family"]
    depth = next(iter(family["sizes"]["M8"]["embedments"].values()))["depth"]["effective_mm"]
    hook = {"family": "sleeve-hook-zinc", "size": "M8", "embedment_mm": depth}
    request = pulled({"reading_bar": 40, "edge_mm": 60, "spacing_mm": 150}, fastener=hook)
    reach = answered(client, ASSESSMENTS, request)["allowable_resistance"]["origin"]["reach"]
    assert (reach["edge_min_mm"], reach["spacing_min_mm"]) == (100, 200)


@pytest.mark.parametrize(
    ("places", "code"),
    [
        pytest.param(({"reading_bar": 260}, {}), "site_test_reading", id="more than the steel bears"),
        pytest.param(({"reading_bar": 100, "failure": "steel"}, {}), "site_test_steel", id="weak steel"),
    ],
)
def test_readings_that_cannot_be_give_no_number(
    client: HeldClient, places: tuple[dict[str, Any], ...], code: str
) -> None:
    """N_Rk,s of the demonstration's M12 is 51.5 kN; 260 bar are 52.4 kN and 100 bar 20 kN."""
    found = answered(client, ASSESSMENTS, pulled(*places))["allowable_resistance"]
    assert found["verdict"] == "no_resistance"
    assert code in unmet(found["requirements"])
    assert (found["design_resistance_kn"], found["site_test"]) == (None, None)


@pytest.mark.parametrize(("said", "verdict"), [(None, "no_resistance"), (False, "no_resistance"), (True, "resistance")])
def test_resin_that_nobody_says_had_cured_proves_nothing(client: HeldClient, said: bool | None, verdict: str) -> None:
    rod = {"family": "bonded-rod-hybrid-fast", "size": "M12", "embedment_mm": 69}
    request = pulled({}, curing_over=said, fastener=rod)
    found = answered(client, ASSESSMENTS, request)["allowable_resistance"]
    assert found["verdict"] == verdict
    assert unmet(found["requirements"]) == ([] if said else ["site_test_cured"])
    [cured] = [one for one in found["requirements"] if one["code"] == "site_test_cured"]
    assert cured["figures"]["curing"] == {None: "not_said", False: "not_over", True: "over"}[said]
    assert ("set other fasteners" in cured["detail"]) is not said
    lot = copy.deepcopy(shapes.PROVEN_LOT) | {"rulebook": VERSION}
    lot["proof"] |= {"fastener": rod, "curing_over": said, "strength_class": "C30/37", "state": "uncracked"}
    assert answered(client, ASSESSMENTS, lot)["proof"]["next_step"] == ("accept" if said else "continue")


@pytest.mark.parametrize(("warmth", "factor"), [("I", 1.0), ("II", 4.6 / 6.1), (None, 4.6 / 6.1)])
def test_resin_that_was_pulled_cool_holds_less_in_the_warm(
    client: HeldClient, warmth: str | None, factor: float
) -> None:
    """The demonstration's own bond: 6.1 MPa in range I and 4.6 MPa in II, cracked and wet, the least share of all."""
    rod = {"family": "bonded-rod-hybrid-fast", "size": "M12", "embedment_mm": 69}
    request = used(pulled({}, fastener=rod, curing_over=True), "uncracked")
    request["fastener"] = rod
    request["use"]["temperature_range"] = warmth
    answer = answered(client, VERIFICATIONS, request)
    [check] = answer["checks"]
    found = answer["site_test"]["characteristic_resistance_kn"]
    assert check["characteristic_resistance_kn"] == pytest.approx(found * factor, rel=1e-5)
    [words] = [r["detail"] for r in answer["requirements"] if r["code"] == "site_test_temperature"]
    assert f"so {factor:.3g} of what they give counts" in words


def test_assessment_of_pulls_that_are_too_old_gives_no_number(client: HeldClient) -> None:
    request = pulled({}, tested_on="2025-11-24")
    found = answered(client, ASSESSMENTS, request | {"assessed_on": "2026-11-25"})["allowable_resistance"]
    assert unmet(found["requirements"]) == ["site_test_age"]
    assert (found["verdict"], found["design_resistance_kn"]) == ("no_resistance", None)


REFUSED = [
    pytest.param(pulled({}, tested_on="2026-11-26"), "not_allowed", "/tested_on", "those pulls are yet to come", id="yet to come"),
    pytest.param(pulled({"crack_width_mm": 0.3}), "conflict", "/pulls/0/crack_width_mm", "unless concrete_state is cracked", id="no crack"),
    pytest.param(pulled(CRACK, {}, base_material_kind="masonry"), "conflict", "/pulls/0/concrete_state", "left out in masonry", id="masonry"),
    pytest.param(
        pulled({}, gauge=shapes.GAUGE | {"calibrated_on": "2026-11-03"}),
        "calibration_expired", "/gauge/calibrated_on", "after the pulls of 2026-11-02", id="calibrated later",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("request_", "code", "place", "words"), REFUSED)
def test_bad_input_is_refused_with_its_words(
    client: HeldClient, request_: dict[str, Any], code: str, place: str, words: str
) -> None:
    response = client.post(ASSESSMENTS, json=request_ | {"assessed_on": "2026-11-25"})
    first = errors_of(response)[0]
    assert (response.status_code, first["code"]) == (422, code)
    assert first["pointer"] == f"#/allowable_resistance{place}"
    assert words in first["detail"]
