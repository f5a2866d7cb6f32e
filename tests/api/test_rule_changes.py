"""Changes between versions over HTTP."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path

import pytest
from werkzeug.test import TestResponse

from service.api import create_app
from tests.api.holding import Contract, HeldClient, errors_of
from tests.releases.conftest import Company

TENSION = "#/sizes/M12/steel/tension_kn"
RULE = f"families/bolt{TENSION}"


@pytest.fixture
def company(tmp_path: Path) -> Company:
    """Two releases; the second has a stronger bolt."""
    made = Company.founded(tmp_path)
    made.register()
    made.change("families/bolt.json", TENSION, 50.5)
    made.change("rulebook.json", "#/version", "2026.2.0")
    made.commit("Stronger bolt", reason="assessment renewed", checker="fastening engineer", approver="head")
    made.register()
    return made


def served(rules: Path, contract: Contract) -> HeldClient:
    app = create_app(rules, clock=lambda: date(2026, 11, 25))
    held = HeldClient(app, TestResponse, use_cookies=False)
    held.contract = contract
    return held


def test_changes_name_both_versions_and_who_is_behind_each(company: Company, contract: Contract) -> None:
    response = served(company.rules, contract).get("/v1/rulebooks/2026.2.0/changes?since=2026.1.0")
    assert response.status_code == 200
    told = response.get_json()
    assert (told["older"]["version"], told["newer"]["version"]) == ("2026.1.0", "2026.2.0")
    assert told["older"]["digest"] != told["newer"]["digest"]
    changes = {change["rule"]: change for change in told["changes"]}
    assert set(changes) == {RULE, "rulebook#/version"}
    assert (changes[RULE]["new"], changes[RULE]["unit"], changes[RULE]["symbol"]) == (50.5, "kN", "N_Rk,s")
    assert changes[RULE]["set_by"]["reason"] == "assessment renewed"
    assert changes[RULE]["set_by"]["checker"] == "fastening engineer"
    assert sum(told["counts"].values()) == 2
    assert told["faults"] == []
    assert "licensed or chartered engineer" in told["caution"]


def test_a_newer_version_to_compare_with_is_refused_and_the_way_round_told(
    company: Company, contract: Contract
) -> None:
    response = served(company.rules, contract).get("/v1/rulebooks/2026.1.0/changes?since=2026.2.0")
    assert response.status_code == 422
    [error] = errors_of(response)
    assert (error["code"], error["parameter"], error["given"]) == ("not_older", "since", "2026.2.0")
    assert "/v1/rulebooks/2026.2.0/changes?since=2026.1.0" in error["detail"]


def test_the_document_says_that_the_older_version_is_required(contract: Contract) -> None:
    operation = contract.document["paths"]["/v1/rulebooks/{version}/changes"]["get"]
    assert {one["name"]: one["required"] for one in operation["parameters"]}["since"] is True


def test_a_version_with_itself_differs_in_nothing(company: Company, contract: Contract) -> None:
    told = served(company.rules, contract).get("/v1/rulebooks/2026.2.0/changes?since=2026.2.0").get_json()
    assert (told["changes"], told["reference"], told["remarks"]) == ([], [], [])


def test_without_a_repository_nobody_is_named_and_that_is_said(
    company: Company, contract: Contract, tmp_path: Path
) -> None:
    copied = Path(shutil.copytree(company.rules, tmp_path / "copied" / "rules"))
    told = served(copied, contract).get("/v1/rulebooks/2026.2.0/changes?since=2026.2.0")
    assert told.status_code == 200
    company.change("families/bolt.json", TENSION, 40)
    company.change("rulebook.json", "#/version", "2026.3.0")
    told = served(company.rules, contract).get("/v1/rulebooks/2026.3.0/changes?since=2026.2.0").get_json()
    assert {change["set_by"] is None for change in told["changes"]} == {True}
    assert told["newer"]["commit"] is None
    assert any("not those of a commit" in remark for remark in told["remarks"])


def test_a_group_that_came_is_told_as_it_stands_in_the_file(company: Company, contract: Contract) -> None:
    bolt = company.read("families/bolt.json")
    bolt["sizes"]["M12"]["embedments"]["70"]["pull_out"]["cracked_kn"] = None
    bolt["exposures"] = bolt["exposures"][:-1]
    bolt["approval"] |= {"status": "restricted", "uses": ["redundant"]}
    company.write("families/bolt.json", bolt)
    company.change("rulebook.json", "#/version", "2026.3.0")
    company.commit("Restricted")
    company.register()
    response = served(company.rules, contract).get("/v1/rulebooks/2026.3.0/changes?since=2026.1.0")
    changes = {change["rule"]: change for change in response.get_json()["changes"]}
    assert changes["families/bolt#/approval/uses"]["new"] == ["redundant"]
    assert changes["families/bolt#/exposures"]["kind"] == "removed"


@pytest.mark.parametrize(
    ("path", "status", "code", "parameter"),
    [
        ("/v1/rulebooks/2099.1.0/changes?since=2026.1.0", 404, "unknown_version", "version"),
        ("/v1/rulebooks/..%2F..%2Fetc/changes?since=2026.1.0", 404, None, None),
        ("/v1/rulebooks/2026.2.0/changes?since=2099.1.0", 422, "unknown_version", "since"),
        ("/v1/rulebooks/2026.2.0/changes?since=HEAD~1", 422, "unknown_version", "since"),
        ("/v1/rulebooks/2026.2.0/changes?since=--output=x", 422, "unknown_version", "since"),
        ("/v1/rulebooks/2026.2.0/changes?since=", 422, "too_short", "since"),
        ("/v1/rulebooks/2026.2.0/changes?since=222222222222222222222", 422, "too_long", "since"),
        ("/v1/rulebooks/2026.2.0/changes?since=%00", 422, "control_character", "since"),
        ("/v1/rulebooks/2026.2.0/changes", 422, "required", "since"),
        ("/v1/rulebooks/2026.2.0/changes?since=2026.1.0&since=2026.1.0", 422, "duplicate_parameter", "since"),
        ("/v1/rulebooks/2026.2.0/changes?since=2026.1.0&until=2026.1.0", 422, "unknown_parameter", "until"),
    ],
)
def test_what_names_no_version_is_refused(
    company: Company, contract: Contract, path: str, status: int, code: str | None, parameter: str | None
) -> None:
    response = served(company.rules, contract).get(path)
    assert response.status_code == status
    found = [(error["code"], error["parameter"]) for error in errors_of(response)]
    assert found == ([] if code is None else [(code, parameter)])
    if code == "unknown_version":
        assert "held: 2026.1.0, 2026.2.0" in errors_of(response)[0]["detail"]
