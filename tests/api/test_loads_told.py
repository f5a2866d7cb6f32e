"""What a load model was told is held against the rest of the request: what contradicts it is refused, not verified."""

from __future__ import annotations

from typing import Any

import pytest

from service.contract.sizing import GUARDRAIL_POST_FREE_HOLES
from service.contract.verification import GUARDRAIL_POST
from service.verification import verify
from tests.api.holding import HeldClient, errors_of
from tests.shipped import shipped_rules

DAY = {"assessed_on": GUARDRAIL_POST["assessed_on"]}
POST = {"mounting": "top", "category": "A", "rail_height_mm": 1000, "post_spacing_mm": 1200, "mass_kg": 18}


def told(client: HeldClient, model: str = "guardrail_post", **inputs: Any) -> dict[str, Any]:
    """The loads of a thing, and what they follow from, as parts of a request."""
    found = client.post(f"/v1/load-models/{model}", json=DAY | (inputs or POST)).get_json()
    return {"load_cases": found["load_cases"], "loads_from": [found["loads_from"]]}


def refused(client: HeldClient, path: str, body: dict[str, Any]) -> list[tuple[str, str]]:
    response = client.post(f"/v1/{path}", json=body)
    return [] if response.status_code == 200 else [(one["code"], one["pointer"]) for one in errors_of(response)]


def smaller(case: dict[str, Any], factor: float = 0.1) -> dict[str, Any]:
    return {name: value * factor if name.endswith(("_kn", "_knm")) else value for name, value in case.items()}


def without_the_worst(cases: list[dict[str, Any]]) -> list[dict[str, Any]]:
    return cases[1:]


def a_tenth(cases: list[dict[str, Any]]) -> list[dict[str, Any]]:
    return [smaller(case) for case in cases]


def half_as_much_again(cases: list[dict[str, Any]]) -> list[dict[str, Any]]:
    return [smaller(case, 1.5) for case in cases]


@pytest.mark.parametrize("change", [without_the_worst, a_tenth, half_as_much_again])
@pytest.mark.parametrize(
    ("path", "base"), [("verifications", GUARDRAIL_POST), ("sizings", GUARDRAIL_POST_FREE_HOLES)], ids=["one", "any"]
)
def test_loads_that_do_not_follow_from_what_was_told_are_refused(
    client: HeldClient, path: str, base: dict[str, Any], change: Any
) -> None:
    """Loads of another size are refused whichever way they differ: larger ones stand beside the model's own."""
    found = told(client)
    request = base | found | {"load_cases": change(found["load_cases"])}
    assert refused(client, path, request) == [("loads_differ", "#/loads_from/0/told")]


def test_more_may_act_beside_what_was_told(client: HeldClient) -> None:
    found = told(client)
    knock = {"name": "knock of a trolley", "shear_x_kn": 0.5}
    request = GUARDRAIL_POST | found | {"load_cases": [*found["load_cases"], knock]}
    assert refused(client, "verifications", request) == []


def test_what_was_built_by_loads_that_differ_is_not_checked_but_its_record_replays(client: HeldClient) -> None:
    found = told(client)
    request = GUARDRAIL_POST | found | {"load_cases": a_tenth(found["load_cases"])}
    book = shipped_rules()
    record = {"request": request, "answer": verify(request | {"rulebook": book.version}, book)}
    assert client.post("/v1/replays", json=record).get_json()["outcome"] == "identical"
    done = {"record": record, "as_built": {"fixture_thickness_mm": 15}}
    assert refused(client, "as-built-checks", done) == [("loads_differ", "#/record/request/loads_from/0/told")]


SIDE: dict[str, Any] = POST | {"mounting": "side", "fixing_below_floor_mm": 150, "post_off_face_mm": 60}
FACE = {"y_plus_mm": 150, "y_minus_mm": 200}


@pytest.mark.parametrize(
    ("edges", "found"),
    [
        ({}, [("required", "y_plus_mm"), ("required", "y_minus_mm")]),
        ({"y_minus_mm": 200}, [("required", "y_plus_mm")]),
        ({"y_plus_mm": 150}, [("required", "y_minus_mm")]),
        (FACE | {"y_plus_mm": 151}, [("above_maximum", "y_plus_mm")]),
        (FACE, []),
        (FACE | {"y_plus_mm": 120}, []),
    ],
)
@pytest.mark.parametrize(
    ("path", "base"), [("verifications", GUARDRAIL_POST), ("sizings", GUARDRAIL_POST_FREE_HOLES)], ids=["one", "any"]
)
def test_a_face_ends_above_where_the_floor_was_told_and_below_where_it_has_to_be_said(
    client: HeldClient, path: str, base: dict[str, Any], edges: dict[str, Any], found: list[tuple[str, str]]
) -> None:
    """The floor lies 150 mm above the origin, so the concrete ends there at the latest."""
    request = base | told(client, **SIDE) | {"member": base["member"] | {"edges": edges}}
    assert sorted(refused(client, path, request)) == sorted((code, f"#/member/edges/{edge}") for code, edge in found)


def test_edges_of_a_face_are_asked_of_the_loads_whose_thing_is_fixed_to_one(client: HeldClient) -> None:
    request = GUARDRAIL_POST | told(client) | {"member": GUARDRAIL_POST["member"] | {"edges": {}}}
    assert refused(client, "verifications", request) == []


@pytest.mark.parametrize(
    ("below_mm", "comes_off", "found"),
    [(0, True, [("above_maximum", "#/member/topping/thickness_mm")]), (0, False, []), (120, True, [])],
)
def test_a_post_on_a_topping_that_comes_off_stands_so_much_lower_than_the_floor(
    client: HeldClient, below_mm: float, comes_off: bool, found: list[tuple[str, str]]
) -> None:
    """By statics: 120 mm of screed off lengthens the lever of 1.1 m by a ninth; it was verified as if it stayed."""
    topping = {"kind": "screed", "thickness_mm": 120, "comes_off": comes_off}
    post: dict[str, Any] = POST | {"fixing_below_floor_mm": below_mm}
    request = GUARDRAIL_POST | told(client, **post)
    request |= {"member": GUARDRAIL_POST["member"] | {"topping": topping}}
    assert [one for one in refused(client, "verifications", request) if "topping" in one[1]] == found


def beside(y_mm: float) -> list[dict[str, Any]]:
    """The bolts of a post so far along the rail, as deep as those of the fixing."""
    depth = {"embedment_mm": GUARDRAIL_POST["fastener"]["embedment_mm"]}
    return [{"x_mm": x, "y_mm": y_mm + y} | depth for x in (-75, 75) for y in (-75, 75)]


OLD_HOLES = [
    {"x_mm": 0, "y_mm": y_mm, "state": "open_hole", "hole_diameter_mm": 8, "hole_depth_mm": 20} for y_mm in (-300, 300)
]


def posts(
    client: HeldClient, spacing_mm: float, neighbours: list[dict[str, Any]] | None, **more: Any
) -> dict[str, Any]:
    thing: dict[str, Any] = POST | {"category": "A", "post_spacing_mm": spacing_mm} | more
    return GUARDRAIL_POST | told(client, **thing) | {"neighbours": neighbours}


NEXT_POST = [("required", "#/neighbours")]


@pytest.mark.parametrize(
    ("spacing_mm", "neighbours", "found"),
    [
        (300, None, NEXT_POST),
        (300, [], NEXT_POST),
        (300, beside(300), NEXT_POST),
        (300, OLD_HOLES, NEXT_POST),
        (300, beside(300) + beside(-300), []),
        (6000, None, []),
    ],
    ids=["not said", "none", "one side", "holes", "both sides", "far"],
)
def test_the_next_posts_are_no_neighbours_that_nobody_knows_of(
    client: HeldClient, spacing_mm: float, neighbours: list[dict[str, Any]] | None, found: list[tuple[str, str]]
) -> None:
    """Posts 300 mm apart stand where the answer would say that no other fastener does."""
    assert refused(client, "verifications", posts(client, spacing_mm, neighbours)) == found


def test_an_end_post_and_the_end_of_the_member_have_no_post_beyond(client: HeldClient) -> None:
    assert refused(client, "verifications", posts(client, 300, beside(300), post="end")) == []
    short = posts(client, 300, beside(300))
    short["member"] = short["member"] | {"edges": {"x_plus_mm": 200, "y_minus_mm": 200}}
    assert refused(client, "verifications", short) == []


def test_a_sizing_asks_for_the_next_posts_too(client: HeldClient) -> None:
    near = {name: value for name, value in posts(client, 300, None).items() if name in {"load_cases", "loads_from"}}
    assert refused(client, "sizings", GUARDRAIL_POST_FREE_HOLES | near) == NEXT_POST


def test_a_sheet_does_not_tell_the_crew_two_distances_to_the_next_post(client: HeldClient) -> None:
    request = posts(client, 300, None)
    book = shipped_rules()
    record = {"request": request, "answer": verify(request | {"rulebook": book.version}, book)}
    assert record["answer"]["verdict"] == "verified"
    assert refused(client, "installation-sheets", {"fixings": [record]}) == [("required", "#/fixings/0/neighbours")]
    done = {"record": record, "as_built": {"fixture_thickness_mm": 15}}
    assert refused(client, "as-built-checks", done) == [("required", "#/record/request/neighbours")]
