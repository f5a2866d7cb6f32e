"""What protects people, hangs over them or lifts takes no family that is approved for non-structural use alone.

The plug, the shallow drop-in and the eyebolt of the demonstration are; the eyebolt is also never for lifting gear.
"""

from __future__ import annotations

import copy
from dataclasses import replace
from typing import Any

import pytest

from service.contract.load_model_codes import Caution
from service.contract.load_models import EXAMPLES
from service.contract.things import CAUTIONS_OF, THINGS
from service.rulebook import Rulebook
from service.site import load_models
from service.sizing import size
from service.verification import verify
from tests.shipped import SHARED, VERSION
from tests.verification.conftest import Ask, Request
from tests.verification.test_verdicts import LOAD, codes, unmet

NOT_FOR_PEOPLE = {"approved_use_non_structural", "use_not_excluded"}
HARM = (["people_below"], ["fall_protection"], ["lifting"], ["people_below", "lifting"])


def eyebolt(
    ask: Ask, structural: bool | None = False, loads_from: list[Request] | None = None, **use: Any
) -> dict[str, Any]:
    """The answer for an eyebolt under a slab that is shown to be uncracked."""
    answer: dict[str, Any] = ask(
        fastener={"family": "sleeve-eyebolt-zinc", "size": "M8", "embedment_mm": 55, "length_mm": None},
        member={"thickness_mm": 200, "state": "uncracked", "edges": {}},
        positions=[{"x_mm": 0, "y_mm": 0}],
        fixture={"width_mm": 40, "depth_mm": 40, "thickness_mm": None},
        load_cases=[LOAD | {"normal_kn": 0.6}],
        use={"exposure": "dry_internal", "overhead": True, "structural": structural} | use,
        loads_from=loads_from,
    )
    return answer


def test_where_nobody_could_be_hurt_it_is_verified_and_the_crew_is_told_what_that_rests_on(ask: Ask) -> None:
    answer = eyebolt(ask, consequence=[])
    assert answer["verdict"] == "verified"
    assert "nobody_hurt_to_be_shown" in codes(answer["assumptions"])


@pytest.mark.parametrize("consequence", [*HARM, None])
def test_an_honest_no_to_structure_is_not_enough(ask: Ask, consequence: list[str] | None) -> None:
    answer = eyebolt(ask, consequence=consequence)
    assert answer["verdict"] == "not_verified"
    assert set(unmet(answer)) == NOT_FOR_PEOPLE
    assert ("consequence_not_given" in codes(answer["assumptions"])) is (consequence is None)
    [use] = [one for one in answer["requirements"] if one["code"] == "use_not_excluded"]
    assert use["figures"]["consequence"] == (consequence or ["not_known"])


HANGS_FOR_GOOD = [{"input": "surface", "word": "vertical_face"}, {"input": "lifting", "word": "steady_pull"}]


@pytest.mark.parametrize(
    ("load_model", "told", "consequence"),
    [
        ("guardrail_post", [], ["fall_protection"]),
        ("soffit_hanger", [], ["people_below"]),
        ("racking_upright", [], ["people_below"]),
        # What nobody told may hang over people, and lift.
        ("eyebolt", [], ["people_below", "lifting"]),
        ("eyebolt", HANGS_FOR_GOOD[:1], ["lifting"]),
        ("pipe_clamp", [{"input": "surface", "word": "soffit"}], ["people_below"]),
    ],
)
def test_what_the_loads_came_from_counts_though_the_request_says_that_nobody_could_be_hurt(
    ask: Ask, load_model: str, told: list[Request], consequence: list[str]
) -> None:
    answer = eyebolt(ask, consequence=[], loads_from=[{"load_model": load_model, "cautions": [], "told": told}])
    assert answer["verdict"] == "not_verified"
    assert set(unmet(answer)) == NOT_FOR_PEOPLE
    [counted] = [one for one in answer["assumptions"] if one["code"] == "consequence_of_load_model"]
    assert counted["figures"] == {"load_models": [load_model], "consequence": consequence}
    assert "nobody_hurt_to_be_shown" not in codes(answer["assumptions"])


def test_a_thing_that_tells_nothing_of_people_leaves_the_answer_as_it_was(ask: Ask) -> None:
    for source in (
        {"load_model": "machine_base", "cautions": []},
        {"load_model": "eyebolt", "cautions": [], "told": HANGS_FOR_GOOD},
    ):
        answer = eyebolt(ask, consequence=[], loads_from=[source])
        assert answer["verdict"] == "verified"
        assert "consequence_of_load_model" not in codes(answer["assumptions"])


def test_structural_stays_structural_though_nobody_could_be_hurt(ask: Ask) -> None:
    assert unmet(eyebolt(ask, structural=True, consequence=[])) == ["approved_use_non_structural"]
    assert unmet(eyebolt(ask, structural=None, consequence=[])) == ["approved_use_non_structural"]


def test_rules_that_exclude_no_use_still_keep_non_structural_families_from_people(
    rulebook: Rulebook, request_body: Request
) -> None:
    family = {name: value for name, value in rulebook.families["nylon-frame-fixing"].items() if name != "uses_excluded"}
    earlier = replace(rulebook, families={**rulebook.families, "nylon-frame-fixing": family})
    for consequence in (*HARM, None):
        body = request_body | {
            "fastener": {"family": "nylon-frame-fixing", "size": "10", "embedment_mm": 72},
            "load_cases": [LOAD | {"normal_kn": 0.1}],
            "use": {"exposure": "dry_internal", "structural": False, "redundancy": SHARED, "consequence": consequence},
        }
        assert "approved_use_non_structural" in unmet(verify(body, earlier))


@pytest.mark.parametrize("consequence", [*HARM, [], None])
def test_a_family_that_is_not_restricted_is_not_asked(ask: Ask, consequence: list[str] | None) -> None:
    answer = ask(use={"consequence": consequence})
    assert answer["verdict"] == "verified"
    assert not {"consequence_not_given", "nobody_hurt_to_be_shown"} & {*codes(answer["assumptions"])}


def test_a_sizing_chooses_none_of_them_where_people_depend_on_it(rulebook: Rulebook, request_body: Request) -> None:
    request = copy.deepcopy(request_body)
    for name in ("fastener", "positions", "detail"):
        request.pop(name, None)
    request |= {
        "pattern": {"x": {"counts": [1]}, "y": {"counts": [1]}},
        "load_cases": [LOAD | {"normal_kn": 0.3}],
        "limits": {"families": ["drop-in-shallow-zinc"]},
    }
    use = {"exposure": "dry_internal", "hole": "dry", "overhead": True, "structural": False, "redundancy": SHARED}
    assert size(request | {"use": use | {"consequence": []}}, rulebook)["choices"]
    for consequence in (*HARM, None):
        answer = size(request | {"use": use | {"consequence": consequence}}, rulebook)
        assert answer["choices"] == []
        [stopped] = [one["cause"] for one in answer["rejected"] if one["family"] == "drop-in-shallow-zinc"]
        causes = {one["code"]: one for one in (stopped, *stopped["also"])}
        assert causes.keys() >= NOT_FOR_PEOPLE
        for code in NOT_FOR_PEOPLE:
            assert causes[code]["left_open"] == (None if consequence else "#/use/consequence")


HOIST = {"surface": "soffit", "mass_kg": 50, "angle_degrees": 0, "eye_height_mm": 40}


def loads(model: str, rulebook: Rulebook, **inputs: Any) -> dict[str, Any]:
    request = {"rulebook": VERSION, "assessed_on": "2026-11-25"} | inputs
    return load_models.load_cases(model, request, rulebook)


@pytest.mark.parametrize(
    ("model", "inputs", "consequence"),
    [
        ("eyebolt", HOIST | {"lifting": "power_hoist"}, ["people_below", "lifting"]),
        ("eyebolt", HOIST, ["people_below", "lifting"]),
        ("eyebolt", HOIST | {"lifting": "steady_pull"}, ["people_below"]),
        ("soffit_hanger", {"mass_kg": 60, "hangers": 4}, ["people_below"]),
    ],
)
def test_a_load_model_says_what_comes_of_it(
    rulebook: Rulebook, model: str, inputs: Request, consequence: list[str]
) -> None:
    assert loads(model, rulebook, **inputs)["use"] == {"consequence": consequence}


def test_a_guardrail_is_not_held_by_one_shallow_drop_in_after_an_honest_no_to_structure(
    ask: Ask, rulebook: Rulebook
) -> None:
    found = loads("guardrail_post", rulebook, **EXAMPLES["guardrail_post"]["quay_edge"]["value"])
    assert found["use"] == {"consequence": ["fall_protection"]}
    answer = ask(
        fastener={"family": "drop-in-shallow-zinc", "size": "M6", "embedment_mm": 31, "length_mm": None},
        positions=[{"x_mm": 0, "y_mm": 0}],
        load_cases=[LOAD | {"normal_kn": 0.1}],
        use={"exposure": "dry_internal", "structural": False, "redundancy": SHARED} | found["use"],
        loads_from=[found["loads_from"]],
    )
    assert answer["verdict"] == "not_verified"
    assert set(unmet(answer)) >= NOT_FOR_PEOPLE


def test_a_power_hoist_on_an_eyebolt_that_is_not_for_lifting_gear_is_refused(ask: Ask, rulebook: Rulebook) -> None:
    found = loads("eyebolt", rulebook, **HOIST, lifting="power_hoist")
    answer = eyebolt(ask, **found["use"])
    assert set(unmet(answer)) == NOT_FOR_PEOPLE


def test_cautions_of_a_load_model_go_with_the_answer(ask: Ask, rulebook: Rulebook) -> None:
    found = loads("eyebolt", rulebook, **HOIST)
    answer = ask(loads_from=[found["loads_from"]], use=found["use"])
    said = {one["code"]: one for one in answer["cautions"]}
    assert set(found["loads_from"]["cautions"]) <= said.keys()
    assert said[Caution.NO_ONE_UNDER_THE_LOAD]["text"] == next(
        one["text"] for one in found["cautions"] if one["code"] == Caution.NO_ONE_UNDER_THE_LOAD
    )
    assert not set(found["loads_from"]["cautions"]) & set(codes(ask()["cautions"]))


@pytest.mark.parametrize("thing", THINGS)
def test_what_to_beware_of_with_a_thing_cannot_be_left_out(ask: Ask, thing: str) -> None:
    """A request that gave no cautions got none: nobody read that no one stands under a lifted load."""
    said = codes(ask(loads_from=[{"load_model": thing, "cautions": []}])["cautions"])
    assert {"actions_to_be_confirmed", *(caution.value for caution in CAUTIONS_OF[thing])} <= set(said)


def test_every_load_model_says_what_to_beware_of() -> None:
    assert set(THINGS) == set(load_models.MODELS)
