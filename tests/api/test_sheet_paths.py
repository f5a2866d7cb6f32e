"""Installation sheets over HTTP: forms, records, what yields none, bad inputs with their words."""

import base64
import copy
import hashlib
import json
import re
from dataclasses import replace
from pathlib import Path
from typing import Any
from xml.etree.ElementTree import fromstring

import pytest
from flask import Flask

from service import verification
from service.api.routes import sheets
from service.contract.codes import CODES
from service.contract.faults import LARGEST_BYTES
from service.contract.sheets import HANGERS_AND_PLINTH, MOST_FIXINGS
from service.contract.verification import LEAST_GIVEN
from service.verification.record import record_id
from service.words import catalogue, languages
from tests.api.holding import HeldClient, errors_of
from tests.shipped import shipped_shelf
from tests.words.pseudo import catalogues_script

SHEETS = "/v1/installation-sheets"
VERIFICATIONS = "/v1/verifications"
HTML, SVG = "text/html", "image/svg+xml"


@pytest.fixture
def record(client: HeldClient, guardrail_post: dict[str, Any]) -> dict[str, Any]:
    """A record as its keeper has it."""
    return {"request": guardrail_post, "answer": client.post(VERIFICATIONS, json=guardrail_post).get_json()}


@pytest.fixture(scope="module")
def pseudo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where the pseudo-language is."""
    directory = tmp_path_factory.mktemp("locale")
    catalogues_script().write_pseudo(directory)
    return directory


def sheet_of(client: HeldClient, *fixings: Any, **more: Any) -> Any:
    return client.post(SHEETS, json={"fixings": list(fixings), **more})


@pytest.mark.parametrize(
    ("accept", "given"),
    [
        ("application/json", "application/json"),
        ("*/*", "application/json"),
        ("", "application/json"),
        (HTML, HTML),
        ("text/html,application/xhtml+xml,application/xml;q=0.9,*/*;q=0.8", HTML),
        (SVG, SVG),
        ("image/*", SVG),
        ("text/html;q=0.5, image/svg+xml", SVG),
    ],
)
def test_accept_chooses_the_form(client: HeldClient, guardrail_post: dict[str, Any], accept: str, given: str) -> None:
    response = client.post(SHEETS, json={"fixings": [guardrail_post]}, headers={"Accept": accept} if accept else {})
    assert (response.status_code, response.mimetype) == (200, given)
    assert "Accept" in response.headers["Vary"]
    assert response.headers["Rulebook-Version"] == guardrail_post["rulebook"]
    digest = client.get(f"/v1/rulebooks/{guardrail_post['rulebook']}").get_json()["digest"]
    assert response.headers["Rulebook-Digest"] == digest


@pytest.mark.parametrize("accept", ["application/json", HTML, SVG])
@pytest.mark.parametrize(("asked", "given"), [("qps, en;q=0.5", "qps"), ("fr", "en"), (None, "en")])
def test_the_language_is_one_that_there_are_words_in(
    client: HeldClient,
    guardrail_post: dict[str, Any],
    pseudo: Path,
    accept: str,
    asked: str | None,
    given: str,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(sheets, "languages", lambda: languages(pseudo))
    monkeypatch.setattr(sheets, "catalogue", lambda audience, language: catalogue(audience, language, pseudo))
    headers = {"Accept": accept} | ({} if asked is None else {"Accept-Language": asked})
    response = client.post(SHEETS, json={"fixings": [guardrail_post]}, headers=headers)
    assert response.headers["Content-Language"] == given
    assert {"Accept", "Accept-Language"} <= set(response.vary)
    assert ("⟦" in response.text) == (given == "qps")
    if accept == "application/json":
        assert response.get_json()["language"] == given


def test_other_forms_are_not_given(client: HeldClient, guardrail_post: dict[str, Any]) -> None:
    response = client.post(SHEETS, json={"fixings": [guardrail_post]}, headers={"Accept": "application/pdf"})
    assert response.status_code == 406
    assert "image/svg+xml" in response.get_json()["detail"]


def test_other_paths_are_json_alone(client: HeldClient) -> None:
    assert client.get("/v1/families", headers={"Accept": HTML}).status_code == 406


def test_a_page_may_show_itself_in_its_own_style_and_nothing_else(client: HeldClient) -> None:
    response = client.post(SHEETS, json=HANGERS_AND_PLINTH, headers={"Accept": HTML})
    policy = response.headers["Content-Security-Policy"]
    [style] = re.findall(r"<style>(.*?)</style>", response.text, re.DOTALL)
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    assert policy.startswith("default-src 'none'; ")
    assert f"style-src 'sha256-{digest}'" in policy
    assert "unsafe" not in policy
    assert not re.search(r"<script|\sstyle=|\son\w+=|href=|src=|@import|url\((?!#)", response.text)


def test_a_drawing_may_do_nothing(client: HeldClient, guardrail_post: dict[str, Any]) -> None:
    response = client.post(SHEETS, json={"fixings": [guardrail_post]}, headers={"Accept": SVG})
    assert response.headers["Content-Security-Policy"].startswith("default-src 'none'")
    assert not re.search(r"<script|<style|\sstyle=|\son\w+=|href", response.text)
    root = fromstring(response.text)  # noqa: S314 our own drawing
    assert root.tag == "{http://www.w3.org/2000/svg}svg"


@pytest.mark.parametrize("accept", [HTML, SVG])
def test_what_the_caller_names_is_escaped(client: HeldClient, guardrail_post: dict[str, Any], accept: str) -> None:
    nasty = "<script>alert(1)</script>\"'&\ufffe]]>"
    guardrail_post["fixing_reference"] = nasty[:200]
    response = client.post(
        SHEETS,
        json={"fixings": [guardrail_post], "title": nasty, "job": nasty, "side_names": [{"x_plus": nasty}]},
        headers={"Accept": accept},
    )
    assert response.status_code == 200
    assert "<script" not in response.text
    assert "&lt;script&gt;" in response.text
    assert "\ufffe" not in response.text
    if accept == SVG:
        fromstring(response.text)  # noqa: S314 our own drawing


def test_a_demonstration_says_so_in_every_form(client: HeldClient, guardrail_post: dict[str, Any]) -> None:
    for accept in ("application/json", HTML, SVG):
        response = client.post(SHEETS, json={"fixings": [guardrail_post]}, headers={"Accept": accept})
        assert "DO NOT BUILD FROM THIS SHEET" in response.text


def test_a_record_and_its_request_make_the_same_sheet(client: HeldClient, record: dict[str, Any]) -> None:
    by_record, by_request = sheet_of(client, record).get_json(), sheet_of(client, record["request"]).get_json()
    assert by_record == by_request
    assert by_record["fixings"][0]["proof"]["record_id"] == record["answer"]["record"]["id"]


def test_a_day_that_is_left_open_is_filled_in(client: HeldClient, guardrail_post: dict[str, Any]) -> None:
    del guardrail_post["assessed_on"]
    record = {"request": guardrail_post, "answer": client.post(VERIFICATIONS, json=guardrail_post).get_json()}
    [fixing] = sheet_of(client, record).get_json()["fixings"]
    assert fixing["proof"]["assessed_on"] == "2026-11-25"


def test_an_altered_record_yields_no_sheet(client: HeldClient, record: dict[str, Any]) -> None:
    record["answer"]["governing"]["utilisation"] = 0.1
    response = sheet_of(client, record["request"], record)
    assert response.status_code == 409
    [error] = errors_of(response)
    assert (error["code"], error["pointer"]) == ("record_altered", "#/fixings/1/answer/record/id")


def test_a_forged_record_yields_no_sheet(client: HeldClient, record: dict[str, Any]) -> None:
    """An id shows that a record belongs together, not that the rules give it: it is recomputed."""
    answer = record["answer"]
    answer["governing"]["utilisation"] = 0.1
    answer["record"]["id"] = record_id(record["request"], answer, answer["rulebook"]["digest"])
    response = sheet_of(client, record)
    assert response.status_code == 409
    [error] = errors_of(response)
    assert error["code"] == "record_not_reproduced"
    assert "#/answer/governing/utilisation" in error["detail"]


def test_a_record_of_rules_that_are_not_served_yields_no_sheet(client: HeldClient, record: dict[str, Any]) -> None:
    answer = record["answer"]
    answer["rulebook"]["digest"] = "sha256:" + "1" * 64
    answer["record"]["id"] = record_id(record["request"], answer, answer["rulebook"]["digest"])
    response = sheet_of(client, record)
    assert response.status_code == 409
    [error] = errors_of(response)
    assert error["code"] == "rulebook_not_served"
    assert "verify the request anew" in error["detail"]


def test_what_does_not_verify_yields_no_sheet(client: HeldClient, guardrail_post: dict[str, Any]) -> None:
    weak = copy.deepcopy(guardrail_post)
    weak["member"]["edges"]["x_plus_mm"] = 120
    response = sheet_of(client, guardrail_post, weak)
    assert response.status_code == 409
    assert {error["pointer"] for error in errors_of(response)} == {"#/fixings/1"}
    assert any("edge too near" in error["detail"] for error in errors_of(response))
    assert {"requirement": "edge_distance"} in [error["figures"] for error in errors_of(response)]


def test_a_record_of_what_does_not_verify_yields_no_sheet(client: HeldClient, guardrail_post: dict[str, Any]) -> None:
    guardrail_post["load_cases"][0]["normal_kn"] = 300
    record = {"request": guardrail_post, "answer": client.post(VERIFICATIONS, json=guardrail_post).get_json()}
    response = sheet_of(client, record)
    assert response.status_code == 409
    assert {error["code"] for error in errors_of(response)} == {"not_verified"}
    over = [one for one in record["answer"]["checks"] if one["utilisation"] > 1]
    told = [error["figures"] for error in errors_of(response) if "mode" in error["figures"]]
    assert {one["mode"] for one in told} == {one["mode"] for one in over}
    assert all({name: one[name] for name in ("mode", "load_case", "utilisation")} in told for one in over)


def test_what_the_method_does_not_cover_yields_no_sheet(client: HeldClient, guardrail_post: dict[str, Any]) -> None:
    guardrail_post["positions"] = guardrail_post["positions"][:1]
    guardrail_post["load_cases"][0]["torsion_knm"] = 0.2
    assert client.post(VERIFICATIONS, json=guardrail_post).get_json()["verdict"] == "outside_scope"
    response = sheet_of(client, guardrail_post)
    assert response.status_code == 409
    limits = {error["figures"]["limit"] for error in errors_of(response) if error["code"] == "outside_scope"}
    answer = client.post(VERIFICATIONS, json=guardrail_post).get_json()
    assert limits == {limit["code"] for limit in answer["scope_limits"]} != set()


def test_without_the_thickness_of_the_fixture_there_is_no_sheet(client: HeldClient) -> None:
    request = copy.deepcopy(LEAST_GIVEN)
    del request["actions"]
    request["load_cases"] = [{"name": "light", "normal_kn": 0.1}]
    request["use"] = {"exposure": "external", "hole": "dry"}
    request["member"] = request["member"] | {"strength_class": "C20/25"}
    assert client.post(VERIFICATIONS, json=request).get_json()["verdict"] == "verified"
    response = sheet_of(client, request)
    assert response.status_code == 409
    [error] = errors_of(response)
    assert (error["code"], error["pointer"]) == ("fixture_thickness_missing", "#/fixings/0/fixture/thickness_mm")


def test_resin_is_not_set_in_the_cold(client: HeldClient) -> None:
    response = client.post(SHEETS, json=HANGERS_AND_PLINTH | {"concrete_temperature_c": -12})
    assert response.status_code == 409
    [error] = errors_of(response)
    assert (error["code"], error["pointer"]) == ("temperature_not_covered", "#/concrete_temperature_c")
    assert "wait or warm the concrete" in error["detail"]


def test_fixings_under_several_versions_do_not_share_a_sheet(
    client: HeldClient, guardrail_post: dict[str, Any]
) -> None:
    versions = [book["version"] for book in client.get("/v1/rulebooks").get_json()["rulebooks"]]
    other = next(version for version in versions if version != guardrail_post["rulebook"])
    response = sheet_of(client, guardrail_post, guardrail_post | {"rulebook": other})
    assert response.status_code == 409
    [error] = errors_of(response)
    assert (error["code"], error["pointer"]) == ("mixed_rulebooks", "#/fixings")


@pytest.mark.parametrize(
    ("change", "pointer", "code", "words"),
    [
        ({"fixings": []}, "#/fixings", "too_few", "at least 1 entry"),
        ({"fixings": [{}] * (MOST_FIXINGS + 1)}, "#/fixings", "too_many", f"at most {MOST_FIXINGS}"),
        ({"fixings": [7]}, "#/fixings/0", "wrong_type", "a request, or a record"),
        ({"fixings": [None]}, "#/fixings/0", "wrong_type", "must not be null"),
        ({"counts": [1, 2]}, "#/counts", "wrong_count", "one entry for each fixing, 1"),
        ({"side_names": [{}, {}]}, "#/side_names", "wrong_count", "one entry for each fixing, 1"),
        ({"side_names": [{"x_min": "left"}]}, "#/side_names/0/x_min", "unknown_field", "x_minus, x_plus, y_minus"),
        ({"side_names": [{"x_plus": "x" * 41}]}, "#/side_names/0/x_plus", "too_long", "at most 40"),
        ({"side_names": [{"x_plus": ""}]}, "#/side_names/0/x_plus", "too_short", "at least 1"),
        ({"side_names": [{"x_plus": "a\u202e"}]}, "#/side_names/0/x_plus", "control_character", "control characters"),
        ({"side_names": [None]}, "#/side_names/0", "wrong_type", "must not be null"),
        (
            {"concrete_temperature_c": 5, "coldest_until_cured_c": 6},
            "#/coldest_until_cured_c",
            "above_maximum",
            "at most concrete_temperature_c, 5",
        ),
        ({"coldest_until_cured_c": 6}, "#/concrete_temperature_c", "required", "beside coldest_until_cured_c"),
        ({"concrete_temperature_c": 6}, "#/concrete_temperature_c", "conflict", "set with resin"),
        ({"coldest_until_cured_c": -41}, "#/coldest_until_cured_c", "below_minimum", "at least -40"),
        ({"counts": [0]}, "#/counts/0", "below_minimum", "at least 1"),
        ({"counts": [1.5]}, "#/counts/0", "wrong_type", "whole number"),
        ({"counts": [True]}, "#/counts/0", "wrong_type", "whole number"),
        ({"concrete_temperature_c": -273}, "#/concrete_temperature_c", "below_minimum", "at least -40"),
        ({"concrete_temperature_c": "12"}, "#/concrete_temperature_c", "wrong_type", "a number"),
        ({"title": ""}, "#/title", "too_short", "at least 1"),
        ({"title": "x" * 121}, "#/title", "too_long", "at most 120"),
        ({"job": "a\nb"}, "#/job", "control_character", "control characters"),
        ({"colour": "red"}, "#/colour", "unknown_field", "the fields are: title, job, fixings, counts"),
    ],
)
def test_bad_input_gets_its_words(
    client: HeldClient, guardrail_post: dict[str, Any], change: dict[str, Any], pointer: str, code: str, words: str
) -> None:
    response = client.post(SHEETS, json={"fixings": [guardrail_post], **change})
    assert response.status_code == 422
    [error] = errors_of(response)
    assert (error["pointer"], error["code"]) == (pointer, code)
    assert words in error["detail"]


@pytest.mark.parametrize(
    ("change", "pointer", "code"),
    [
        (
            {"fastener": {"family": "bolt-expansion-stainless", "size": "M13", "embedment_mm": 70}},
            "fastener/size",
            "unknown_size",
        ),
        ({"rulebook": "2019.1.0"}, "rulebook", "unknown_version"),
        ({"member": {"thickness_mm": 5}}, "member/thickness_mm", "below_minimum"),
        ({"use": {"exposure": "lunar"}}, "use/exposure", "not_allowed"),
        ({"wind": 1}, "wind", "unknown_field"),
    ],
)
def test_a_bad_fixing_is_named_by_its_place(
    client: HeldClient, guardrail_post: dict[str, Any], change: dict[str, Any], pointer: str, code: str
) -> None:
    response = sheet_of(client, guardrail_post, guardrail_post | change)
    assert response.status_code == 422
    assert (f"#/fixings/1/{pointer}", code) in {(e["pointer"], e["code"]) for e in errors_of(response)}


@pytest.mark.parametrize(
    ("path", "value", "pointer", "code"),
    [
        (("answer",), None, "answer", "wrong_type"),
        (("answer", "record"), None, "answer/record/id", "required"),
        (("answer", "record", "engine"), 5, "answer/record/engine", "wrong_type"),
        (("answer", "assessed_on"), "tomorrow", "answer/assessed_on", "not_a_day"),
        (("answer", "suspensions"), [{"family": 1}], "answer/suspensions/0", "wrong_type"),
        (("request",), {}, "request/member", "required"),
    ],
)
def test_what_is_no_record_gets_its_words(
    client: HeldClient, record: dict[str, Any], path: tuple[str, ...], value: Any, pointer: str, code: str
) -> None:
    place = record
    for step in path[:-1]:
        place = place[step]
    place[path[-1]] = value
    response = sheet_of(client, record)
    assert response.status_code == 422
    assert (f"#/fixings/0/{pointer}", code) in {(e["pointer"], e["code"]) for e in errors_of(response)}


def test_a_sheet_is_the_same_each_time(client: HeldClient) -> None:
    for accept in ("application/json", HTML, SVG):
        first, second = (client.post(SHEETS, json=HANGERS_AND_PLINTH, headers={"Accept": accept}).data for _ in "12")
        assert first == second


def test_a_suspended_family_yields_no_sheet_even_for_an_old_record(
    app: Flask, client: HeldClient, record: dict[str, Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    from service.rulebook.shelf import Shelf
    from service.rulebook.suspensions import Suspension

    book = Shelf.book
    stop = Suspension("bolt-expansion-stainless", None, None, "2026-11-20", "clips of a bad batch")

    def stopped(shelf: Shelf, version: str) -> Any:
        return book(shelf.with_suspensions((stop,)), version)

    monkeypatch.setattr(Shelf, "book", stopped)
    response = sheet_of(client, record)
    assert response.status_code == 409
    assert any("clips of a bad batch" in error["detail"] for error in errors_of(response))
    assert [error["figures"].get("requirement") for error in errors_of(response)].count("not_suspended") == 1


def record_before(client: HeldClient, request: dict[str, Any], version: str) -> dict[str, Any]:
    """A record as it was made while nothing was suspended and no higher version was in force."""
    resolved = request | {"rulebook": version}
    rules = replace(shipped_shelf().book(version), suspensions=(), superseded_by=None)
    return {"request": resolved, "answer": json.loads(json.dumps(verification.verify(resolved, rules)))}


def test_a_record_of_a_version_that_is_suspended_today_yields_no_sheet(
    client: HeldClient, guardrail_post: dict[str, Any]
) -> None:
    """2026.3.0 is suspended: a figure in it is wrong. The record was made before that."""
    for given in (record_before(client, guardrail_post, "2026.3.0"), guardrail_post | {"rulebook": "2026.3.0"}):
        response = sheet_of(client, given)
        assert response.status_code == 409
        words = "suspended for new work: version 2026.3.0 of the rulebook is suspended for new work since 2026-05-11"
        assert any(words in error["detail"] for error in errors_of(response))


def test_a_record_under_rules_below_the_ones_in_force_yields_a_sheet_that_says_so(
    client: HeldClient, guardrail_post: dict[str, Any]
) -> None:
    for given in (record_before(client, guardrail_post, "2026.3.1"), guardrail_post | {"rulebook": "2026.3.1"}):
        response = sheet_of(client, given)
        assert response.status_code == 200
        first = response.get_json()["fixings"][0]["before_work"][0]
        assert first["code"] == "superseded"
        assert "stands on version 2026.3.1" in first["text"]
        page = client.post(SHEETS, json={"fixings": [given]}, headers={"Accept": HTML}).text
        assert page.index("stands on version 2026.3.1") < page.index("Drill Ø12\u00a0mm")
        drawn = client.post(SHEETS, json={"fixings": [given]}, headers={"Accept": SVG}).text
        assert "stands on version 2026.3.1" in drawn


def test_a_sheet_names_the_version_of_today_and_not_the_one_of_the_day_of_its_record(
    client: HeldClient, guardrail_post: dict[str, Any]
) -> None:
    old = guardrail_post | {"rulebook": "2026.1.0", "assessed_on": "2026-05-10"}
    answer = client.post(VERIFICATIONS, json=old).get_json()
    then = answer["rulebook"]["superseded_by"]
    response = sheet_of(client, {"request": old, "answer": answer})
    assert response.status_code == 200
    sheet = response.get_json()
    unpinned = {name: value for name, value in guardrail_post.items() if name != "rulebook"}
    now = client.post(VERIFICATIONS, json=unpinned).get_json()["rulebook"]["version"]
    assert then not in {None, now}
    assert sheet["rulebook"]["superseded_by"] == now
    said = [entry["text"] for entry in sheet["fixings"][0]["before_work"] if entry["code"] == "superseded"]
    assert len(said) == 1
    assert f"{now} is in force" in said[0]
    for accept in ("application/json", HTML, SVG):
        shown = client.post(SHEETS, json={"fixings": [{"request": old, "answer": answer}]}, headers={"Accept": accept})
        assert f"{then} is in force" not in shown.text


def test_a_site_of_which_too_little_is_known_yields_no_sheet(client: HeldClient) -> None:
    request = copy.deepcopy(HANGERS_AND_PLINTH["fixings"][0])
    del request["site"]
    request["load_cases"][0]["normal_kn"] = 0.5
    assert client.post(VERIFICATIONS, json=request).get_json()["verdict"] == "not_verified"
    response = sheet_of(client, request)
    assert response.status_code == 409
    [error] = errors_of(response)
    assert (error["code"], error["pointer"]) == ("not_verified", "#/fixings/0")
    assert "improve the site first" in error["detail"]
    assert error["code"] in CODES


def test_the_contract_says_how_much_a_body_may_hold(client: HeldClient) -> None:
    fixings = client.get("/openapi.json").get_json()["components"]["schemas"]["InstallationSheetRequest"]
    assert f"at most {LARGEST_BYTES} bytes" in fixings["properties"]["fixings"]["description"]


@pytest.mark.parametrize("accept", [HTML, SVG])
def test_a_demonstration_says_so_beside_the_figures(
    client: HeldClient, guardrail_post: dict[str, Any], accept: str
) -> None:
    text = client.post(SHEETS, json={"fixings": [guardrail_post]}, headers={"Accept": accept}).text
    assert "DEMONSTRATION: invented figures, do not build" in text
    if accept == HTML:
        for title in ("Drill", "Tighten"):
            assert f'<b>{title}</b><p class="beside">DEMONSTRATION' in text
