"""The identity of a record. Source: RFC 8785 with the `rfc8785` package, vectors published in `schemas/`.

`python -m tests.verification.test_record` writes the vector of a real answer anew, by the rules and engine of its day.
The vectors of contract version 1 were made by the code of their time and are never made anew.
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

from service.contract.sentences import is_sentence, sentences
from service.contract.terms import CONTRACT_VERSION
from service.rulebook import Rulebook
from service.rulebook.schemas import validators
from service.verification import verify
from service.verification.record import ENGINE, record_content, record_id
from tests.shipped import shipped_rules

ROOT = Path(__file__).parents[2]
PUBLISHED = ROOT / "schemas" / "record-vectors.json"
DOCUMENT = json.loads(PUBLISHED.read_text(encoding="utf-8"))
VECTORS = DOCUMENT["vectors"]
REAL = "real answer"
EXAMPLE = json.loads((ROOT / "deploy" / "example" / "verification.json").read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def rulebook() -> Rulebook:
    return shipped_rules()


def content_of(vector: dict[str, Any], request: str = "request", **other: int) -> dict[str, Any]:
    """What the digest of a vector is made of."""
    named = ("answer", "rulebook_digest", "engine", "contract_version")
    return {"request": vector[request], **{name: vector[name] for name in named}, **other}


@pytest.mark.parametrize("vector", VECTORS, ids=lambda vector: f"{vector['name']} {vector['contract_version']}")
def test_published_vectors(vector: dict[str, Any]) -> None:
    assert rfc8785.dumps(record_content(**content_of(vector))).decode() == vector["canonical"]
    assert vector["id"] == "sha256:" + hashlib.sha256(vector["canonical"].encode()).hexdigest()
    assert record_id(**content_of(vector)) == vector["id"]


def test_every_version_of_the_contract_has_vectors_and_the_sentences_are_published() -> None:
    versions = {vector["contract_version"] for vector in VECTORS}
    assert versions == set(range(1, CONTRACT_VERSION + 1))
    assert DOCUMENT["sentences"] == list(sentences())


def test_the_vector_of_sentences_has_one_at_every_place() -> None:
    vector = vector_of("sentences")
    places = {"/".join("*" if isinstance(step, int) else step for step in path) for path in leaves(vector["answer"])}
    assert set(sentences()) <= places
    assert "a sentence" not in vector["canonical"]
    assert "a reason that counts" in vector["canonical"]


def test_a_version_1_record_is_another_content_than_a_version_2_record() -> None:
    vector = vector_of("plain", 1)
    assert record_id(**content_of(vector, contract_version=2)) != vector["id"]


def resolved(sent: dict[str, Any], answer: dict[str, Any]) -> dict[str, Any]:
    """The request as the digest takes it: day and version that were left open are those that the answer names."""
    return sent | {"assessed_on": answer["assessed_on"], "rulebook": answer["rulebook"]["version"]}


def vector_of(name: str, version: int = CONTRACT_VERSION) -> dict[str, Any]:
    found: dict[str, Any] = next(v for v in VECTORS if (v["name"], v["contract_version"]) == (name, version))
    return found


@pytest.mark.parametrize("version", range(1, CONTRACT_VERSION + 1))
@pytest.mark.parametrize("name", ["left open", REAL])
def test_what_a_vector_leaves_open_is_resolved_by_its_answer(name: str, version: int) -> None:
    vector = vector_of(name, version)
    assert {"assessed_on", "rulebook"}.isdisjoint(given(vector["sent"]))
    assert vector["request"] == resolved(vector["sent"], vector["answer"])
    assert record_id(**content_of(vector, "sent")) != vector["id"], "day and version count"


def given(request: dict[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in request.items() if value is not None}


def test_vector_of_a_real_answer_is_a_record_and_its_answer_carries_the_id(rulebook: Rulebook) -> None:
    vector = vector_of(REAL)
    record = {"request": vector["sent"], "answer": vector["answer"]}
    assert [problem.message for problem in validators()["record"].iter_errors(record)] == []
    stated = {name: vector[name] for name in ("id", "engine", "contract_version")}
    assert vector["answer"]["record"] == stated
    assert set(vector["answer"]) == set(verify(EXAMPLE, rulebook)), "renew it: python -m tests.verification.test_record"


def real_vector(rulebook: Rulebook) -> dict[str, Any]:
    """Make the vector of a real answer: a short request, its day and version left to the service."""
    sent: dict[str, Any] = {
        "fixing_reference": None,
        "fastener": {"family": "bolt-expansion-stainless", "size": "M12", "embedment_mm": 75},
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
        "contract_version": CONTRACT_VERSION,
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
    digest = record_id(resolved, answer, rulebook.digest)
    assert answer["record"] == {"id": digest, "engine": ENGINE, "contract_version": CONTRACT_VERSION}


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
        left_out = path[0] == "record" or path == ("rulebook", "commit") or is_sentence(path)
        assert (changed == own) == left_out, path
    first = record_id(request, answer, rulebook.digest, contract_version=1)
    for path in leaves(answer):
        changed = record_id(request, with_other_value(answer, path), rulebook.digest, contract_version=1)
        left_out = path[0] == "record" or path == ("rulebook", "commit")
        assert (changed == first) == left_out, path


def test_order_of_keys_is_not_content(rulebook: Rulebook) -> None:
    turned = dict(reversed(list(EXAMPLE.items())))
    assert verify(turned, rulebook)["record"] == verify(EXAMPLE, rulebook)["record"]


def test_the_same_request_gives_the_same_bytes(rulebook: Rulebook) -> None:
    assert json.dumps(verify(EXAMPLE, rulebook)) == json.dumps(verify(EXAMPLE, rulebook))


def renew() -> None:
    """Write the vector of a real answer anew."""
    document = json.loads(PUBLISHED.read_text(encoding="utf-8"))
    kept = [v for v in document["vectors"] if (v["name"], v["contract_version"]) != (REAL, CONTRACT_VERSION)]
    document["vectors"] = [*kept, real_vector(shipped_rules())]
    PUBLISHED.write_text(json.dumps(document, indent=2) + "\n", encoding="utf-8")


if __name__ == "__main__":
    renew()
