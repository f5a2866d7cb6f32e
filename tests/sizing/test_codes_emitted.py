"""Every code of a sizing is emitted here, with the figures it is stated with and the sentence made of them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import cache
from typing import Any

import pytest

from service.contract.sizing import SizingAnswer
from service.contract.sizing_codes import CAUSES, CauseCode, ReasonCode, RelaxationCode
from service.contract.verification_codes import Mode
from service.contract.wanted import Sizing, made
from service.engine.codes import Limit
from service.engine.results import ScopeLimit
from service.sizing import size_with
from service.words import Audience, Code, Statement, Term, Value, catalogue
from tests.sizing.fakes import (
    ORDER,
    Verification,
    answer,
    embedment,
    family,
    request,
    rulebook,
    shared_load,
    size,
    unmet,
    used,
)

Answered = dict[str, Any]
ONE = {"x": {"counts": [1]}, "y": {"counts": [1]}}
PAIR = {"x": {"counts": [2], "spacings_mm": [100]}, "y": {"counts": [1], "spacings_mm": [100]}}


def sized(
    verify: Verification, asked: Mapping[str, Any], *families: Mapping[str, Any], order: tuple[str, ...] = ORDER
) -> Answered:
    return size_with(verify.judge(asked), asked, made(Sizing, asked), rulebook(*families, order=order))


def ranked(criterion: str, verify: Verification, worse: Mapping[str, Any]) -> Answered:
    return sized(verify, request(), family("a"), worse, order=(criterion,))


def twice_for_b(candidate: Mapping[str, Any]) -> float:
    return 0.5 if candidate["fastener"]["family"] == "a" or len(candidate["positions"]) > 1 else 1.5


def more_for_b(candidate: Mapping[str, Any]) -> float:
    return 0.5 if candidate["fastener"]["family"] == "a" else 0.9


def orders() -> Iterator[Answered]:
    yield ranked("fastener_count", used(twice_for_b), family("b"))
    yield ranked("drilled_volume", used(more_for_b), family("b", sizes={"M12": size(12, 14, embedment(50, 70))}))
    yield ranked("preference_rank", used(more_for_b), family("b", preference_rank=2))
    yield ranked("availability", used(more_for_b), family("b", availability="to_order"))
    yield ranked("utilisation", used(more_for_b), family("b"))
    yield ranked("preference_rank", used(more_for_b), family("b"))


def limited(**limits: Any) -> Answered:
    other = family("other", mechanism="undercut", sizes={"M8": size(6, 9, embedment(10, 20))}, setting="before_fixture")
    return sized(shared_load(49), request(limits=limits, pattern=ONE), family("screw"), other)


def limits() -> Iterator[Answered]:
    yield limited(utilisation=0.5)
    yield limited(mechanisms=["bonded", "undercut"])
    yield limited(families=["other"])
    yield limited(removable=False)
    yield limited(setting="before_fixture")
    yield limited(hole_depth_mm=50)
    yield limited(hole_diameter_mm=7)
    stud = family("stud", mechanism="headed_fastener", sizes={"16": size(None, None, embedment(100, None))})
    yield sized(shared_load(10), request(), stud)
    off_member = {"x": {"counts": [2], "spacings_mm": [700]}, "y": {"counts": [1]}}
    yield sized(shared_load(1), request(pattern=off_member), family("screw"))


def short_until(enough: Callable[[Mapping[str, Any]], bool], code: str, given: Any, limit: Any) -> Verification:
    """Judges a requirement not to be met until the request is changed enough."""

    def verify(candidate: Mapping[str, Any]) -> Answered:
        if enough(candidate):
            return answer(candidate, 0.4)
        return answer(candidate, 0.4, verdict="not_verified", requirements=[unmet(code, given, limit)])

    return Verification(verify)


def known(part: str, name: str, value: Any) -> Callable[[Mapping[str, Any]], bool]:
    return lambda candidate: (candidate.get(part) or {}).get(name) == value


def facts() -> Iterator[Answered]:
    for code, part, name, words in (
        ("exposure_allowed", "use", "exposure", ("dry_internal", "damp_internal")),
        ("hole_covered", "use", "hole", ("dry", "wet")),
        ("temperature_range_covered", "use", "temperature_range", ("I", "II")),
        ("state_covered", "member", "state", ("uncracked", "cracked")),
    ):
        yield sized(short_until(known(part, name, words[-1]), code, words[0], words), request(), family("screw"))
    open_strength = request(member=request()["member"] | {"strength_class": None})
    shown = short_until(known("member", "strength_class", "C20/25"), "strength_shown", None, "C20/25")
    yield sized(shown, open_strength, family("screw"))
    overhead = short_until(known("use", "overhead", False), "overhead_allowed", None, None)
    yield sized(overhead, request(), family("screw"))


def thicknesses() -> Iterator[Answered]:
    thick = short_until(lambda c: c["member"]["thickness_mm"] >= 240, "member_thickness", 200, 240)
    yield sized(thick, request(), family("screw"))
    plate = {"width_mm": 220, "depth_mm": 220, "thickness_mm": 30}
    thin = short_until(lambda c: c["fixture"]["thickness_mm"] <= 20, "fixture_thickness", 30, 20)
    yield sized(thin, request(fixture=plate), family("screw"))
    grout = {"grout": {"thickness_mm": 30, "strength_mpa": None}}
    sound = used(lambda c: 0.9 if c["fixture"]["grout"].get("strength_mpa") else 4.0)
    yield sized(sound, request(fixture=plate | grout), family("screw"))
    covered = request()["member"] | {"topping": {"kind": "screed", "thickness_mm": 30}}
    bare = used(lambda c: 0.9 if c["member"]["topping"].get("comes_off") else 4.0)
    yield sized(bare, request(fixture=plate, member=covered), family("screw"))
    clamped = used(lambda c: 0.9 if c["fixture"].get("washer_clamped") else 4.0)
    yield sized(clamped, request(fixture=plate | {"stand_off_mm": 40}), family("screw"))


def near_edge(candidate: Mapping[str, Any]) -> Answered:
    share = 450 / candidate["member"]["edges"]["x_plus_mm"]
    edge = {"mode": "concrete_edge", "load_case": "pull", "edge": "x_plus", "utilisation": share}
    return answer(candidate, share, governing=edge)


def checks() -> Iterator[Answered]:
    yield sized(Verification(near_edge), request(), family("screw"))
    yield sized(shared_load(200), request(pattern=PAIR), family("screw"))
    yield sized(used(lambda _: None), request(), family("screw"))
    yield sized(shared_load(48), request(limits={"removable": True}), family("screw"), family("b", removable=False))
    limit = ScopeLimit(Limit.TOO_MANY_FASTENERS, "1.2", {"fasteners": 12, "fasteners_max": 9})
    outside = Verification(lambda c: answer(c, None, verdict="outside_scope", scope_limits=[limit]))
    yield sized(outside, request(), family("screw"))


@cache
def answers() -> tuple[Answered, ...]:
    return (*orders(), *limits(), *facts(), *thicknesses(), *checks())


def reasons() -> Iterator[Mapping[str, Any]]:
    for found in answers():
        for choice in found["choices"]:
            yield from choice["reasons"]
        yield from (entry["reason"] for entry in found["passed_over"])


def causes() -> Iterator[Mapping[str, Any]]:
    for found in answers():
        for cause in (entry["cause"] for entry in found["rejected"]):
            yield cause
            yield from cause["also"]
    yield from (reason["cause"] for reason in reasons() if reason["cause"])


def relaxations() -> Iterator[Mapping[str, Any]]:
    for found in answers():
        yield from found["relaxations"]


@pytest.mark.parametrize("code", ReasonCode, ids=lambda code: code.name)
def test_every_reason_is_given_with_its_figures(code: ReasonCode) -> None:
    given = [entry for entry in reasons() if entry["code"] == code]
    assert given
    for entry in given:
        held(entry, code)
        said = sentence(entry, code)
        assert entry["text"] == (said if entry["cause"] is None else f"{said}: {entry['cause']['detail']}")
        assert (entry["cause"] is not None) == (code is ReasonCode.NEXT_SMALLER_FAILS)


@pytest.mark.parametrize("code", CauseCode, ids=lambda code: code.name)
def test_every_cause_is_given_with_its_figures(code: CauseCode) -> None:
    words = {mode.value for mode in Mode} if code is CauseCode.MODE_OVER else {code.value}
    given = [entry for entry in causes() if entry["code"] in words]
    assert given
    for entry in given:
        held(entry, code)
        assert entry["detail"] == sentence(entry, code)
        assert entry["kind"] == ("mode" if code is CauseCode.MODE_OVER else "limit")


@pytest.mark.parametrize("code", RelaxationCode, ids=lambda code: code.name)
def test_every_relaxation_is_given_with_its_figures(code: RelaxationCode) -> None:
    given = [entry for entry in relaxations() if entry["code"] == code]
    assert given
    for entry in given:
        held(entry, code)
        assert entry["detail"].startswith(f"{sentence(entry, code)} would admit Fastener ")
        assert [one["family"] for one in entry["admits"]] == entry["families"]


def test_causes_are_of_the_listed_codes_and_open_facts_are_pointed_to() -> None:
    assert {cause["code"] for cause in causes()} <= CAUSES.keys()
    open_facts = {cause["left_open"] for cause in causes()} - {None}
    assert open_facts == {
        "#/use/exposure",
        "#/use/hole",
        "#/use/temperature_range",
        "#/use/overhead",
        "#/member/strength_class",
        "#/member/state",
    }


def test_what_may_be_known_is_given_as_the_request_takes_it() -> None:
    needed = {entry["pointer"]: (entry["needed"], entry["values"]) for entry in relaxations()}
    assert needed["#/use/hole"] == (["dry", "wet"], ["dry", "wet"])
    assert needed["#/use/overhead"] == (False, [False])


def test_lists_of_the_answer_are_as_they_are_stated() -> None:
    schema = SizingAnswer().fields
    for found in answers():
        for name in ("choices", "passed_over", "rejected", "rejected_groups", "relaxations"):
            for entry in found[name]:
                assert list(entry) == list(schema[name].inner.schema.fields)  # type: ignore[attr-defined]


def held(entry: Mapping[str, Any], code: Code) -> None:
    assert list(entry["figures"]) == [figure.name for figure in code.says.figures]
    assert entry["severity"] == code.says.weight.value


def sentence(entry: Mapping[str, Any], code: Code) -> str:
    """The sentence of a code made anew from the figures that stand in the answer."""
    terms = {figure.name: figure.terms for figure in code.says.figures if isinstance(figure, Term)}
    figures = {name: _named(value, terms.get(name)) for name, value in entry["figures"].items()}
    return catalogue(Audience.ENGINEER).sentence(Statement(code, figures))


def _named(value: Any, terms: type[Code] | None) -> Value:
    if isinstance(value, list):
        return tuple(terms(each) if terms else each for each in value)
    return terms(value) if terms and value is not None else value


@pytest.mark.parametrize(
    ("code", "field", "said"),
    [
        ("approved_use_redundant", "redundancy", {"redundancy": {"points": 1}}),
        ("approved_use_non_structural", "structural", {"structural": True}),
        ("use_not_excluded", "consequence", {"consequence": ["lifting"]}),
        ("approved_use_dry_internal", "exposure", {"exposure": "external"}),
    ],
)
def test_a_use_that_an_approval_asks_for_and_nobody_said_is_left_open(code: str, field: str, said: Any) -> None:
    def cause(use: Any) -> Any:
        asked = short_until(lambda _: False, code, None, None)
        answered = sized(asked, request(use=use), family("screw"))
        details = [group["detail"] for group in answered["rejected_groups"]]
        assert details == [answered["rejected"][0]["cause"]["detail"]]
        return answered["rejected"][0]["cause"]

    open_, stated = cause({}), cause(said)
    assert (open_["left_open"], stated["left_open"]) == (f"#/use/{field}", None)
    assert open_["detail"] == f"{stated['detail']}; the request leaves this open, so the less favourable was taken"
