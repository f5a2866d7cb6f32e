"""The identity of an answer: one digest over request, answer, rules and engine."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from typing import Any

import service
from service.rulebook.canonical import canonical

ENGINE = f"anchor-rulebook-engine/{service.__version__}"


def record_content(
    request: Mapping[str, Any], answer: Mapping[str, Any], rulebook_digest: str, engine: str = ENGINE
) -> dict[str, Any]:
    """What a record's digest covers.

    Args:
        request: The request as parsed, no defaults filled, ``assessed_on`` and ``rulebook`` resolved.
        answer: The answer; its ``record`` and ``rulebook.commit`` are left out here.
        rulebook_digest: Digest of the rulebook.
        engine: Identity of the engine.

    Returns:
        The content, ready for its canonical form.
    """
    kept = {name: value for name, value in answer.items() if name != "record"}
    kept["rulebook"] = {name: value for name, value in answer["rulebook"].items() if name != "commit"}
    return {"answer": kept, "engine": engine, "request": dict(request), "rulebook": rulebook_digest}


def record_id(request: Mapping[str, Any], answer: Mapping[str, Any], rulebook_digest: str, engine: str = ENGINE) -> str:
    """``sha256:`` and the SHA-256 of the RFC 8785 form of the record's content; arguments as ``record_content``."""
    content = canonical(record_content(request, answer, rulebook_digest, engine))
    return f"sha256:{hashlib.sha256(content).hexdigest()}"
