"""Any request that agrees with itself and with the rulebook is answered, whatever it leaves out."""

import json
from typing import Any

from flask import Flask
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from werkzeug.test import TestResponse

from service.contract.fields import SMALLEST
from service.contract.fixing import CONSEQUENCES
from service.contract.terms import (
    CLEARANCES,
    DETAILS,
    EDGE_REINFORCEMENTS,
    HOLES,
    MECHANISMS,
    PROFILES,
    ROTATIONS,
    SETTINGS,
    SITUATIONS,
    STATES,
    STRENGTH_CLASSES,
)
from tests.api.holding import ROOT, TIMES, Contract, HeldClient
from tests.shipped import SHARED

FAMILIES = [json.loads(path.read_text("utf-8")) for path in sorted((ROOT / "rules" / "families").glob("*.json"))]
FASTENERS = [
    {"family": family["id"], "size": size, "embedment_mm": row["depth"]["effective_mm"]}
    for family in FAMILIES
    for size, data in family["sizes"].items()
    for row in data["embedments"].values()
]
FACTORS = {path.stem: json.loads(path.read_text("utf-8")) for path in (ROOT / "rules" / "factors").glob("*.json")}
CONDITIONS = FACTORS["site-conditions"]["conditions"]
EXPOSURES = [*FACTORS["exposures"]["exposures"], "unknown"]
RANGES = [*FACTORS["temperature-ranges"]["ranges"], None]


def within(least: float, most: float) -> st.SearchStrategy[float]:
    drawn = st.floats(least, most, allow_nan=False).filter(lambda number: number == 0 or abs(number) >= SMALLEST)
    return drawn | drawn.map(round).filter(lambda number: least <= number <= most)


def some(**fields: st.SearchStrategy[Any]) -> st.SearchStrategy[dict[str, Any]]:
    """Draw an object of which every field may be left out."""
    return st.fixed_dictionaries({}, optional=fields)


REINFORCEMENT = (
    st.just("unknown")
    | some(
        spacing_mm=st.none() | within(64, 2000),
        diameter_mm=st.none() | within(4, 63),
        edge=st.sampled_from(EDGE_REINFORCEMENTS),
        stirrup_spacing_mm=st.none() | within(10, 2000),
        cracks_held_to_0_3_mm=st.just(False),
    )
    | st.fixed_dictionaries({
        "spacing_mm": within(64, 300), "diameter_mm": within(4, 63), "cracks_held_to_0_3_mm": st.just(True),
    })
)
USE = some(
    situation=st.sampled_from(SITUATIONS),
    redundancy=st.none()
    | st.fixed_dictionaries(
        {"points": st.integers(1, 6)},
        optional={
            "fasteners_per_point": st.integers(1, 4),
            "bridging_shown_by": st.sampled_from(["structural engineer", "unknown"]),
        },
    ),
    structural=st.booleans(),
    consequence=st.none() | st.lists(st.sampled_from(CONSEQUENCES), max_size=3, unique=True),
    overhead=st.booleans(),
    exposure=st.sampled_from(EXPOSURES),
    temperature_range=st.sampled_from(RANGES),
    hole=st.sampled_from([*HOLES, "unknown"]),
)
FAVOURABLE_USE = {
    "redundancy": SHARED,
    "structural": False,
    "consequence": [],
    "overhead": False,
    "exposure": "dry_internal",
    "temperature_range": "I",
    "hole": "dry",
}
SITE = some(**{name: st.sampled_from([*data["values"]]) for name, data in CONDITIONS.items()})


@st.composite
def members(draw: st.DrawFn, reach_mm: float) -> dict[str, Any]:
    strength = draw(
        st.sampled_from(({}, {"strength_class": "unknown"}))
        | st.sampled_from(STRENGTH_CLASSES).map(lambda name: {"strength_class": name})
        | within(5, 150).map(lambda strength: {"strength_mpa": strength})
    )
    edge = st.none() | within(reach_mm + 1, reach_mm + 800) | st.just(9000)
    names = ("x_minus_mm", "x_plus_mm", "y_minus_mm", "y_plus_mm")
    rest = draw(
        some(
            state=st.sampled_from([*STATES, "unknown"]),
            edges=some(**dict.fromkeys(names, edge)),
            reinforcement=REINFORCEMENT,
        )
    )
    return {"thickness_mm": draw(within(60, 10_000))} | strength | rest


@st.composite
def fixtures(draw: st.DrawFn, reach_mm: float) -> dict[str, Any]:
    width_mm, depth_mm = (draw(within(2 * reach_mm + 10, 2 * reach_mm + 400)) for _ in range(2))
    section = st.fixed_dictionaries(
        {"width_mm": within(1, width_mm), "depth_mm": within(1, depth_mm)},
        optional={"profile": st.sampled_from(PROFILES)},
    )
    rest = draw(
        some(
            yield_mpa=st.none() | within(50, 1500),
            attached_section=st.none() | section,
            clearance=st.sampled_from(CLEARANCES),
            rotation=st.sampled_from(ROTATIONS),
            washer_clamped=st.booleans(),
            stand_off_mm=st.just(0) | within(0, 500),
            grout=some(thickness_mm=st.just(0) | within(0, 500), strength_mpa=st.none() | within(1, 200)),
        )
    )
    stand_off_mm, grout_mm = rest.get("stand_off_mm", 0), rest.get("grout", {}).get("thickness_mm", 0)
    if stand_off_mm and grout_mm:
        # What levels the concrete lies where a nut would.
        rest.pop("washer_clamped", None)
    gap_mm = stand_off_mm + grout_mm
    thickness = draw(within(1, 200)) if gap_mm else draw(st.none() | within(1, 200))
    return {"width_mm": width_mm, "depth_mm": depth_mm, "thickness_mm": thickness} | rest


@st.composite
def some_components(draw: st.DrawFn, size: float) -> dict[str, Any]:
    components = {
        name: st.just(0) | within(-size, size)
        for name in ("normal_kn", "shear_x_kn", "shear_y_kn", "moment_x_knm", "moment_y_knm", "torsion_knm")
    }
    return draw(some(**components).filter(lambda drawn: any(drawn.values())))


SIZES = st.sampled_from((0.01, 0.3, 3, 20, 9999))
KINDS_OF_ACTION = {
    "permanent": some(source=st.sampled_from(("frame", "pipe")), holding_down=st.booleans()),
    "variable": some(psi_0=within(0, 1), psi_1=within(0, 1), psi_2=within(0, 1), sustained_share=within(0, 1)),
    "accidental": some(),
}


@st.composite
def load_cases(draw: st.DrawFn) -> dict[str, Any]:
    size = draw(SIZES)
    drawn = draw(st.lists(some_components(size), min_size=1, max_size=3))
    return {
        "load_cases": [
            {"name": f"load case {index}"} | draw(some(sustained_share=within(0, 1))) | components
            for index, components in enumerate(drawn)
        ]
    }


@st.composite
def actions(draw: st.DrawFn) -> dict[str, Any]:
    """Each of a size of its own, so that no two cancel each other."""
    kinds = draw(st.lists(st.sampled_from(sorted(KINDS_OF_ACTION)), min_size=1, max_size=4))
    size = draw(SIZES)
    return {
        "actions": [
            {"name": f"action {index}", "kind": kind}
            | draw(KINDS_OF_ACTION[kind])
            | draw(some_components(size / 10**index))
            for index, kind in enumerate(kinds)
        ]
    }


@st.composite
def verification_requests(draw: st.DrawFn) -> dict[str, Any]:
    columns, rows = draw(st.integers(1, 3)), draw(st.integers(1, 3))
    spacing_mm = draw(within(20, 600) | within(200, 400))
    grid = [
        {"x_mm": (column - (columns - 1) / 2) * spacing_mm, "y_mm": (row - (rows - 1) / 2) * spacing_mm}
        for column in range(columns)
        for row in range(rows)
    ]
    moved = draw(st.sampled_from((0, 0, 3)))
    positions = [
        {"x_mm": place["x_mm"] + moved * (index % 2), "y_mm": place["y_mm"]} for index, place in enumerate(grid)
    ]
    reach_mm = max(abs(value) for place in positions for value in place.values())
    rest = draw(some(use=USE, site=SITE, detail=st.sampled_from(DETAILS)))
    member, fixture = draw(members(reach_mm)), draw(fixtures(reach_mm))
    if draw(st.booleans()):
        # Left to chance, nearly every fixing breaks a requirement before any check is made.
        member |= {"thickness_mm": 800} | ({} if "strength_mpa" in member else {"strength_class": "C30/37"})
        fixture |= {"thickness_mm": 6, "stand_off_mm": draw(st.sampled_from((0, 0, 25)))}
        rest |= {"use": FAVOURABLE_USE, "site": {"drilling": "hammer"}}
    loads = draw(load_cases() | actions())
    if "actions" in loads and rest.get("use", {}).get("situation") == "accidental":
        rest["use"] = {name: value for name, value in rest["use"].items() if name != "situation"}
    return (
        loads
        | {
            "fastener": draw(st.sampled_from(FASTENERS)),
            "member": member,
            "positions": positions,
            "fixture": fixture,
        }
        | rest
    )


GENERATION = settings(
    deadline=None,
    derandomize=True,
    database=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)


def held(app: Flask, contract: Contract) -> HeldClient:
    client = HeldClient(app, TestResponse, use_cookies=False)
    client.contract = contract
    return client


@settings(GENERATION, max_examples=80 * TIMES)
@given(request=verification_requests())
def test_coherent_verification_is_answered(app: Flask, contract: Contract, request: dict[str, Any]) -> None:
    response = held(app, contract).post("/v1/verifications", json=request)
    assert response.status_code == 200, response.get_json()
    answer = response.get_json()
    assert (answer["verdict"] == "outside_scope") == bool(answer["scope_limits"])
    if answer["verdict"] == "verified":
        assert all(requirement["met"] for requirement in answer["requirements"])
        assert all(check["utilisation"] <= 1 for check in answer["checks"])


LIMITS = some(
    utilisation=st.none() | within(0.1, 1),
    mechanisms=st.none() | st.lists(st.sampled_from(MECHANISMS), min_size=1, max_size=3, unique=True),
    removable=st.none() | st.booleans(),
    setting=st.none() | st.sampled_from(SETTINGS),
    hole_depth_mm=st.none() | within(50, 300),
    hole_diameter_mm=st.none() | within(8, 30),
)


@settings(GENERATION, max_examples=20 * TIMES)
@given(request=verification_requests(), limits=LIMITS, max_choices=st.integers(1, 50))
def test_coherent_sizing_is_answered_and_its_choices_are_verified(
    app: Flask, contract: Contract, request: dict[str, Any], limits: dict[str, Any], max_choices: int
) -> None:
    client = held(app, contract)
    sizing = {name: value for name, value in request.items() if name != "fastener"}
    response = client.post("/v1/sizings", json=sizing | {"limits": limits, "max_choices": max_choices})
    assert response.status_code == 200, response.get_json()
    sized = response.get_json()
    assert len(sized["choices"]) + len(sized["passed_over"]) + len(sized["rejected"]) == len(FAMILIES)
    for choice in sized["choices"]:
        verified = client.post("/v1/verifications", json=choice["request"]).get_json()
        assert verified["verdict"] == "verified"
        assert verified["governing"] == choice["governing"]
