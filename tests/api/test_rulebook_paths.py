"""Families and versions of the rulebook over HTTP."""

import json
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from flask import Flask

from service.api import create_app
from tests.api.holding import ROOT, HeldClient, errors_of
from tests.shipped import VERSION

FAMILIES = {
    path.stem: json.loads(path.read_text("utf-8")) for path in sorted((ROOT / "rules" / "families").glob("*.json"))
}


def listed(client: HeldClient, **filters: str) -> set[str]:
    response = client.get("/v1/families", query_string=filters)
    assert response.status_code == 200
    return {family["id"] for family in response.get_json()["families"]}


def kept(condition: Any) -> set[str]:
    return {name for name, family in FAMILIES.items() if condition(family)}


def test_every_family_is_listed_in_the_order_of_ids(client: HeldClient) -> None:
    families = client.get("/v1/families").get_json()["families"]
    assert [family["id"] for family in families] == sorted(FAMILIES)


@pytest.mark.parametrize(
    ("filters", "condition"),
    [
        ({"mechanism": "bonded"}, lambda f: f["mechanism"] == "bonded"),
        ({"exposure": "marine"}, lambda f: "marine" in f["exposures"]),
        ({"size": "M12"}, lambda f: "M12" in f["sizes"]),
        ({"setting": "through_fixture"}, lambda f: f["setting"] == "through_fixture"),
        ({"removable": "true"}, lambda f: f["removable"]),
        ({"removable": "false"}, lambda f: not f["removable"]),
        ({"removable": "true", "exposure": "external"}, lambda f: f["removable"] and "external" in f["exposures"]),
    ],
    ids=["mechanism", "exposure", "size", "setting", "removable", "not removable", "two filters"],
)
def test_filter_keeps_what_matches(client: HeldClient, filters: dict[str, str], condition: Any) -> None:
    expected = kept(condition)
    assert 0 < len(expected) < len(FAMILIES)
    assert listed(client, **filters) == expected


def test_status_filter_reads_the_approval_of_each_size(client: HeldClient) -> None:
    def statuses(family: dict[str, Any]) -> set[str]:
        return {(size["approval"] or family["approval"])["status"] for size in family["sizes"].values()}

    for status in ("approved", "restricted", "suspended", "withdrawn"):
        assert listed(client, status=status) == kept(lambda family, status=status: status in statuses(family))


def test_status_with_size_is_the_status_of_that_size(client: HeldClient) -> None:
    withdrawn = [
        (name, size)
        for name, family in FAMILIES.items()
        for size, data in family["sizes"].items()
        if (data["approval"] or family["approval"])["status"] == "withdrawn"
    ]
    assert withdrawn, "the demonstration rulebook has a withdrawn size"
    for name, size in withdrawn:
        assert name in listed(client, status="withdrawn", size=size)
        assert name not in listed(client, status="approved", size=size)


def test_filter_that_nothing_matches_gives_an_empty_list(client: HeldClient) -> None:
    assert listed(client, mechanism="undercut", size="6") == set()


@pytest.mark.parametrize(
    ("query", "code", "parameter"),
    [
        ("colour=red", "unknown_parameter", "colour"),
        ("mechanism=magnet", "not_allowed", "mechanism"),
        ("removable=yes", "not_allowed", "removable"),
        ("setting=", "not_allowed", "setting"),
        ("size=", "too_short", "size"),
        ("exposure=a%20b", "not_allowed", "exposure"),
        ("status=approved&status=withdrawn", "duplicate_parameter", "status"),
        ("size=%00", "control_character", "size"),
        ("size=M99", "unknown_size", "size"),
        ("exposure=lunar", "not_allowed", "exposure"),
        ("exposure=unknown", "not_allowed", "exposure"),
    ],
)
def test_query_is_refused(client: HeldClient, query: str, code: str, parameter: str) -> None:
    response = client.get(f"/v1/families?{query}")
    assert response.status_code == 422
    assert [(error["code"], error["parameter"]) for error in errors_of(response)] == [(code, parameter)]


@pytest.mark.parametrize(
    ("query", "known"),
    [("size=M99", "must be one of: 10, 12"), ("exposure=lunar", "must be one of: dry_internal, damp_internal")],
)
def test_refused_filter_names_the_known_ones(client: HeldClient, query: str, known: str) -> None:
    (error,) = errors_of(client.get(f"/v1/families?{query}"))
    assert error["detail"].startswith(known)


@pytest.mark.parametrize("path", ["/v1/rulebooks", "/openapi.json", f"/v1/rulebooks/{VERSION}"])
def test_path_without_parameters_refuses_any(client: HeldClient, path: str) -> None:
    assert client.get(f"{path}?verbose=1").status_code == 422


@pytest.mark.parametrize("path", ["/health/live", "/health/ready", "/docs"])
def test_health_and_docs_ignore_parameters(app: Flask, path: str) -> None:
    assert app.test_client().get(f"{path}?t=1764072000&t=2", buffered=True).status_code == 200


def test_summary_carries_the_approvals_of_family_and_sizes(client: HeldClient) -> None:
    told = {family["id"]: family for family in client.get("/v1/families").get_json()["families"]}
    own = 0
    for name, family in FAMILIES.items():
        assert told[name]["approval"] == family["approval"]
        for size in told[name]["sizes"]:
            approval = family["sizes"][size["size"]]["approval"]
            assert size["approval"] == approval
            assert size["status"] == (approval or family["approval"])["status"]
            own += approval is not None
    assert own, "the demonstration rulebook has a size with an approval of its own"


OF_THE_RULEBOOK = ["/v1/families", "/v1/families/drop-in-zinc", "/v1/rulebooks", f"/v1/rulebooks/{VERSION}"]


@pytest.mark.parametrize("path", OF_THE_RULEBOOK)
@pytest.mark.parametrize("method", ["GET", "HEAD"])
def test_what_a_caller_has_already_is_not_sent_again(client: HeldClient, path: str, method: str) -> None:
    first = client.open(path, method=method)
    assert first.status_code == 200
    assert first.headers["Cache-Control"] == "no-cache"
    again = client.open(path, method=method, headers={"If-None-Match": first.headers["ETag"]})
    assert again.status_code == 304
    assert again.headers["ETag"] == first.headers["ETag"]
    assert client.open(path, method=method, headers={"If-None-Match": 'W/"other"'}).status_code == 200


def test_tag_follows_the_rulebook(tmp_path: Path, app: Flask) -> None:
    shutil.copytree(ROOT / "rules", tmp_path / "rules")
    document = tmp_path / "rules" / "rulebook.json"
    changed = document.read_text("utf-8").replace("Pumping-station refit", "Pumping station")
    document.write_text(changed.replace(f'"{VERSION}"', '"2099.1.0"'), "utf-8")
    tags = [made.test_client().get("/v1/families").headers["ETag"] for made in (app, create_app(tmp_path / "rules"))]
    assert tags[0] != tags[1]


def test_refusal_is_not_kept(client: HeldClient) -> None:
    response = client.get("/v1/families?size=M99", headers={"If-None-Match": "*"})
    assert response.status_code == 422
    assert "ETag" not in response.headers


@pytest.mark.parametrize("name", FAMILIES)
def test_family_is_given_as_its_file_has_it(client: HeldClient, name: str) -> None:
    answer = client.get(f"/v1/families/{name}").get_json()
    assert answer["family"] == FAMILIES[name]


@pytest.mark.parametrize(
    "name", ["bolt-of-lightning", "..", "%2e%2e", "BOLT-EXPANSION-ZINC", "x" * 5000, "%F0%9F%92%A9"]
)
def test_unknown_family_in_the_path_is_not_found(client: HeldClient, name: str) -> None:
    response = client.get(f"/v1/families/{name}")
    assert response.status_code == 404
    (error,) = errors_of(response)
    assert (error["code"], error["parameter"]) == ("unknown_family", "family")
    assert "bolt-expansion-zinc" in error["detail"]


def test_versions_are_listed(client: HeldClient) -> None:
    *_, version = client.get("/v1/rulebooks").get_json()["rulebooks"]
    assert (version["version"], version["status"], version["state"]) == (VERSION, "demonstration", "released")


def test_version_lists_what_its_files_allow(client: HeldClient) -> None:
    allowed = client.get(f"/v1/rulebooks/{VERSION}").get_json()["allowed"]
    files = {path.stem: json.loads(path.read_text("utf-8")) for path in (ROOT / "rules" / "factors").glob("*.json")}
    conditions = files["site-conditions"]["conditions"]
    assert {c["condition"]: {v["value"]: v["factor"] for v in c["values"]} for c in allowed["site"]} == {
        name: {value: told["factor"] for value, told in data["values"].items()} for name, data in conditions.items()
    }
    exposures, ranges = files["exposures"]["exposures"], files["temperature-ranges"]["ranges"]
    assert [e["exposure"] for e in allowed["exposure"]] == [*exposures, "unknown"]
    assert [r["temperature_range"] for r in allowed["temperature_range"]] == [*ranges, "unknown"]


def _allowed_places(client: HeldClient) -> Iterator[tuple[tuple[str, ...], str]]:
    """List each value that a form would offer, with its place in a verification request."""
    allowed = client.get(f"/v1/rulebooks/{VERSION}").get_json()["allowed"]
    for name in ("strength_class", "state"):
        yield from ((("member", name), value) for value in allowed[name])
    for name in ("situation", "hole"):
        yield from ((("use", name), value) for value in allowed[name])
    for name in ("exposure", "temperature_range"):
        yield from ((("use", name), entry[name]) for entry in allowed[name])
    for condition in allowed["site"]:
        yield from ((("site", condition["condition"]), entry["value"]) for entry in condition["values"])


def test_every_allowed_value_may_be_given_and_unknown_is_among_them(
    client: HeldClient, guardrail_post: dict[str, Any]
) -> None:
    places: dict[tuple[str, ...], set[str]] = {}
    for (part, name), value in _allowed_places(client):
        request = guardrail_post | {part: guardrail_post[part] | {name: value}}
        assert client.post("/v1/verifications", json=request).status_code == 200, (part, name, value)
        places.setdefault((part, name), set()).add(value)
    assert [place for place, values in places.items() if "unknown" not in values] == [("use", "situation")]


def test_unknown_version_in_the_path_is_not_found(client: HeldClient) -> None:
    response = client.get("/v1/rulebooks/1999.1.0")
    assert response.status_code == 404
    (error,) = errors_of(response)
    assert error["code"] == "unknown_version"
    assert error["detail"].startswith("no such version is held here; held: ")
    assert error["detail"].endswith(VERSION)


def test_every_answer_from_the_rulebook_names_it_in_headers(client: HeldClient) -> None:
    for path in (
        "/v1/families",
        "/v1/families/drop-in-zinc",
        "/v1/rulebooks",
        f"/v1/rulebooks/{VERSION}",
        "/health/ready",
    ):
        response = client.get(path)
        assert response.headers["Rulebook-Version"] == VERSION
        assert response.headers["Rulebook-Digest"].startswith("sha256:")
