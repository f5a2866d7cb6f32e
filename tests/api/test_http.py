"""HTTP itself: methods, media types, lengths, and what happens without a rulebook or when the service fails."""

import json
import shutil
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from werkzeug.test import TestResponse

from service import verification
from service.api import RULES_VARIABLE, create_app
from service.contract.faults import LARGEST_BYTES
from service.rulebook import RulebookInvalid
from tests.api.conftest import TODAY
from tests.api.holding import ROOT, Contract, HeldClient
from tests.shipped import VERSION

VERIFICATIONS = "/v1/verifications"


@pytest.mark.parametrize(
    "path", ["/nowhere", "/v1", "/v1/families/", "//v1/families", "/V1/families", "/v1/families/a/b"]
)
def test_unknown_path_is_not_found(client: HeldClient, path: str) -> None:
    assert client.get(path).status_code == 404


@pytest.mark.parametrize(
    ("method", "path", "allowed"),
    [
        ("GET", VERIFICATIONS, {"POST", "OPTIONS"}),
        ("DELETE", "/v1/families", {"GET", "HEAD", "OPTIONS"}),
        ("TRACE", "/v1/sizings", {"POST", "OPTIONS"}),
        ("PUT", "/openapi.json", {"GET", "HEAD", "OPTIONS"}),
    ],
)
def test_other_method_is_not_allowed(client: HeldClient, method: str, path: str, allowed: set[str]) -> None:
    response = client.open(path, method=method)
    assert response.status_code == 405
    assert set(response.headers["Allow"].split(", ")) == allowed


@pytest.mark.parametrize(
    ("path", "allowed"), [(VERIFICATIONS, {"POST", "OPTIONS"}), ("/v1/families", {"GET", "HEAD", "OPTIONS"})]
)
def test_options_names_the_methods_without_a_body(client: HeldClient, path: str, allowed: set[str]) -> None:
    response = client.options(path)
    assert response.status_code == 204
    assert set(response.headers["Allow"].split(", ")) == allowed
    assert response.data == b""


@pytest.mark.parametrize("path", ["/v1/families", f"/v1/rulebooks/{VERSION}", "/health/live", "/openapi.json"])
def test_head_is_get_without_the_body(client: HeldClient, path: str) -> None:
    got, head = client.get(path), client.head(path)
    assert head.status_code == got.status_code == 200
    assert head.data == b""
    told = {"Content-Length", "Content-Type", "ETag", "Rulebook-Version"}
    assert {n: v for n, v in head.headers if n in told} == {n: v for n, v in got.headers if n in told}


@pytest.mark.parametrize("accept", ["text/html", "application/xml", "application/json;q=0", "image/*"])
def test_answer_in_another_media_type_is_not_given(client: HeldClient, accept: str) -> None:
    assert client.get("/v1/families", headers={"Accept": accept}).status_code == 406


@pytest.mark.parametrize("accept", ["*/*", "application/*", "application/json", "text/html, */*;q=0.1"])
def test_answer_is_given_where_json_will_do(client: HeldClient, accept: str) -> None:
    assert client.get("/v1/families", headers={"Accept": accept}).status_code == 200


@pytest.mark.parametrize(
    "content_type",
    [
        "text/plain",
        "application/x-www-form-urlencoded",
        "application/xml",
        "application/json; charset=latin-1",
        "",
        "nonsense",
    ],
)
def test_other_media_type_is_refused(client: HeldClient, guardrail_post: dict[str, Any], content_type: str) -> None:
    response = client.post(VERIFICATIONS, data=json.dumps(guardrail_post), content_type=content_type)
    assert response.status_code == 415


def test_compressed_body_is_refused(client: HeldClient, guardrail_post: dict[str, Any]) -> None:
    response = client.post(VERIFICATIONS, json=guardrail_post, headers={"Content-Encoding": "gzip"})
    assert response.status_code == 415


def test_chunked_body_without_length_is_refused(client: HeldClient, guardrail_post: dict[str, Any]) -> None:
    response = client.post(VERIFICATIONS, json=guardrail_post, headers={"Transfer-Encoding": "chunked"})
    assert response.status_code == 411


def test_body_over_the_limit_is_refused(client: HeldClient) -> None:
    response = client.post(VERIFICATIONS, data=b" " * (LARGEST_BYTES + 1), content_type="application/json")
    assert response.status_code == 413
    assert str(LARGEST_BYTES) in response.get_json()["detail"]


def test_body_at_the_limit_is_read(client: HeldClient, guardrail_post: dict[str, Any]) -> None:
    data = json.dumps(guardrail_post).encode().ljust(LARGEST_BYTES)
    assert client.post(VERIFICATIONS, data=data, content_type="application/json").status_code == 200


def test_text_beyond_ascii_comes_back_as_it_was_sent(client: HeldClient, guardrail_post: dict[str, Any]) -> None:
    reference = "Gelände №7 – 扶手 👷‍♀️"
    answer = client.post(VERIFICATIONS, json=guardrail_post | {"fixing_reference": reference}).get_json()
    assert answer["fixing_reference"] == reference


def test_every_response_guards_the_browser(client: HeldClient) -> None:
    for path in ("/v1/families", "/nowhere"):
        headers = client.get(path).headers
        assert headers["X-Content-Type-Options"] == "nosniff"
        assert headers["Content-Security-Policy"].startswith("default-src 'none'")


def held(app: Flask, contract: Contract) -> HeldClient:
    client = HeldClient(app, TestResponse, use_cookies=False)
    client.contract = contract
    return client


def test_failure_of_the_service_says_nothing_of_its_cause(
    client: HeldClient,
    guardrail_post: dict[str, Any],
    monkeypatch: pytest.MonkeyPatch,
    caplog: pytest.LogCaptureFixture,
) -> None:
    def fail(*_: Any, **__: Any) -> dict[str, Any]:
        raise RuntimeError("the secret of the engine")

    monkeypatch.setattr(verification, "verify", fail)
    response = client.post(VERIFICATIONS, json=guardrail_post)
    assert response.status_code == 500
    assert "secret" not in response.text
    assert "the secret of the engine" in caplog.text


def test_number_that_is_not_finite_is_a_failure_and_never_null(
    client: HeldClient, guardrail_post: dict[str, Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(
        verification, "verify", lambda *_, **__: {"verdict": "verified", "figures": [1.0, float("nan")]}
    )
    assert client.post(VERIFICATIONS, json=guardrail_post).status_code == 500


def test_service_without_a_rulebook_lives_and_is_not_ready(
    tmp_path: Path, contract: Contract, guardrail_post: dict[str, Any]
) -> None:
    client = held(create_app(tmp_path), contract)
    assert client.get("/health/live").get_json() == {"status": "live"}
    assert client.get("/openapi.json").status_code == 200
    for path in (
        "/health/ready",
        "/v1/families",
        "/v1/families/drop-in-zinc",
        "/v1/rulebooks",
        f"/v1/rulebooks/{VERSION}",
    ):
        assert client.get(path).status_code == 503
    assert client.post(VERIFICATIONS, json=guardrail_post).status_code == 503


def test_service_refuses_to_start_on_a_rulebook_with_errors(tmp_path: Path) -> None:
    rules = tmp_path / "rules"
    shutil.copytree(ROOT / "rules", rules)
    family = rules / "families" / "drop-in-zinc.json"
    family.write_text(family.read_text("utf-8").replace('"mechanism"', '"mechanismus"', 1), "utf-8")
    with pytest.raises(RulebookInvalid, match="drop-in-zinc"):
        create_app(rules)


def test_rules_directory_is_taken_from_the_environment(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(RULES_VARIABLE, str(tmp_path))
    assert create_app().test_client().get("/health/ready").status_code == 503
    monkeypatch.delenv(RULES_VARIABLE)
    assert create_app().test_client().get("/health/ready").status_code == 200


def test_liveness_and_readiness(client: HeldClient) -> None:
    assert client.get("/health/live").get_json() == {"status": "live"}
    assert client.get("/health/ready").get_json()["rulebook"]["version"] == VERSION


def test_clock_is_read_at_each_request(guardrail_post: dict[str, Any]) -> None:
    days = iter([TODAY, TODAY.replace(day=26)])
    client = create_app(ROOT / "rules", clock=lambda: next(days)).test_client()
    del guardrail_post["assessed_on"]
    read = [client.post(VERIFICATIONS, json=guardrail_post).get_json()["assessed_on"] for _ in range(2)]
    assert read == ["2026-11-25", "2026-11-26"]


@pytest.mark.parametrize("accept", ["application/json; charset=utf-8", 'application/json;charset="UTF-8"'])
def test_a_charset_that_every_answer_has_may_be_asked_for(client: HeldClient, accept: str) -> None:
    assert client.get("/v1/families", headers={"Accept": accept}).status_code == 200


def test_a_charset_that_no_answer_has_is_not_acceptable(client: HeldClient) -> None:
    assert client.get("/v1/families", headers={"Accept": "application/json; charset=utf-16"}).status_code == 406
