"""The identity of an answer: one digest over request, answer, rules and engine."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from typing import Any

import service
from service.contract.sentences import without_sentences
from service.contract.terms import CONTRACT_VERSION, UNSTATED_VERSION
from service.rulebook.canonical import canonical

ENGINE = f"anchor-rulebook-engine/{service.__version__}"


def record_of(request: Mapping[str, Any], answer: Mapping[str, Any], rulebook_digest: str) -> dict[str, Any]:
    """Make the record of an answer.

    Args:
        request: The request as parsed, no defaults filled, ``assessed_on`` and ``rulebook`` resolved.
        answer: The answer.
        rulebook_digest: Digest of the rulebook.

    Returns:
        The answer's member ``record``.
    """
    made_by = {"engine": ENGINE, "contract_version": CONTRACT_VERSION}
    return {"id": record_id(request, answer, rulebook_digest), **made_by}


def record_content(
    request: Mapping[str, Any],
    answer: Mapping[str, Any],
    rulebook_digest: str,
    engine: str = ENGINE,
    contract_version: int = CONTRACT_VERSION,
) -> dict[str, Any]:
    """What a record's digest covers.

    Args:
        request: The request as parsed, no defaults filled, ``assessed_on`` and ``rulebook`` resolved.
        answer: The answer; its ``record`` and ``rulebook.commit`` are left out here, and from version 2 its sentences.
        rulebook_digest: Digest of the rulebook.
        engine: Identity of the engine.
        contract_version: Version of the contract that the answer was written by.

    Returns:
        The content, ready for its canonical form.
    """
    kept = {name: value for name, value in answer.items() if name != "record"}
    kept["rulebook"] = {name: value for name, value in answer["rulebook"].items() if name != "commit"}
    content = {"answer": kept, "engine": engine, "request": dict(request), "rulebook": rulebook_digest}
    if contract_version == UNSTATED_VERSION:
        return content
    return content | {"answer": without_sentences(kept), "contract_version": contract_version}


def record_id(
    request: Mapping[str, Any],
    answer: Mapping[str, Any],
    rulebook_digest: str,
    engine: str = ENGINE,
    contract_version: int = CONTRACT_VERSION,
) -> str:
    """``sha256:`` and the SHA-256 of the RFC 8785 form of the record's content; arguments as ``record_content``."""
    content = canonical(record_content(request, answer, rulebook_digest, engine, contract_version))
    return f"sha256:{hashlib.sha256(content).hexdigest()}"
