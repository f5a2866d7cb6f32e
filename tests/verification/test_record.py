"""The identity of a record. Source: RFC 8785 with the `rfc8785` package, vectors published in `schemas/`."""

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
from service.verification import verify
from service.verification.record import record_content, record_id

ROOT = Path(__file__).parents[2]
VECTORS = json.loads((ROOT / "schemas" / "record-vectors.json").read_text(encoding="utf-8"))["vectors"]
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
