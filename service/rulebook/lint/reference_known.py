"""A reference fixing asks for what the rulebook has."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from service.rulebook.finding import Finding, error, pointer_to
from service.rulebook.lint.draft import Draft

RULE = __name__.rpartition(".")[2]
SUMMARY = (
    "reference fixings name a family, size, embedment and length, an exposure, a temperature range, "
    "site conditions and a version that exist"
)


def check(draft: Draft) -> Iterator[Finding]:
    """A reference fixing asks for what the rulebook has."""
    families = {family["id"]: family for _, family in draft.families()}
    for file, reference in draft.references():
        fastener, request = reference["request"]["fastener"], reference["request"]
        if fastener["family"] in families:
            yield from _fastener(file, fastener, families[fastener["family"]])
        elif fastener["family"] not in draft.known_families:
            yield _unknown(file, ("fastener", "family"), fastener["family"], sorted(draft.known_families))
        yield from _choices(draft, file, request)


def _fastener(file: str, fastener: Mapping[str, Any], family: Mapping[str, Any]) -> Iterator[Finding]:
    size = family["sizes"].get(fastener["size"])
    if size is None:
        yield _unknown(file, ("fastener", "size"), fastener["size"], family["sizes"])
        return
    embedment = size["embedments"].get(f"{fastener['embedment_mm']:g}")
    if embedment is None:
        yield _unknown(file, ("fastener", "embedment_mm"), fastener["embedment_mm"], size["embedments"])
        return
    length, lengths = fastener.get("length_mm"), [entry["length_mm"] for entry in embedment["lengths"]]
    if length is not None and length not in lengths:
        yield _unknown(file, ("fastener", "length_mm"), length, lengths)


def _choices(draft: Draft, file: str, request: Mapping[str, Any]) -> Iterator[Finding]:
    use = request.get("use") or {}
    version = [draft.rulebook["version"]] if draft.rulebook else None
    choices = [
        (("rulebook",), request.get("rulebook"), version),
        (("use", "exposure"), use.get("exposure"), _names(draft, "exposures", "exposures")),
        (("use", "temperature_range"), use.get("temperature_range"), _names(draft, "temperature-ranges", "ranges")),
    ]
    factor = draft.factor("site-conditions")
    conditions = factor["conditions"] if factor else {}
    for name, value in (request.get("site") or {}).items() if factor else ():
        choices.append((("site", name), value, [*conditions[name]["values"]] if name in conditions else None))
        if name not in conditions:
            yield _unknown(file, ("site",), name, conditions)
    for steps, value, allowed in choices:
        if value not in (None, "unknown") and allowed is not None and value not in allowed:
            yield _unknown(file, steps, value, allowed)


def _names(draft: Draft, factor: str, field: str) -> list[str] | None:
    document = draft.factor(factor)
    return [*document[field]] if document else None


def _unknown(file: str, steps: tuple[str, ...], value: object, allowed: Iterable[object]) -> Finding:
    return error(
        file,
        pointer_to("request", *steps),
        RULE,
        "the rulebook does not have what the reference fixing asks for",
        found=str(value),
        allowed=", ".join(map(str, allowed)),
        tip="ask what replaces it on site before changing the fixing: it shows what a rule change does",
    )
