"""The service keeps up with its rules: it takes up releases, keeps the old ones on any failure, and stops at once."""

from __future__ import annotations

import json
import logging
from datetime import date
from typing import TYPE_CHECKING, Any

import pytest

from service.api import KEEPER, SignersMisplaced, create_app
from service.api.keeper import Keeper

if TYPE_CHECKING:
    from flask.testing import FlaskClient

    from tests.releases.conftest import Company

DAY = date(2026, 11, 25)


def keeper_of(company: Company) -> Keeper:
    return Keeper(company.rules, company.signers("head"), lambda: DAY)


def post(client: FlaskClient, company: Company, **changed: Any) -> Any:
    request = company.read("reference/post.json")["request"] | {"assessed_on": DAY.isoformat()} | changed
    return client.post("/v1/verifications", json=request)


def test_nothing_new_is_nothing_to_take_up(three: Company) -> None:
    keeper = keeper_of(three)
    before = keeper.serving
    assert keeper.look() is False
    assert keeper.serving is before


def test_new_release_is_taken_up(three: Company, caplog: pytest.LogCaptureFixture) -> None:
    keeper = keeper_of(three)
    three.version("2026.4.0", 22)
    three.register("head")
    with caplog.at_level(logging.INFO, "service.rules"):
        assert keeper.look() is True
    assert keeper.serving.rulebook.version == "2026.4.0"
    assert "rules taken up: serving 2026.1.0, 2026.2.0, 2026.3.0, 2026.4.0" in caplog.text


def test_request_in_flight_ends_under_the_rules_it_began_with(three: Company) -> None:
    keeper = keeper_of(three)
    begun = keeper.serving
    three.version("2026.4.0", 22)
    three.register("head")
    keeper.look()
    assert (begun.rulebook.version, keeper.serving.rulebook.version) == ("2026.3.0", "2026.4.0")
    assert begun.shelf.book("2026.1.0").version == "2026.1.0"


def test_faulty_rules_are_not_taken_up_and_readiness_and_log_say_so(
    three: Company, caplog: pytest.LogCaptureFixture
) -> None:
    app = create_app(three.rules, clock=lambda: DAY)
    three.change("rulebook.json", "#/version", "2026.4.0")
    (three.rules / "families" / "bolt.json").write_text("{", "utf-8")
    app.extensions[KEEPER].look()
    ready = app.test_client().get("/health/ready")
    assert ready.status_code == 200
    assert ready.get_json()["rulebook"]["version"] == "2026.3.0"
    (fault,) = ready.get_json()["faults"]
    assert fault["code"] == "working_invalid"
    assert "families/bolt.json" in fault["detail"]
    assert "families/bolt.json" in caplog.text


def test_faulty_register_leaves_everything_as_it_was(three: Company) -> None:
    app = create_app(three.rules, clock=lambda: DAY)
    (three.rules / "register.json").write_text('{"releases": 7}', "utf-8")
    app.extensions[KEEPER].look()
    ready = app.test_client().get("/health/ready").get_json()
    assert ready["versions"] == ["2026.1.0", "2026.2.0", "2026.3.0"]
    assert [fault["code"] for fault in ready["faults"]] == ["new_rules_refused"]


def test_unsigned_release_is_not_taken_up(three: Company) -> None:
    keeper = keeper_of(three)
    three.version("2026.4.0", 22)
    three.register()
    keeper.look()
    assert keeper.serving.rulebook.version == "2026.3.0"
    assert [(fault.version, fault.code) for fault in keeper.serving.shelf.faults] == [("2026.4.0", "unsigned")]


def test_mended_rules_are_taken_up_after_all(three: Company) -> None:
    keeper = keeper_of(three)
    sound = (three.rules / "register.json").read_bytes()
    (three.rules / "register.json").write_bytes(b"{")
    assert keeper.look() is False
    assert keeper.serving.faults
    (three.rules / "register.json").write_bytes(sound)
    assert keeper.look() is True
    assert keeper.serving.faults == ()


def stop(company: Company, text: str | None = None) -> None:
    entry = {"family": "bolt", "since": "2026-11-25", "reason": "A batch failed on site"}
    document = json.dumps({"fasteners": [entry], "versions": []}) if text is None else text
    (company.rules / "suspensions.json").write_text(document, "utf-8")


@pytest.mark.parametrize("version", [None, "2026.1.0"])
def test_suspension_stops_new_work_under_every_version(three: Company, version: str | None) -> None:
    app = create_app(three.rules, clock=lambda: DAY)
    client = app.test_client()
    pinned = {} if version is None else {"rulebook": version}
    assert post(client, three, **pinned).get_json()["suspensions"] == []
    stop(three)
    app.extensions[KEEPER].look()
    answer = post(client, three, **pinned).get_json()
    assert answer["verdict"] == "not_verified"
    (unmet,) = [need for need in answer["requirements"] if need["code"] == "not_suspended"]
    assert unmet["detail"] == "bolt is suspended for new work since 2026-11-25: A batch failed on site"
    assert answer["suspensions"][0]["family"] == "bolt"
    assert "suspended" in {caution["code"] for caution in answer["cautions"]}


def test_suspended_family_is_listed_as_suspended_and_not_chosen(three: Company) -> None:
    app = create_app(three.rules, clock=lambda: DAY)
    stop(three)
    app.extensions[KEEPER].look()
    listed = app.test_client().get("/v1/families?status=suspended").get_json()["families"]
    assert "bolt" in {family["id"] for family in listed}
    request = three.read("reference/post.json")["request"] | {"assessed_on": DAY.isoformat()}
    del request["fastener"]
    sized = app.test_client().post("/v1/sizings", json=request).get_json()
    assert "bolt" not in {choice["fastener"]["family"] for choice in sized["choices"]}
    assert sized["suspensions"][0]["reason"] == "A batch failed on site"


def test_emergency_stop_works_while_the_rules_are_in_disorder(three: Company) -> None:
    app = create_app(three.rules, clock=lambda: DAY)
    (three.rules / "register.json").write_text("{", "utf-8")
    stop(three)
    assert app.extensions[KEEPER].look() is True
    assert post(app.test_client(), three).get_json()["verdict"] == "not_verified"


def test_faulty_suspensions_lift_nothing(three: Company, caplog: pytest.LogCaptureFixture) -> None:
    stop(three)
    app = create_app(three.rules, clock=lambda: DAY)
    stop(three, '{"fasteners": []}')
    app.extensions[KEEPER].look()
    assert post(app.test_client(), three).get_json()["verdict"] == "not_verified"
    assert "what was suspended stays suspended" in caplog.text


def test_slip_in_a_name_lifts_nothing_and_readiness_says_so(three: Company) -> None:
    stop(three)
    app = create_app(three.rules, clock=lambda: DAY)
    entry = {"family": "blot", "since": "2026-11-25", "reason": "A batch failed on site"}
    stop(three, json.dumps({"fasteners": [entry], "versions": []}))
    app.extensions[KEEPER].look()
    assert post(app.test_client(), three).get_json()["verdict"] == "not_verified"
    (fault,) = app.test_client().get("/health/ready").get_json()["faults"]
    assert fault["code"] == "suspension_stops_nothing"
    assert "suspends blot, which no version here has" in fault["detail"]


def test_page_of_a_suspended_family_says_so(three: Company) -> None:
    stop(three)
    told = create_app(three.rules, clock=lambda: DAY).test_client().get("/v1/families/bolt").get_json()
    assert [one["reason"] for one in told["suspensions"]] == ["A batch failed on site"]


def test_suspended_version_pinned_passes_nothing(three: Company) -> None:
    entry = {"version": "2026.3.0", "since": "2026-11-25", "reason": "A figure was misread"}
    (three.rules / "suspensions.json").write_text(json.dumps({"fasteners": [], "versions": [entry]}), "utf-8")
    client = create_app(three.rules, clock=lambda: DAY).test_client()
    pinned = post(client, three, rulebook="2026.3.0").get_json()
    assert pinned["verdict"] == "not_verified"
    free = post(client, three).get_json()
    assert free["rulebook"]["version"] == "2026.2.0"
    assert "This answer was made by 2026.2.0 instead." in next(
        caution["text"] for caution in free["cautions"] if caution["code"] == "suspended"
    )


def test_watching_thread_takes_up_what_comes(three: Company) -> None:
    keeper = keeper_of(three)
    ended = keeper.watch(0.02)
    stop(three)
    for _ in range(500):
        if keeper.serving.shelf.suspensions or ended.wait(0.02):
            break
    ended.set()
    assert [suspension.family for suspension in keeper.serving.shelf.suspensions] == ["bolt"]


def test_pinned_version_is_answered_by_and_named_in_the_headers(three: Company) -> None:
    client = create_app(three.rules, clock=lambda: DAY).test_client()
    response = post(client, three, rulebook="2026.1.0")
    assert response.get_json()["rulebook"]["version"] == "2026.1.0"
    assert response.headers["Rulebook-Version"] == "2026.1.0"
    assert post(client, three).headers["Rulebook-Version"] == "2026.3.0"


@pytest.mark.parametrize("version", ["2026.9.0", "../2026.1.0", "--help", "HEAD"])
def test_unknown_version_is_404_in_a_path_and_422_in_a_body(three: Company, version: str) -> None:
    client = create_app(three.rules, clock=lambda: DAY).test_client()
    assert client.get(f"/v1/rulebooks/{version}").status_code == 404
    refusal = post(client, three, rulebook=version)
    assert refusal.status_code == 422


def test_known_versions_are_told_where_one_is_unknown(three: Company) -> None:
    refusal = post(create_app(three.rules, clock=lambda: DAY).test_client(), three, rulebook="2026.9.0").get_json()
    (error,) = refusal["errors"]
    assert (error["pointer"], error["code"]) == ("#/rulebook", "unknown_version")
    assert error["detail"].endswith("held: 2026.1.0, 2026.2.0, 2026.3.0")


def test_list_tells_of_each_release_who_agreed_and_why_others_are_refused(three: Company) -> None:
    (three.rules / "signatures" / "2026.2.0.sig").unlink()
    client = create_app(three.rules, clock=lambda: DAY, signers=three.signers("head")).test_client()
    told = client.get("/v1/rulebooks").get_json()
    assert [(book["version"], book["state"]) for book in told["rulebooks"]] == [
        ("2026.1.0", "released"),
        ("2026.3.0", "released"),
    ]
    assert told["rulebooks"][0]["release"]["approver"] == "head of structural engineering"
    assert [(one["version"], one["code"]) for one in told["refused"]] == [("2026.2.0", "unsigned")]


def test_signers_within_the_rules_are_refused(three: Company) -> None:
    inside = three.rules / "signers"
    inside.write_bytes(three.signers("head").read_bytes())
    with pytest.raises(SignersMisplaced, match="lies within the rules"):
        create_app(three.rules, signers=inside)
    with pytest.raises(SignersMisplaced, match="no such file of allowed signers"):
        create_app(three.rules, signers=three.directory / "nowhere")
