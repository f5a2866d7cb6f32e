"""The search that prunes and stops early finds what verifying every candidate finds."""

import json
import math
from collections.abc import Iterator, Mapping
from itertools import product
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from service.contract import wanted
from service.contract.sizing import SizingRequest
from service.contract.wanted import Position
from service.sizing import size
from service.sizing.bounds import Bounds
from service.sizing.candidates import Candidate, fasteners
from service.sizing.search import verification_request
from service.verification import Assessor, verify
from tests.shipped import SHARED, shipped_rules

BOOK = shipped_rules()
POST_INSTALLED = [name for name, family in BOOK.families.items() if family["mechanism"] != "headed_fastener"]
UNROUNDED = 1e-5  # utilisations are published in six significant digits


def signed(largest: float) -> st.SearchStrategy[float]:
    return st.one_of(st.just(0.0), st.floats(-largest, largest).map(lambda value: round(value, 2)))


def axes() -> st.SearchStrategy[dict[str, Any]]:
    return st.fixed_dictionaries({
        "counts": st.sampled_from([[1], [2], [1, 2], [1, 2], [2, 3]]),
        "spacings_mm": st.sampled_from([[70], [110], [90, 150]]),
    })


LOAD_CASES = st.fixed_dictionaries({
    "normal_kn": st.floats(-5, 12).map(lambda value: round(value, 2)),
    "shear_x_kn": signed(8),
    "shear_y_kn": signed(4),
    "moment_x_knm": signed(1),
    "moment_y_knm": st.just(0.0) | signed(1),
    "torsion_knm": st.sampled_from([0, 0, 0, 0.2]),
    "sustained_share": st.sampled_from([0, 1]),
}).filter(lambda case: any(case[name] for name in case if name != "sustained_share"))

SEVERAL_CASES = st.lists(LOAD_CASES, min_size=1, max_size=2).map(
    lambda cases: {"load_cases": [{"name": str(index)} | case for index, case in enumerate(cases)]}
)
SEVERAL_ACTIONS = st.lists(
    st.tuples(st.sampled_from(["permanent", "variable", "variable", "accidental"]), LOAD_CASES), min_size=2, max_size=2
).map(
    lambda drawn: {
        "actions": [
            {"name": str(index), "kind": kind}
            | {name: value for name, value in parts.items() if kind == "variable" or name != "sustained_share"}
            for index, (kind, parts) in enumerate(drawn)
        ]
    }
)

FIXINGS = st.fixed_dictionaries({
    "assessed_on": st.just("2026-11-25"),
    "member": st.fixed_dictionaries({
        "strength_class": st.sampled_from(["C16/20", "C20/25", "C40/50"]),
        "state": st.sampled_from(["cracked", "uncracked"]),
        "thickness_mm": st.sampled_from([140, 200, 400]),
        "edges": st.fixed_dictionaries({
            "x_plus_mm": st.sampled_from([None, None, 60, 130, 300]),
            "y_minus_mm": st.sampled_from([None, None, 150]),
            "y_plus_mm": st.sampled_from([None, None, 230]),
        }),
    }),
    "pattern": st.fixed_dictionaries({"x": axes(), "y": axes()}),
    "neighbours": st.sampled_from([
        None,
        None,
        [{"x_mm": 40, "y_mm": 190}],
        [{"x_mm": -170, "y_mm": 60, "state": "loaded", "embedment_mm": 60}, {"x_mm": -90, "y_mm": -120}],
        [{"x_mm": -40, "y_mm": 140, "state": "open_hole", "hole_diameter_mm": 14, "hole_depth_mm": 45}],
    ]),
    "fixture": st.fixed_dictionaries({
        "width_mm": st.sampled_from([200, 380]),
        "depth_mm": st.sampled_from([200, 380]),
        "thickness_mm": st.sampled_from([10, 20, 30]),
        "stand_off_mm": st.sampled_from([0, 0, 0, 0, 0, 30]),
        "washer_clamped": st.booleans(),
        "yield_mpa": st.just(235),
        "attached_section": st.sampled_from([None, {"width_mm": 80, "depth_mm": 80, "profile": "hollow"}]),
    }).map(lambda fixture: {name: value for name, value in fixture.items() if value is not None}),
    "use": st.fixed_dictionaries({
        "exposure": st.sampled_from(["dry_internal", "dry_internal", "external"]),
        "hole": st.sampled_from(["dry", "wet"]),
        "overhead": st.booleans(),
        "redundancy": st.sampled_from([None, SHARED, SHARED | {"points": 3}]),
        "structural": st.booleans(),
        "consequence": st.sampled_from([None, [], [], [], ["lifting"]]),
    }),
    "limits": st.fixed_dictionaries({
        "utilisation": st.sampled_from([None, None, 0.9, 0.6]),
        "families": st.lists(st.sampled_from(POST_INSTALLED), min_size=3, max_size=6, unique=True),
        "removable": st.sampled_from([None, None, None, True]),
        "hole_depth_mm": st.sampled_from([None, None, 95]),
        "hole_diameter_mm": st.sampled_from([None, None, 14]),
    }),
    "max_choices": st.sampled_from([1, 50]),
})
REQUESTS = st.builds(
    lambda fixing, loads: fixing | loads, FIXINGS, SEVERAL_CASES | SEVERAL_CASES | SEVERAL_CASES | SEVERAL_ACTIONS
)


def grids(request: Mapping[str, Any]) -> Iterator[tuple[Position, ...]]:
    def rows(axis: Mapping[str, Any]) -> Iterator[tuple[float, ...]]:
        for count in axis["counts"]:
            for spacing in axis["spacings_mm"] if count > 1 else [0]:
                yield tuple((index - (count - 1) / 2) * spacing for index in range(count))

    edges = request["member"]["edges"]
    east = math.inf if edges["x_plus_mm"] is None else edges["x_plus_mm"]
    south, north = (math.inf if edges[name] is None else edges[name] for name in ("y_minus_mm", "y_plus_mm"))
    half_x, half_y = request["fixture"]["width_mm"] / 2, request["fixture"]["depth_mm"] / 2
    for xs, ys in product(rows(request["pattern"]["x"]), rows(request["pattern"]["y"])):
        # A fastener off the member or off the fixture is refused as a request.
        if max(xs) < min(east, half_x) and min(ys) > -south and max(ys) < min(north, half_y):
            yield tuple(Position(x, y) for y, x in product(ys, xs))


def within_limits(candidate: Candidate, limits: Mapping[str, Any]) -> bool:
    family, fastener = candidate.fastener.family, candidate.fastener
    return (
        family["id"] in limits["families"]
        and limits["removable"] in {None, family["removable"]}
        and fastener.hole_depth_mm <= (limits["hole_depth_mm"] or math.inf)  # type: ignore[operator]  # all are drilled
        and fastener.hole_diameter_mm <= (limits["hole_diameter_mm"] or math.inf)  # type: ignore[operator]
    )


def decided_by(answer: Mapping[str, Any]) -> float:
    """What a verified fixing comes to: by its checks, or by an end that is not given and counts at any distance."""
    used: float = answer["governing"]["utilisation"] if answer["governing"] else 0.0
    ends = [each["figures"] for each in answer["assumptions"] if each["code"] == "edges_count_anywhere"]
    return max([used, *(float(figures["utilisation"]) for figures in ends)])


def by_brute_force(request: Mapping[str, Any]) -> dict[str, tuple[float, ...]]:
    """Selection figures of the best candidate of each family that passes, every candidate verified."""
    cap = request["limits"]["utilisation"] or 1.0
    best: dict[str, tuple[float, ...]] = {}
    for name in request["limits"]["families"]:
        for fastener, layout in product(fasteners(BOOK.families[name]), grids(request)):
            candidate = Candidate(fastener, layout)
            if not within_limits(candidate, request["limits"]):
                continue
            answer = verify(verification_request(request, candidate), BOOK)
            used = decided_by(answer)
            if answer["verdict"] == "verified" and used <= cap:
                figures = candidate.figures(used)
                key = tuple(figures.value(criterion) for criterion in BOOK.document["selection_order"])
                best[name] = min(best.get(name, key), key)
    return best


@settings(max_examples=50, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
@given(request=REQUESTS)
def test_the_search_finds_what_verifying_every_candidate_finds(request: dict[str, Any]) -> None:
    assert SizingRequest().validate(request) == {}
    expected = by_brute_force(request)
    ranked = sorted(expected, key=lambda name: (expected[name], name))
    found = size(request, BOOK)
    shown = request["max_choices"]
    assert [choice["fastener"]["family"] for choice in found["choices"]] == ranked[:shown]
    assert [entry["family"] for entry in found["passed_over"]] == ranked[shown:]
    assert {entry["family"] for entry in found["rejected"]} == BOOK.families.keys() - expected.keys()
    for choice in found["choices"]:
        key = expected[choice["fastener"]["family"]]
        assert len(choice["positions"]) == key[0]
        if choice["hole"]["count"]:
            assert choice["hole"]["drilled_volume_mm3"] == pytest.approx(key[1], rel=UNROUNDED)
        assert (choice["utilisation"] or 0.0) == pytest.approx(key[-1], rel=UNROUNDED)


@settings(max_examples=40, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
@given(request=REQUESTS, data=st.data())
def test_no_bound_exceeds_what_verification_finds(request: dict[str, Any], data: st.DataObject) -> None:
    layouts = list(grids(request))
    sizing = wanted.made(wanted.Sizing, request)
    bounds, assessor = Bounds(sizing, BOOK), Assessor(sizing, BOOK)
    for name in request["limits"]["families"]:
        for fastener in fasteners(BOOK.families[name]):
            if layouts:
                candidate = Candidate(fastener, data.draw(st.sampled_from(layouts)))
                bound = bounds(candidate)
                answer = verify(verification_request(request, candidate), BOOK)
                unmet = sum(not requirement["met"] for requirement in answer["requirements"])
                assert bound.unmet <= unmet
                before_checks = assessor.unmet_before_checks(*fastener.row_key, candidate.layout)
                assert before_checks <= unmet or answer["verdict"] == "outside_scope"
                if answer["governing"]:
                    assert bound.utilisation <= answer["governing"]["utilisation"] * (1 + UNROUNDED)


def relaxed(request: dict[str, Any], relaxation: Mapping[str, Any]) -> dict[str, Any]:
    """The request with the one change that a relaxation names, applied as the contract says."""
    *parents, name = relaxation["pointer"].removeprefix("#/").split("/")
    changed: dict[str, Any] = json.loads(json.dumps(request))
    place = changed
    for parent in parents:
        place = place[parent]
    if relaxation["operation"] == "append":
        place[name] = [*(place.get(name) or ()), *relaxation["values"]]
    else:
        place[name] = relaxation["values"][0]
    return changed


@settings(max_examples=40, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
@given(request=REQUESTS)
def test_each_relaxation_admits_the_families_it_names(request: dict[str, Any]) -> None:
    for relaxation in size(request, BOOK)["relaxations"]:
        found = size(relaxed(request, relaxation), BOOK)
        passing = {choice["fastener"]["family"] for choice in found["choices"]}
        passing |= {entry["family"] for entry in found["passed_over"]}
        # Families that need the same number of fasteners may need other grids; the values give the first one's.
        named = relaxation["families"][:1] if relaxation["pointer"] == "#/pattern" else relaxation["families"]
        assert set(named) <= passing


def test_the_bounds_spare_most_of_an_overloaded_search() -> None:
    request = {
        "assessed_on": "2026-11-25",
        "member": {"strength_class": "C25/30", "state": "cracked", "thickness_mm": 300},
        "pattern": {"x": {"counts": [2], "spacings_mm": [100, 150]}, "y": {"counts": [2], "spacings_mm": [100, 150]}},
        "fixture": {"width_mm": 250, "depth_mm": 250, "thickness_mm": 20},
        "load_cases": [{"name": "pull", "normal_kn": 200}],
        "use": {"exposure": "external", "hole": "dry"},
    }
    searched = size(request, BOOK)["searched"]
    assert searched["pruned"] > 0.8 * searched["candidates"]


def test_an_end_that_is_not_given_counts_where_fixings_are_chosen() -> None:
    # A beam of 300 mm x 140 mm whose ends nobody tells: a push along it goes to them, however far they are.
    beam = {
        "assessed_on": "2026-11-25",
        "member": {
            "strength_class": "C30/37", "state": "uncracked", "thickness_mm": 140,
            "edges": {"y_minus_mm": 150, "y_plus_mm": 150},
        },
        "neighbours": [],
        "pattern": {"x": {"counts": [1]}, "y": {"counts": [1]}},
        "fixture": {"width_mm": 120, "depth_mm": 120, "thickness_mm": 15},
        "load_cases": [{"name": "a", "shear_x_kn": 6, "sustained_share": 0}],
        "use": {"exposure": "dry_internal", "hole": "dry", "overhead": False},
        "max_choices": 50,
    }  # fmt: skip
    choices = size(beam, BOOK)["choices"]
    answers = [verify(choice["request"], BOOK) for choice in choices]
    used = [decided_by(answer) for answer in answers]
    assert [choice["utilisation"] for choice in choices] == pytest.approx(used, rel=UNROUNDED)
    by_checks = [answer["governing"]["utilisation"] for answer in answers]
    assert any(with_end > 1.2 * alone for with_end, alone in zip(used, by_checks, strict=True))
    assert "concrete_edge" in {choice["comparison"]["governing_mode"] for choice in choices}
    # Below what the ends use, no choice is left that comes to more.
    cap = sorted(used)[len(used) // 2]
    within = size(beam | {"limits": {"utilisation": cap}}, BOOK)["choices"]
    assert 0 < len(within) < len(choices)
    assert all(choice["utilisation"] <= cap for choice in within)
