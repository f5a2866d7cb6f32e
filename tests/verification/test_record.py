"""The identity of a record. Source: RFC 8785 with the `rfc8785` package, vectors published in `schemas/`.

`python -m tests.verification.test_record` writes the vector of a real answer anew, by the rules and engine of its day.
"""

from __future__ import annotations

import copy
import hashlib
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import rfc8785

from service.rulebook import Rulebook, load
from service.rulebook.schemas import validators
from service.verification import verify
from service.verification.record import record_content, record_id

ROOT = Path(__file__).parents[2]
PUBLISHED = ROOT / "schemas" / "record-vectors.json"
VECTORS = json.loads(PUBLISHED.read_text(encoding="utf-8"))["vectors"]
REAL = "real answer"
EXAMPLE = json.loads((ROOT / "deploy" / "example" / "verification.json").read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def rulebook() -> Rulebook:
    return load(ROOT / "rules")


@pytest.mark.parametrize("vector", VECTORS, ids=lambda vector: vector["name"])
def test_published_vectors(vector: dict[str, Any]) -> None:
    content = record_content(vector["request"], vector["answer"], vector["rulebook_digest"], vector["engine"])
    assert rfc8785.dumps(content).decode() == vector["canonical"]
    assert vector["id"] == "sha256:" + hashlib.sha256(vector["canonical"].encode()).hexdigest()
    assert record_id(vector["request"], vector["answer"], vector["rulebook_digest"], vector["engine"]) == vector["id"]


def resolved(sent: dict[str, Any], answer: dict[str, Any]) -> dict[str, Any]:
    """The request as the digest takes it: day and version that were left open are those that the answer names."""
    return sent | {"assessed_on": answer["assessed_on"], "rulebook": answer["rulebook"]["version"]}


def vector_of(name: str) -> dict[str, Any]:
    found: dict[str, Any] = next(vector for vector in VECTORS if vector["name"] == name)
    return found


@pytest.mark.parametrize("name", ["left open", REAL])
def test_what_a_vector_leaves_open_is_resolved_by_its_answer(name: str) -> None:
    vector = vector_of(name)
    assert {"assessed_on", "rulebook"}.isdisjoint(given(vector["sent"]))
    assert vector["request"] == resolved(vector["sent"], vector["answer"])
    digest = record_id(vector["sent"], vector["answer"], vector["rulebook_digest"], vector["engine"])
    assert digest != vector["id"], "day and version count"


def given(request: dict[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in request.items() if value is not None}


def test_vector_of_a_real_answer_is_a_record_and_its_answer_carries_the_id(rulebook: Rulebook) -> None:
    vector = vector_of(REAL)
    record = {"request": vector["sent"], "answer": vector["answer"]}
    assert [problem.message for problem in validators()["record"].iter_errors(record)] == []
    assert vector["answer"]["record"] == {"id": vector["id"], "engine": vector["engine"]}
    assert set(vector["answer"]) == set(verify(EXAMPLE, rulebook)), "renew it: python -m tests.verification.test_record"


def real_vector(rulebook: Rulebook) -> dict[str, Any]:
    """Make the vector of a real answer: a short request, its day and version left to the service."""
    sent: dict[str, Any] = {
        "fixing_reference": None,
        "fastener": {"family": "bolt-expansion-stainless", "size": "M12", "embedment_mm": 70},
        "member": {"strength_class": "C30/37", "state": "uncracked", "thickness_mm": 200.0},
        "positions": [{"x_mm": 0, "y_mm": 0}],
        "fixture": {"width_mm": 100, "depth_mm": 100},
        "load_cases": [{"name": "pipe hanger – ø 60", "normal_kn": 2.5}],
    }
    answer = verify(sent | {"assessed_on": "2026-11-25"}, rulebook, assessed_on_assumed=True)
    request = resolved(sent, answer)
    content = rfc8785.dumps(record_content(request, answer, rulebook.digest))
    return {
        "name": REAL,
        "why": "a whole answer as it was given; sent is what was parsed, request has day and version resolved",
        "sent": sent,
        "request": request,
        "answer": answer,
        "rulebook_digest": rulebook.digest,
        "engine": answer["record"]["engine"],
        "canonical": content.decode(),
        "id": f"sha256:{hashlib.sha256(content).hexdigest()}",
    }


def test_vector_of_a_real_answer_can_be_made_anew(rulebook: Rulebook) -> None:
    vector = real_vector(rulebook)
    assert vector["id"] == vector["answer"]["record"]["id"]
    assert set(vector) == set(vector_of(REAL))


def test_record_is_the_digest_of_request_and_answer(rulebook: Rulebook) -> None:
    answer = verify(EXAMPLE, rulebook)
    resolved = EXAMPLE | {"rulebook": rulebook.version}
    assert answer["record"]["id"] == record_id(resolved, answer, rulebook.digest)


def leaves(value: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    if isinstance(value, dict) and value:
        for name in value:
            yield from leaves(value[name], (*path, name))
    elif isinstance(value, list) and value:
        for index, item in enumerate(value):
            yield from leaves(item, (*path, index))
    else:
        yield path


def with_other_value(document: dict[str, Any], path: tuple[str | int, ...]) -> dict[str, Any]:
    changed = copy.deepcopy(document)
    place: Any = changed
    for step in path[:-1]:
        place = place[step]
    place[path[-1]] = "changed"
    return changed


def test_any_changed_value_is_found_out(rulebook: Rulebook) -> None:
    request = EXAMPLE | {"rulebook": rulebook.version}
    answer = verify(request | {"detail": "summary"}, rulebook)
    own = record_id(request, answer, rulebook.digest)
    for path in leaves(request):
        assert record_id(with_other_value(request, path), answer, rulebook.digest) != own, path
    for path in leaves(answer):
        changed = record_id(request, with_other_value(answer, path), rulebook.digest)
        left_out = path[0] == "record" or path == ("rulebook", "commit")
        assert (changed == own) == left_out, path


def test_order_of_keys_is_not_content(rulebook: Rulebook) -> None:
    turned = dict(reversed(list(EXAMPLE.items())))
    assert verify(turned, rulebook)["record"] == verify(EXAMPLE, rulebook)["record"]


def test_the_same_request_gives_the_same_bytes(rulebook: Rulebook) -> None:
    assert json.dumps(verify(EXAMPLE, rulebook)) == json.dumps(verify(EXAMPLE, rulebook))


def renew() -> None:
    """Write the vector of a real answer anew."""
    document = json.loads(PUBLISHED.read_text(encoding="utf-8"))
    kept = [vector for vector in document["vectors"] if vector["name"] != REAL]
    document["vectors"] = [*kept, real_vector(load(ROOT / "rules"))]
    PUBLISHED.write_text(json.dumps(document, indent=2) + "\n", encoding="utf-8")


if __name__ == "__main__":
    renew()
