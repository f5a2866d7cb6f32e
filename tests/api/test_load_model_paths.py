"""Load models over HTTP: what a form needs, load cases that post back, and bad inputs each with its words."""

# A case a row: the table is read down its columns.
# ruff: noqa: E501

import copy
import math
from typing import Any

import pytest

from service.contract.load_models import EXAMPLES
from service.site.load_models import MODELS
from tests.api.holding import HeldClient, errors_of

PATH = "/v1/load-models"
EXAMPLE_CASES = [
    pytest.param(model, example["value"], id=f"{model}-{name}")
    for model, examples in EXAMPLES.items()
    for name, example in examples.items()
]


def example(model: str) -> dict[str, Any]:
    """The first example of a model, to be changed."""
    first = next(iter(EXAMPLES[model].values()))
    return copy.deepcopy(first["value"])


def test_every_model_has_an_example() -> None:
    assert set(EXAMPLES) == set(MODELS)


def test_the_list_is_enough_to_build_a_form_from(client: HeldClient) -> None:
    """Every model is filled in from the list alone, and answers."""
    listed = client.get(PATH).get_json()["models"]
    assert [model["model"] for model in listed] == list(MODELS)
    one_of_two = {"guardrail_post": {"category"}, "pipe_clamp": {"mass_kg", "other_span_mm"}, "eyebolt": {"mass_kg"}}
    for model in listed:
        chosen = one_of_two.get(model["model"], set())
        asked = [field for field in model["inputs"] if field["required"] or field["name"] in chosen]
        filled = {
            field["name"]: field["allowed"][0]["value"]
            if field["kind"] == "word"
            else field["minimum"] + (field["maximum"] - field["minimum"]) / 20
            for field in asked
        }
        response = client.post(model["path"], json=filled)
        assert response.status_code == 200, response.get_json()


def test_the_list_tells_the_words_of_the_rulebook(client: HeldClient) -> None:
    listed = {model["model"]: model for model in client.get(PATH).get_json()["models"]}
    inputs = {field["name"]: field for field in listed["guardrail_post"]["inputs"]}
    assert {word["value"] for word in inputs["category"]["allowed"]} == {"A", "B_C1", "C2_C3_C4_D", "C5", "E"}
    machine = {field["name"]: field for field in listed["machine_base"]["inputs"]}["machine"]
    assert machine["default"] == "unknown"
    assert {"value": "unknown", "title": "Not known"} in machine["allowed"]


def test_every_field_and_every_choice_of_the_list_has_a_title_for_people(client: HeldClient) -> None:
    for model in client.get(PATH).get_json()["models"]:
        for asked in model["inputs"]:
            assert asked["title"] != asked["name"]
            for choice in asked["allowed"] or []:
                assert choice["title"]
                assert "_" not in choice["title"]
    heights = {asked["name"]: asked for asked in client.get(PATH).get_json()["models"][0]["inputs"]}
    assert heights["rail_height_mm"]["title"] == "Height of the rail"


@pytest.mark.parametrize(("model", "value"), EXAMPLE_CASES)
def test_load_cases_post_back_to_a_verification_and_a_sizing(
    client: HeldClient, model: str, value: dict[str, Any]
) -> None:
    found = client.post(f"{PATH}/{model}", json=value).get_json()
    rest = {"member": {"thickness_mm": 300}, "fixture": {"width_mm": 400, "depth_mm": 400}}
    four = [{"x_mm": x, "y_mm": y} for x in (-150, 150) for y in (-150, 150)]
    fastener = {"family": "bolt-expansion-stainless", "size": "M12", "embedment_mm": 75}
    used = {}
    for part in ("load_cases", "actions"):
        if found[part]:
            request = rest | {"positions": four, "fastener": fastener, part: found[part]}
            response = client.post("/v1/verifications", json=request)
            assert response.status_code == 200
            used[part] = (response.get_json()["governing"] or {"utilisation": 0.0})["utilisation"]
    # Every design load case is a combination of the actions.
    assert used.get("actions", math.inf) >= used["load_cases"] * (1 - 1e-4)
    request = rest | {
        "positions": four,
        "load_cases": found["load_cases"][:2],
        "limits": {"families": [fastener["family"]]},
    }
    assert client.post("/v1/sizings", json=request).status_code == 200


@pytest.mark.parametrize(("model", "value"), EXAMPLE_CASES)
def test_working_names_source_or_rule_of_every_figure_that_is_not_given(
    client: HeldClient, model: str, value: dict[str, Any]
) -> None:
    found = client.post(f"{PATH}/{model}", json=value).get_json()
    given = [float(figure) for figure in value.values() if not isinstance(figure, str)]
    for step in found["working"]:
        if step["source"] is None:
            assert step["rule"] is None
            assert step["expression"] is None
        if step["rule"] is not None:
            assert step["source"]
    assert any(step["value"] in given for step in found["working"])
    assert {"actions_to_be_confirmed", "demonstration_data"} <= {caution["code"] for caution in found["cautions"]}


def test_null_is_the_same_as_left_out(client: HeldClient) -> None:
    value = example("guardrail_post")
    with_nulls = value | {"line_load_kn_per_m": None, "along_kn": None, "rulebook": None}
    assert (
        client.post(f"{PATH}/guardrail_post", json=with_nulls).get_json()
        == client.post(f"{PATH}/guardrail_post", json=value).get_json()
    )


def test_an_unknown_model_is_no_path(client: HeldClient) -> None:
    response = client.post(f"{PATH}/flag_pole", json={})
    assert response.status_code == 404
    assert response.get_json()["detail"] == "No such path; /openapi.json lists the paths."


def bad(
    model: str, change: dict[str, Any], pointer: str, code: str, words: str, *, without: tuple[str, ...] = ()
) -> Any:
    return pytest.param(
        model, change, without, pointer, code, words, id=f"{model}-{pointer[2:] or 'all'}-{code}-{'-'.join(change)}"
    )


@pytest.mark.parametrize(
    ("model", "change", "without", "pointer", "code", "words"),
    [
        bad("guardrail_post", {"category": "F"}, "#/category", "not_allowed", "must be one of: A, B_C1, C2_C3_C4_D, C5, E"),
        bad("guardrail_post", {"line_load_kn_per_m": 1}, "#/line_load_kn_per_m", "conflict", "give category or line_load_kn_per_m, not both"),
        bad("guardrail_post", {}, "#/category", "required", "category or line_load_kn_per_m must be given", without=("category",)),
        bad("guardrail_post", {"rail_height_mm": 299}, "#/rail_height_mm", "below_minimum", "must be at least 300"),
        bad("guardrail_post", {"rail_height_mm": "1100"}, "#/rail_height_mm", "wrong_type", "must be a number"),
        bad("guardrail_post", {"mounting": "front"}, "#/mounting", "not_allowed", "must be one of: top, side"),
        bad("guardrail_post", {"post_off_face_mm": 50}, "#/post_off_face_mm", "conflict", "must be left out where mounting is top"),
        bad("guardrail_post", {"mounting": "side"}, "#/fixing_below_floor_mm", "required", "must be given where mounting is side"),
        bad("guardrail_post", {"mounting": "side", "fixing_below_floor_mm": 100, "post_off_face_mm": 50}, "#/mass_kg", "required", "must be given where mounting is side", without=("mass_kg",)),
        bad("guardrail_post", {"wind_kn": 1}, "#/wind_kn", "unknown_field", "not a field here; the fields are:"),
        bad("wall_bracket", {"pressure_arm_mm": 200}, "#/pressure_arm_mm", "conflict", "must be left out where fastener_spacing_mm is given"),
        bad("wall_bracket", {"bracket_reach_mm": 200}, "#/bracket_reach_mm", "conflict", "must be left out where there is no bracket_mass_kg", without=("bracket_mass_kg",)),
        bad("wall_bracket", {"brackets": 1.5}, "#/brackets", "wrong_type", "must be a whole number"),
        bad("wall_bracket", {"permanent_share": 1.1}, "#/permanent_share", "above_maximum", "must be at most 1"),
        bad("soffit_hanger", {"mass_kg": 0}, "#/mass_kg", "below_minimum", "must be at least 0.1"),
        bad("soffit_hanger", {"arrangement": "ring"}, "#/arrangement", "not_allowed", "must be one of: in_line, at_corners"),
        bad("soffit_hanger", {"largest_share": 0}, "#/largest_share", "below_minimum", "must be at least 0.01"),
        bad("soffit_hanger", {"hangers": 3, "largest_share": 0.3}, "#/largest_share", "below_minimum", "must be at least 0.333 where hangers is 3"),
        bad("wall_bracket", {"largest_share": 1.1}, "#/largest_share", "above_maximum", "must be at most 1"),
        bad("soffit_hanger", {"levelling": "by_eye"}, "#/levelling", "not_allowed", "must be one of: levelled, not_levelled, unknown"),
        bad("racking_upright", {"upright_spacing_mm": 100}, "#/upright_spacing_mm", "below_minimum", "must be at least 200"),
        bad("racking_upright", {"placement_load_kn": 50, "load_height_mm": 40_000, "upright_spacing_mm": 200}, "#", "above_maximum", "the actions come to 15007.1 kN or kNm; a load case holds at most 10000: check the inputs"),
        bad("pipe_clamp", {"mass_per_metre_kg": 20}, "#/outer_diameter_mm", "conflict", "give mass_per_metre_kg, outer_diameter_mm or mass_kg, only one of them"),
        bad("pipe_clamp", {}, "#/mass_per_metre_kg", "required", "mass_per_metre_kg, outer_diameter_mm or mass_kg must be given", without=("outer_diameter_mm",)),
        bad("pipe_clamp", {}, "#/wall_mm", "required", "must be given where outer_diameter_mm is given", without=("wall_mm",)),
        bad("pipe_clamp", {"mass_kg": 40}, "#/mass_kg", "conflict", "give mass_per_metre_kg, outer_diameter_mm or mass_kg, only one of them"),
        bad("pipe_clamp", {}, "#/span_mm", "required", "must be given", without=("span_mm",)),
        bad("pipe_clamp", {}, "#/other_span_mm", "required", "must be given where support is runs_on", without=("other_span_mm",)),
        bad("guardrail_post", {"post": "end", "other_post_spacing_mm": 900}, "#/other_post_spacing_mm", "conflict", "must be left out where post is end: there is no post on the other side"),
        bad("pipe_clamp", {"wall_mm": 85}, "#/wall_mm", "above_maximum", "must be under half of outer_diameter_mm, 84.15"),
        bad("pipe_clamp", {"axis_off_surface_mm": 84}, "#/axis_off_surface_mm", "below_minimum", "must be at least half of outer_diameter_mm, 84.15: the pipe does not reach into the concrete"),
        bad("pipe_clamp", {"empty_mass_per_metre_kg": 5}, "#/empty_mass_per_metre_kg", "conflict", "must be left out where mass_per_metre_kg is not given"),
        bad("pipe_clamp", {"contents": "mercury"}, "#/contents", "not_allowed", "must be one of: water, sewage, oil, air, unknown"),
        bad("machine_base", {}, "#/shaft", "required", "must be given where there is a torque_knm", without=("shaft",)),
        bad("machine_base", {}, "#/horizontal_height_mm", "conflict", "must be left out where there is no horizontal_kn", without=("horizontal_kn",)),
        bad("machine_base", {"machine": "turbine"}, "#/machine", "not_allowed", "must be one of: no_moving_parts, rotating_balanced, rotating_unbalanced, reciprocating, unknown"),
        bad("eyebolt", {"pull_kn": 2}, "#/pull_kn", "conflict", "give mass_kg or pull_kn, not both"),
        bad("eyebolt", {"angle_degrees": 61}, "#/angle_degrees", "above_maximum", "must be at most 60 where mass_kg hangs under a slab"),
        bad("eyebolt", {"surface": "vertical_face"}, "#/angle_degrees", "conflict", "must be 90 where mass_kg hangs on a wall"),
        bad("eyebolt", {"surface": "top_of_slab"}, "#/mass_kg", "conflict", "must be left out where surface is top_of_slab: a mass pulls on an eyebolt in a floor only over a pulley"),
        bad("guardrail_post", {"rail": "welded"}, "#/rail", "not_allowed", "must be one of: runs_on, jointed"),
        bad("eyebolt", {"angle_degrees": 91}, "#/angle_degrees", "above_maximum", "must be at most 90"),
        bad("eyebolt", {"angle_degrees": 0, "azimuth_degrees": 10}, "#/azimuth_degrees", "conflict", "must be left out where angle_degrees is 0"),
        bad("eyebolt", {"rulebook": "1999.1.0"}, "#/rulebook", "unknown_version", "no such version"),
    ],
)  # fmt: skip
def test_bad_inputs_are_refused_with_words_that_help(
    client: HeldClient,
    model: str,
    change: dict[str, Any],
    without: tuple[str, ...],
    pointer: str,
    code: str,
    words: str,
) -> None:
    value = {name: given for name, given in example(model).items() if name not in without} | change
    response = client.post(f"{PATH}/{model}", json=value)
    assert response.status_code == 422
    [found] = [error for error in errors_of(response) if (error["pointer"], error["code"]) == (pointer, code)]
    assert found["detail"].startswith(words)


def test_empty_mass_above_the_full_one_is_refused(client: HeldClient) -> None:
    value = dict(EXAMPLES["pipe_clamp"]["duct"]["value"]) | {"empty_mass_per_metre_kg": 23}
    response = client.post(f"{PATH}/pipe_clamp", json=value)
    assert response.status_code == 422
    [error] = errors_of(response)
    assert (error["pointer"], error["detail"]) == ("#/empty_mass_per_metre_kg", "must be at most mass_per_metre_kg, 22")
