"""The contract's examples of answers: what the service really answers, cut as their script says."""

from __future__ import annotations

from typing import Any

import orjson
import pytest

from deploy.answer_examples import ANY_COMMIT, FILE, MOST, application_client, obtained, rendered, shortened
from service.contract.paths import MEDIA_TYPE
from service.contract.paths_stated import paths
from tests.api.holding import Contract

EXAMPLES: dict[str, Any] = orjson.loads(FILE.read_bytes())
COMPARED = [path.name for path in paths()]


@pytest.fixture(scope="module")
def again() -> dict[str, Any]:
    return obtained(application_client())


@pytest.mark.parametrize("name", COMPARED)
def test_answer_is_obtained_again(again: dict[str, Any], name: str) -> None:
    assert again[name] == EXAMPLES[name], "run deploy/answer_examples.py, then python -m service.contract.document"


def test_file_is_as_its_script_writes_it_and_names_every_operation_once(again: dict[str, Any]) -> None:
    assert FILE.read_bytes() == rendered(again)
    assert list(EXAMPLES) == COMPARED


@pytest.mark.parametrize("path", paths(), ids=COMPARED)
def test_document_shows_it_and_it_is_of_the_form_that_the_document_says(contract: Contract, path: Any) -> None:
    operation = contract.document["paths"][path.path][path.method.lower()]
    shown = operation["responses"]["200"]["content"][MEDIA_TYPE]
    assert shown["example"] == EXAMPLES[path.name]
    contract.conform(shown["schema"]["$ref"].rpartition("/")[2], shown["example"])


def test_a_long_list_and_a_large_object_are_cut_and_commits_have_a_stand_in() -> None:
    large = {f"m{number}": number for number in range(MOST + 1)}
    assert shortened({"list": [1, 2, 3], "large": large}) == {"list": [1, 2], "large": {"m0": 0}}
    assert shortened({"commit": "5b80b11f", "author": "N. N."}) == {"commit": ANY_COMMIT, "author": "rules editor"}
    assert shortened({"commit": None, "date": "2026-11-25"}) == {"commit": None, "date": "2026-11-25"}
    assert shortened({"author": "checker"}) == {"author": "checker"}, "of a release, who wrote it"
