"""A request may name a version: what is superseded or suspended is said wherever it is answered by."""

from __future__ import annotations

import copy
from dataclasses import replace
from typing import Any

import pytest

from service.contract.labels import BY_FEEL, FRAME_FIXING
from service.contract.site_tests import LOTS, SOUND_PULLS
from service.rulebook.suspensions import Suspension
from service.verification.answer import cautions_of_rules
from tests.api.holding import HeldClient, errors_of
from tests.shipped import shipped_rules

RULEBOOK = shipped_rules()
ASKED = [
    pytest.param("/v1/load-models/soffit_hanger", {"mass_kg": 180}, id="load model"),
    pytest.param("/v1/labels", FRAME_FIXING, id="label"),
    pytest.param("/v1/site-reductions", BY_FEEL, id="site reduction"),
    pytest.param("/v1/site-tests/plans", LOTS, id="plan of site tests"),
    pytest.param("/v1/site-tests/assessments", SOUND_PULLS, id="assessment of site tests"),
]


def older(client: HeldClient) -> tuple[str, str]:
    """A version below the one in force, and the one in force."""
    in_force = client.get("/v1/load-models").get_json()["rulebook"]["version"]
    held = [book["version"] for book in client.get("/v1/rulebooks").get_json()["rulebooks"]]
    return held[held.index(in_force) - 1], in_force


@pytest.mark.parametrize(("path", "request_"), ASKED)
def test_an_answer_by_a_superseded_version_says_so(client: HeldClient, path: str, request_: dict[str, Any]) -> None:
    version, in_force = older(client)
    found = client.post(path, json=copy.deepcopy(request_) | {"rulebook": version}).get_json()
    assert (found["rulebook"]["version"], found["rulebook"]["superseded_by"]) == (version, in_force)
    [text] = [one["text"] for one in found["cautions"] if one["code"] == "superseded"]
    assert f"stands on version {version} of the rulebook, and {in_force} is in force" in text
    now = client.post(path, json=copy.deepcopy(request_) | {"rulebook": in_force}).get_json()
    assert "superseded" not in {one["code"] for one in now["cautions"]}


def suspended(family: str | None, size: str | None, version: str | None) -> Suspension:
    return Suspension(family, size, version, "2026-11-20", "Found wrong")


@pytest.mark.parametrize(
    ("suspension", "fasteners", "said"),
    [
        (suspended(None, None, RULEBOOK.version), (), True),
        (suspended("screw-zinc", "10", None), (), False),
        (suspended("screw-zinc", "10", None), (("screw-zinc", "10"),), True),
        (suspended("screw-zinc", "10", None), (("screw-zinc", "8"),), False),
        (suspended("screw-zinc", None, None), (("screw-zinc", "8"),), True),
        (suspended("screw-zinc", "10", None), (("screw-zinc", None),), True),
        (suspended("screw-zinc", None, None), (("screw-stainless", None),), False),
    ],
)
def test_what_is_suspended_is_said_where_it_touches(
    suspension: Suspension, fasteners: tuple[tuple[str, str | None], ...], said: bool
) -> None:
    found = cautions_of_rules(replace(RULEBOOK, suspensions=(suspension,)), *fasteners)
    assert [one["code"] for one in found] == ["suspended"] * said
    assert all("suspended for new work (entry of 2026-11-20): Found wrong." in one["text"] for one in found)


def test_the_load_models_of_a_named_version_are_listed(client: HeldClient) -> None:
    version, in_force = older(client)
    found = client.get(f"/v1/load-models?rulebook={version}").get_json()
    assert (found["rulebook"]["version"], found["rulebook"]["superseded_by"]) == (version, in_force)
    assert found["models"]
    refused = client.get("/v1/load-models?rulebook=1999.1.0")
    assert refused.status_code == 422
    [error] = errors_of(refused)
    assert (error["parameter"], error["code"]) == ("rulebook", "unknown_version")
