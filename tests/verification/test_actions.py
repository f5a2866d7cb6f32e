"""Actions in place of characteristic load cases: combined by EN 1990, shown and verified, each with its own factors.

Source of every figure: EN 1990:2002, 6.4.3, from memory, by hand: 1.35, 1.0 and 1.5; weight that holds down 0.9.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import permutations
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.rulebook import Rulebook
from service.verification import verify
from tests.shipped import shipped_rules

BOOK = shipped_rules()
FEW = settings(max_examples=25, deadline=None)
FIXING: dict[str, Any] = {
    "assessed_on": "2026-11-30",
    "fastener": {"family": "bolt-expansion-stainless", "size": "M12", "embedment_mm": 75},
    "member": {"strength_class": "C25/30", "state": "cracked", "thickness_mm": 250, "edges": {"x_plus_mm": 300}},
    "positions": [{"x_mm": x, "y_mm": 0} for x in (-75, 75)],
    "fixture": {
        "width_mm": 250,
        "depth_mm": 100,
        "thickness_mm": 40,
        "attached_section": {"width_mm": 100, "depth_mm": 100, "profile": "hollow"},
    },
    "site": {
        "torque_control": "calibrated_wrench",
        "strength_evidence": "documented",
        "hole_cleaning": "verified",
        "installer": "trained",
        "drilling": "hammer",
    },
    "use": {"exposure": "external", "hole": "dry", "overhead": False},
}
ROD: dict[str, Any] = {
    "fastener": {"family": "bonded-rod-epoxy-slow", "size": "M12", "embedment_mm": 111},
    "use": FIXING["use"] | {"temperature_range": "I", "exposure": "dry_internal"},
}
WEIGHT: dict[str, Any] = {"name": "weight", "kind": "permanent", "normal_kn": 5}
LOAD: dict[str, Any] = {"name": "load", "kind": "variable", "normal_kn": 5}


@pytest.fixture(scope="module")
def rulebook() -> Rulebook:
    return BOOK


def under(rulebook: Rulebook, *actions: dict[str, Any], **other: Any) -> dict[str, Any]:
    return verify(FIXING | other | {"actions": list(actions)}, rulebook)


def as_load_cases(answer: dict[str, Any], **other: Any) -> list[dict[str, Any]]:
    """The combinations of an answer as design load cases, each asked by itself."""
    names = ("normal_kn", "shear_x_kn", "shear_y_kn", "moment_x_knm", "moment_y_knm", "torsion_knm")
    return [
        {"name": each["name"], "kind": "design"} | {name: each[name] for name in names} | other
        for each in answer["combinations"]
    ]


def test_weight_and_load_of_one_direction_are_added(rulebook: Rulebook) -> None:
    """The trap: as two characteristic load cases they were alternatives, 7.5 kN in place of 14.25."""
    answer = under(rulebook, WEIGHT, LOAD)
    alone = verify(FIXING | {"load_cases": [{"name": "sum", "normal_kn": 14.25}]}, rulebook)
    assert [each["name"] for each in answer["combinations"]] == ["1.35·weight + 1.5·load"]
    assert answer["combinations"][0]["normal_kn"] == 14.25
    assert answer["governing"]["utilisation"] == alone["governing"]["utilisation"]
    either = [{"name": "weight", "normal_kn": 6.75}, {"name": "load", "normal_kn": 7.5}]
    alternatives = verify(FIXING | {"load_cases": either}, rulebook)
    assert answer["governing"]["utilisation"] > 1.8 * alternatives["governing"]["utilisation"]


def test_weight_relieves_wind_by_its_least_and_no_point_is_left_open(rulebook: Rulebook) -> None:
    """Wind lifts by 6 kN, weight holds 2 kN: 1.5·6 − 0.9·2 = 7.2 kN, and 7.0 where it may count in full."""
    wind = {"name": "wind", "kind": "variable", "normal_kn": 6, "shear_x_kn": 1}
    weight = {"name": "weight", "kind": "permanent", "normal_kn": -2}
    answer = under(rulebook, weight, wind)
    assert max(each["normal_kn"] for each in answer["combinations"]) == pytest.approx(7.2)
    assert "relieving_normal_force" not in {each["code"] for each in answer["cautions"]}
    assert "holding_down_not_given" in {each["code"] for each in answer["assumptions"]}
    full = under(rulebook, weight | {"holding_down": False}, wind)
    assert max(each["normal_kn"] for each in full["combinations"]) == pytest.approx(7.0)
    assert "holding_down_not_given" not in {each["code"] for each in full["assumptions"]}


@pytest.mark.parametrize(
    ("component", "weight", "jib"),
    [("moment_x_knm", -2.0, 3.3), ("shear_y_kn", -2.0, 3.0), ("torsion_knm", -0.5, 1.0), ("normal_kn", -2.0, 6.0)],
)
def test_what_turns_or_pushes_back_counts_its_least_as_what_presses_does(
    rulebook: Rulebook, component: str, weight: float, jib: float
) -> None:
    """A counterweight of 2 kNm against a jib of 3.3 was counted in full, 1.5·3.3 − 2 in place of 1.5·3.3 − 0.9·2."""
    permanent = {"name": "counterweight", "kind": "permanent", component: weight}
    variable = {"name": "jib", "kind": "variable", component: jib}
    silent, said = under(rulebook, permanent, variable), under(rulebook, permanent | {"holding_down": True}, variable)
    assert max(each[component] for each in silent["combinations"]) == pytest.approx(1.5 * jib + 0.9 * weight)
    assert silent["combinations"] == said["combinations"]
    told = [each["code"] == "holding_down_not_given" for each in silent["assumptions"]]
    assert told.count(True) == 1
    assert "holding_down_not_given" not in {each["code"] for each in under(rulebook, permanent)["assumptions"]}


def test_weight_that_presses_harder_alone_is_told_and_else_is_not_a_case_of_its_own(rulebook: Rulebook) -> None:
    weight = {"name": "weight", "kind": "permanent", "normal_kn": -3}
    pushed = {"name": "push", "kind": "variable", "shear_x_kn": 1}
    lifted = {"name": "lift", "kind": "variable", "normal_kn": 1, "shear_x_kn": 1}
    told = [{each["code"] for each in under(rulebook, weight, other)["cautions"]} for other in (pushed, lifted)]
    assert ["compression_only" in codes for codes in told] == [False, True]
    assert "compression_only" in {each["code"] for each in under(rulebook, weight)["cautions"]}


def test_each_combination_is_told_with_what_leads_and_every_factor(rulebook: Rulebook) -> None:
    crowd = {"name": "crowd", "kind": "variable", "normal_kn": 3, "psi_0": 0.7}
    wind = {"name": "wind", "kind": "variable", "shear_x_kn": 2, "psi_0": 0.6}
    told = {each["name"]: each for each in under(rulebook, WEIGHT, crowd, wind)["combinations"]}
    found = told["1.35·weight + 1.05·crowd + 1.5·wind"]
    assert (found["combination"], found["leading"]) == ("eq_6_10", "wind")
    assert found["factors"] == [
        {"action": "weight", "factor": 1.35}, {"action": "crowd", "factor": 1.05}, {"action": "wind", "factor": 1.5},
    ]  # fmt: skip
    assert (found["normal_kn"], found["shear_x_kn"]) == (9.9, 3.0)
    assert told["1.35·weight + 1.5·crowd + 0.9·wind"]["leading"] == "crowd"


def test_no_two_combinations_have_one_name(rulebook: Rulebook) -> None:
    """Checks name the combination that they are of: factors that differ in the ninth digit are told apart too."""
    push = {"name": "push", "kind": "variable", "shear_x_kn": 1, "psi_0": 0.99999999}
    names = [each["name"] for each in under(rulebook, LOAD | {"psi_0": 0.99999999}, push)["combinations"]]
    assert len(names) == len(set(names)) > 1
    plain = [each["name"] for each in under(rulebook, WEIGHT, LOAD)["combinations"]]
    assert "1.35·weight + 1.5·load" in plain


def test_an_accident_takes_the_accidental_factors_of_resistance_and_the_rest_does_not(rulebook: Rulebook) -> None:
    truck = {"name": "truck", "kind": "accidental", "shear_x_kn": 12}
    load = LOAD | {"psi_1": 0.5, "psi_2": 0.3}
    answer = under(rulebook, WEIGHT, load, truck)
    cone = {c["combination"]: c["partial_factor"] for c in answer["checks"] if c["mode"] == "concrete_cone"}
    assert cone == {"eq_6_10": 1.5, "eq_6_11": 1.2}
    accidental = [case for case in as_load_cases(answer) if "truck" in case["name"]]
    assert [case["normal_kn"] for case in accidental] == [5, 7.5, 4.5, 7]
    apart = verify(FIXING | {"load_cases": accidental, "use": FIXING["use"] | {"situation": "accidental"}}, rulebook)
    edge = [
        c["utilisation"] for c in answer["checks"] if c["mode"] == "concrete_edge" and c["combination"] == "eq_6_11"
    ]
    assert edge == [max(c["utilisation"] for c in apart["checks"] if c["mode"] == "concrete_edge")]
    assert "accidental_shear_factor" in {each["code"] for each in answer["basis"]["open_readings"]}


def alpha_sus(answer: dict[str, Any], combination: str) -> float:
    """What of the actions stays for long, as the trace of the bond check says it."""
    (bond,) = (each for each in answer["checks"] if each["mode"] == "bond")
    assert bond["load_case"] == combination
    return float(next(step["value"] for step in bond["trace"] if step["symbol"] == "alpha_sus"))


def test_what_stays_is_the_largest_share_of_any_fastener(rulebook: Rulebook) -> None:
    """Rods at ±75 mm, raised, so that forces are linear: by hand.

    Weight of 8 kN in the middle: 1.35·8/2 = 5.4 kN each. A short pull of 4 kN there adds 3 kN each: 5.4/8.4. A short
    moment of 0.3 kNm adds 1.5·0.3/0.15 = 3 kN to one and takes it off the other, so that of the relieved one all stays.
    """
    weight = WEIGHT | {"normal_kn": 8, "holding_down": False}
    raised = ROD | {"fixture": FIXING["fixture"] | {"stand_off_mm": 10}, "detail": "full"}
    pull = {"name": "pull", "kind": "variable", "normal_kn": 4, "sustained_share": 0}
    gust = {"name": "gust", "kind": "variable", "moment_y_knm": -0.3, "sustained_share": 0}
    pulled = alpha_sus(under(rulebook, weight, pull, **raised), "1.35·weight + 1.5·pull")
    assert pulled == pytest.approx(5.4 / 8.4, rel=1e-5)
    assert alpha_sus(under(rulebook, weight, gust, **raised), "1.35·weight + 1.5·gust") == 1.0


def test_weight_that_presses_holds_no_bond_for_long(rulebook: Rulebook) -> None:
    weight = WEIGHT | {"normal_kn": -4}
    gust = {"name": "gust", "kind": "variable", "normal_kn": 8, "sustained_share": 0}
    assert alpha_sus(under(rulebook, weight, gust, **ROD, detail="full"), "0.9·weight + 1.5·gust") == 0.0


def test_the_sheared_part_that_stays_counts_for_pry_out(rulebook: Rulebook) -> None:
    """Weight along a wall stays though nothing pulls for long; pry-out of a rod stands on its bond."""
    weight = {"name": "weight", "kind": "permanent", "shear_y_kn": 8}
    pull = {"name": "pull", "kind": "variable", "normal_kn": 4, "sustained_share": 0}
    answer = under(rulebook, weight, pull, **ROD)
    (case,) = (each for each in as_load_cases(answer) if each["name"] == "1.35·weight + 1.5·pull")
    lasting = verify(FIXING | ROD | {"load_cases": [case | {"sustained_share": 1}]}, rulebook)
    used = [next(c["utilisation"] for c in each["checks"] if c["mode"] == "pry_out") for each in (answer, lasting)]
    assert used[0] == used[1]


def test_what_is_left_open_is_told_where_it_counts(rulebook: Rulebook) -> None:
    other = {"name": "frame", "kind": "permanent", "shear_x_kn": 1}
    codes = [each["code"] for each in under(rulebook, WEIGHT, other, LOAD, **ROD)["assumptions"]]
    assert {"source_not_given", "action_sustained_share_not_given"} <= set(codes)
    assert "situation_not_given" not in codes
    assert "psi_not_given" not in codes
    wind = {"name": "wind", "kind": "variable", "shear_x_kn": 1}
    assert "psi_not_given" in {each["code"] for each in under(rulebook, LOAD, wind)["assumptions"]}
    exclusive = under(rulebook, LOAD, wind | {"excludes": ["load"]})
    assert "psi_not_given" not in {each["code"] for each in exclusive["assumptions"]}


def test_service_loads_are_the_characteristic_ones_times_growth(rulebook: Rulebook) -> None:
    small = [WEIGHT | {"normal_kn": 1}, LOAD | {"normal_kn": 1}]
    answer = under(rulebook, *small)
    (found,) = answer["permissible"]
    assert found["growth"] == pytest.approx(1 / answer["governing"]["utilisation"], rel=1e-5)
    assert found["service_kn"] == pytest.approx(2 * found["growth"], rel=1e-5)


def test_releases_without_a_factor_for_weight_that_holds_down_rest_nothing_on_it(rulebook: Rulebook) -> None:
    factors = dict(rulebook.factors)
    factors["load-models"] = {k: v for k, v in factors["load-models"].items() if k != "holding_down"}
    older = replace(rulebook, factors=factors)
    answer = under(older, WEIGHT | {"normal_kn": -2}, LOAD)
    assert max(each["normal_kn"] for each in answer["combinations"]) == 7.5


def test_a_rulebook_may_choose_6_10a_and_6_10b(rulebook: Rulebook) -> None:
    """1.35·5 + 0.7·1.5·5 = 12 kN, or 0.85·1.35·5 + 1.5·5 = 13.2375 kN: the larger of one direction is verified."""
    document = dict(rulebook.document)
    actions = dict(document["partial_factors"]["actions"]) | {"permanent_reduction": 0.85}
    document["partial_factors"] = dict(document["partial_factors"]) | {"actions": actions}
    chosen = replace(rulebook, document=document)
    (found,) = under(chosen, WEIGHT, LOAD | {"psi_0": 0.7})["combinations"]
    assert (found["combination"], found["normal_kn"]) == ("eq_6_10b", 13.2375)


PARTS = st.fixed_dictionaries({
    "normal_kn": st.sampled_from([-3, 0, 2, 4]),
    "shear_x_kn": st.sampled_from([-2, 0, 3]),
    "moment_y_knm": st.sampled_from([-0.2, 0, 0.3]),
}).filter(lambda parts: any(parts.values()))


@st.composite
def sets_of_actions(draw: st.DrawFn) -> list[dict[str, Any]]:
    kinds = draw(st.lists(st.sampled_from(["permanent", "variable", "variable"]), min_size=1, max_size=3))
    return [
        {"name": f"action {number}", "kind": kind} | draw(PARTS) | ({"psi_0": 0.7} if kind == "variable" else {})
        for number, kind in enumerate(kinds)
    ]


def most_used(answer: dict[str, Any]) -> dict[tuple[str, str | None], float]:
    return {(each["mode"], each["edge"]): each["utilisation"] for each in answer["checks"]}


@FEW
@given(actions=sets_of_actions())
def test_every_combination_is_verified_as_if_it_stood_alone(actions: list[dict[str, Any]]) -> None:
    """Source: verification of the combinations one by one, as design load cases."""
    answer = verify(FIXING | {"actions": actions}, BOOK)
    apart = verify(FIXING | {"load_cases": as_load_cases(answer)}, BOOK)
    assert answer["verdict"] == apart["verdict"]
    expected: dict[tuple[str, str | None], float] = {}
    for check in apart["checks"]:
        key = check["mode"], check["edge"]
        expected[key] = max(expected.get(key, 0.0), check["utilisation"])
    # The components of a combination are shown to six digits.
    assert most_used(answer) == pytest.approx(expected, rel=1e-4)


@FEW
@given(actions=sets_of_actions())
def test_the_order_of_the_actions_changes_no_figure(actions: list[dict[str, Any]]) -> None:
    """Source: a sum has no order."""
    found = set()
    for order in list(permutations(actions))[:3]:
        answer = verify(FIXING | {"actions": list(order)}, BOOK)
        found.add((answer["verdict"], tuple(sorted(most_used(answer).items(), key=str))))
    assert len(found) == 1


@FEW
@given(
    pull=st.sampled_from([0.5, 1.0, 3.0]),
    more=st.sampled_from([1.1, 2.0]),
    which=st.sampled_from(["weight", "load", "wind"]),
)
def test_an_action_that_pulls_more_never_lowers_what_is_used(pull: float, more: float, which: str) -> None:
    """Source: common sense, no source: nothing here relieves."""
    wind = {"name": "wind", "kind": "variable", "normal_kn": pull, "shear_x_kn": pull, "psi_0": 0.6}
    actions: list[dict[str, Any]] = [WEIGHT | {"normal_kn": pull}, LOAD | {"psi_0": 0.7}, wind]
    larger = [
        {name: value * more if name.endswith("_kn") else value for name, value in each.items()}
        if each["name"] == which
        else each
        for each in actions
    ]
    before, after = (most_used(verify(FIXING | {"actions": each}, BOOK)) for each in (actions, larger))
    for key, used in before.items():
        assert after[key] >= used * (1 - 1e-9), key
