"""A fixing is not redundant by being called so: numbers of points, fasteners and kN, and an engineer who is named.

The sets of the demonstration, from memory: from 4 points on 3 kN each, from 3 points on 2 kN. The plug is assessed and
approved for redundant use alone; the shallow drop-in too, and less than 40 mm deep.
"""

from __future__ import annotations

import copy
from dataclasses import replace
from typing import Any

import pytest

from service.contract import wanted
from service.contract.recorded import asked_today
from service.rulebook import Rulebook
from service.sizing import size
from service.verification import verify
from service.verification.redundancy import Point, sharing
from tests.shipped import SHARED
from tests.verification.conftest import Ask, Request
from tests.verification.test_verdicts import LOAD, codes, unmet

NOT_FOR_PEOPLE: dict[str, Any] = {"structural": False, "consequence": []}
LOAD_KN = {"normal_kn": 1.2, "shear_x_kn": 1.7}
BOTH = {"approved_use_redundant", "redundant_use"}


def shallow(ask: Ask, redundancy: Request | None, *, fasteners: int = 1, load: Request | None = None) -> dict[str, Any]:
    """The answer for shallow drop-ins under a ceiling in the dry."""
    answer: dict[str, Any] = ask(
        fastener={"family": "drop-in-shallow-zinc", "size": "M8", "embedment_mm": 31, "length_mm": None},
        member={"thickness_mm": 200, "edges": {}},
        positions=[{"x_mm": 60 * index, "y_mm": 0} for index in range(fasteners)],
        fixture={"width_mm": 180, "depth_mm": 80, "thickness_mm": 5},
        load_cases=[LOAD | {"normal_kn": 0.6} | (load or {})],
        use={"exposure": "dry_internal", "overhead": True, **NOT_FOR_PEOPLE, "redundancy": redundancy},
    )
    return answer


def said(answer: dict[str, Any]) -> dict[str, Any]:
    found: dict[str, Any]
    [found] = [one["figures"] for one in answer["requirements"] if one["code"] == "redundant_use"]
    return found


def test_enough_points_with_an_engineer_who_has_shown_it_are_redundant(ask: Ask) -> None:
    answer = shallow(ask, SHARED)
    assert answer["verdict"] == "verified"
    [shown] = [one for one in answer["assumptions"] if one["code"] == "redundant_to_be_shown"]
    assert shown["figures"] == {"points": 4, "bridging_shown_by": "structural engineer"}


@pytest.mark.parametrize(
    ("redundancy", "load", "counts_as"),
    [
        (None, {}, "not_redundant"),
        ({"points": 1, "bridging_shown_by": "structural engineer"}, {}, "not_redundant"),
        ({"points": 4}, {}, "bridging_not_shown"),
        ({"points": 4, "bridging_shown_by": "unknown"}, {}, "bridging_not_shown"),
        ({"points": 4, "bridging_shown_by": "  "}, {}, "bridging_not_shown"),
        *(
            ({"points": 4, "bridging_shown_by": nobody}, {}, "bridging_not_shown")
            for nobody in (
                "nobody", "N/A", "n.a.", "-", "?", "123", "not shown", "Not yet", "No one", "tbc", "x", "me",
                "to follow", "Will be shown", "no engineer", "engineer to confirm", "Engineer (to be named)",
                "the crew", "engineer to check", "engineer will look at it",
                "the installer", "our fitters", "site team", "contractor", "AI", "A computer program", "unbekannt",
                "kein", "kein Ingenieur", "without engineer", "engineer: none", "engineer will confirm",
            )
        ),
        (SHARED | {"points": 2}, {}, "outside_sets"),
        (SHARED, {"normal_kn": 3.01}, "outside_sets"),
        (SHARED, {"normal_kn": 2.5, "shear_x_kn": 2.5}, "outside_sets"),
        (SHARED | {"points": 3}, {"normal_kn": 2.01}, "outside_sets"),
        (SHARED, {"moment_x_knm": 0.01}, "point_turned"),
    ],
)
def test_anything_less_is_not(ask: Ask, redundancy: Request | None, load: dict[str, float], counts_as: str) -> None:
    answer = shallow(ask, redundancy, load=load)
    assert answer["verdict"] != "verified"
    assert {*unmet(answer)} >= BOTH
    assert said(answer)["redundancy"] == counts_as
    # A depth below 40 mm is covered for redundant use alone.
    assert codes(answer["scope_limits"]) == ["embedment_below_method"]


@pytest.mark.parametrize(
    "somebody",
    [
        "N. Onley", "structural engineer", "Nona Nemo, C.Eng", "Ж. Иванова", "EB", "the engineer of the contractor",
        "Ai Mori", "A. Onley", "Will Onley", "assistant engineer",
    ],
)
def test_a_name_or_a_role_of_any_kind_is_taken(ask: Ask, somebody: str) -> None:
    assert shallow(ask, SHARED | {"bridging_shown_by": somebody})["verdict"] == "verified"


def test_it_says_what_is_there_and_what_is_covered(ask: Ask) -> None:
    answer = shallow(ask, SHARED | {"points": 3, "fasteners_per_point": 4}, fasteners=2, load=LOAD_KN)
    assert said(answer) == {
        "redundancy": "outside_sets",
        "points": 3,
        # No more than this point has.
        "fasteners_per_point": 2,
        "action_kn": pytest.approx((1.2**2 + 1.7**2) ** 0.5, rel=1e-4),
        "points_needed": [3, 4],
        "fasteners_needed": [1, 1],
        "action_allowed_kn": [2, 3],
    }


@pytest.mark.parametrize(("points", "most_kn"), [(3, 2.0), (4, 3.0), (50, 3.0)])
def test_the_action_of_a_set_itself_is_covered(ask: Ask, points: int, most_kn: float) -> None:
    within, beyond = (
        said(shallow(ask, SHARED | {"points": points}, load={"normal_kn": kn})) for kn in (most_kn, most_kn + 0.001)
    )
    assert (within["redundancy"], beyond["redundancy"]) == ("redundant", "outside_sets")


def test_rules_without_sets_know_no_redundancy(ask: Ask, rulebook: Rulebook, request_body: Request) -> None:
    answer = ask(use={"redundancy": SHARED})
    assert "redundant_to_be_shown" not in codes(answer["assumptions"])
    body = request_body | {
        "fastener": {"family": "nylon-frame-fixing", "size": "10", "embedment_mm": 72},
        "load_cases": [LOAD | {"normal_kn": 0.1}],
        "use": {"exposure": "dry_internal", "structural": False, "redundancy": SHARED},
    }
    known = said(verify(body, without_sets(rulebook)))
    assert (known["redundancy"], known["points_needed"]) == ("without_sets", [])


def without_sets(rulebook: Rulebook) -> Rulebook:
    """The rulebook as one before sets: the field is left out."""
    families: dict[str, Any] = {name: _bare(family) for name, family in rulebook.families.items()}
    return replace(rulebook, families=families)


def _bare(family: Any) -> Any:
    covers = {name: value for name, value in family["assessment"]["covers"].items() if name != "redundancy_sets"}
    return {**family, "assessment": {**family["assessment"], "covers": covers}}


def test_a_record_that_only_asserts_it_counts_by_rules_of_its_day_and_by_no_others(
    rulebook: Rulebook, request_body: Request
) -> None:
    body = request_body | {
        "fastener": {"family": "nylon-frame-fixing", "size": "10", "embedment_mm": 72},
        "load_cases": [LOAD | {"normal_kn": 0.1}],
        "use": {"exposure": "dry_internal", "structural": False, "redundant": True},
    }
    then = without_sets(rulebook)
    assert said(verify(body, then))["redundancy"] == "redundant"
    assert said(verify(body, rulebook))["redundancy"] == "not_redundant"
    assert said(verify(asked_today(body), then))["redundancy"] == "not_redundant"


def test_a_sizing_takes_no_fastener_for_redundant_use_on_its_word(rulebook: Rulebook, request_body: Request) -> None:
    request = copy.deepcopy(request_body)
    for name in ("fastener", "positions", "detail"):
        request.pop(name, None)
    request |= {
        "pattern": {"x": {"counts": [1]}, "y": {"counts": [1]}},
        "load_cases": [LOAD | {"normal_kn": 0.3}],
        "limits": {"families": ["drop-in-shallow-zinc"]},
    }
    use = {"exposure": "dry_internal", "hole": "dry", "overhead": True, **NOT_FOR_PEOPLE}
    chosen = size(request | {"use": use | {"redundancy": SHARED}}, rulebook)
    assert [choice["fastener"]["family"] for choice in chosen["choices"]] == ["drop-in-shallow-zinc"]
    for redundancy in (None, {"points": 4}, SHARED | {"points": 2}):
        answer = size(request | {"use": use | {"redundancy": redundancy}}, rulebook)
        assert answer["choices"] == []
        [stopped] = [one["cause"] for one in answer["rejected"] if one["family"] == "drop-in-shallow-zinc"]
        assert BOTH & {stopped["code"], *(also["code"] for also in stopped["also"])} or stopped["kind"] == "scope"


def test_more_points_never_lose_it_and_a_larger_action_never_gains_it(rulebook: Rulebook) -> None:
    """Common sense, no source: over every family with sets, points, fasteners and actions around the limits of each."""
    families = [family for family in rulebook.families.values() if family["assessment"]["covers"]["redundant_use_only"]]
    assert families
    for family in families:
        shown = {
            (points, fasteners, kn): sharing(
                wanted.Use(redundancy=wanted.Redundancy(points, fasteners, "structural engineer")),
                family,
                Point(fasteners=2, action_kn=kn, turned=False),
            ).shown
            for points in range(1, 8)
            for fasteners in (1, 2, 3)
            for kn in (0.0, 1.9, 2.0, 2.1, 3.0, 3.1, 50.0)
        }
        assert {True, False} == {*shown.values()}
        for (points, fasteners, kn), here in shown.items():
            less = [other for key, other in shown.items() if key[0] <= points and key[1] <= fasteners and key[2] >= kn]
            assert here or not any(less)
