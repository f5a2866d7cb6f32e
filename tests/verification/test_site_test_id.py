"""The id of pulls on site: the digest of the tests as a request gives them, whatever objects they become.

Source of the canonical form: RFC 8785 by the `rfc8785` package, an independent implementation.
"""

from __future__ import annotations

import hashlib
from typing import Any

import pytest
import rfc8785

from service.contract.coherence import without_nulls
from service.contract.pulls import AllowableTests
from service.contract.site_tests import PIPE_ON_UNKNOWN_WALL
from service.contract.wanted import AllowableTests as Wanted
from service.contract.wanted import made
from service.verification.pulls.resistance import content_id

GIVEN: dict[str, Any] = PIPE_ON_UNKNOWN_WALL["site_test"]["tests"]
POINTS = [{"reading_kn": None} | point for point in GIVEN["gauge"]["points"]]


def digest(tests: dict[str, Any]) -> str:
    return f"sha256:{hashlib.sha256(rfc8785.dumps(without_nulls(tests))).hexdigest()}"


@pytest.mark.parametrize(
    "changes",
    [
        {},
        {"curing_over": False},
        {"curing_over": None},
        {"base_material_kind": "concrete"},
        {"base_material_kind": None},
        {"reference": None},
        {"thickness_mm": 240.0},
        {"thickness_mm": 240},
        {"gauge": GIVEN["gauge"] | {"calibrated_on": None}},
        {"gauge": GIVEN["gauge"] | {"points": POINTS}},
        {"pulls": [pull | {"concrete_state": "unknown", "edge_mm": 0} for pull in GIVEN["pulls"]]},
    ],
)
def test_the_id_is_the_digest_of_the_tests_as_given(changes: dict[str, Any]) -> None:
    tests = GIVEN | changes
    assert content_id(made(Wanted, AllowableTests().load(tests))) == digest(tests)
