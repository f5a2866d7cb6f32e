"""Every code of as-built checks and labels is emitted by a case here: one that nothing emits any more is found."""

from __future__ import annotations

import copy
from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from service.contract import as_built_codes as words
from service.contract.label_codes import (
    ImprovementCautionCode,
    ImprovementCode,
    LabelAssumptionCode,
    LabelCautionCode,
    Lacking,
    LimitCode,
    LimitIn,
    LoadMeaning,
    NotAnsweredCode,
    ProofOf,
    TakenAs,
    VoidCode,
)
from service.contract.verification_codes import Filling, stated
from service.rulebook import Rulebook
from service.site.as_built import check, new_request
from service.site.labels.site_improvements import explained
from service.verification import verify
from service.words import Audience, Code, Term, catalogue, figures_in
from tests.site import test_as_built as built
from tests.site import test_as_built_around as around
from tests.site import test_as_built_forms as forms
from tests.site import test_as_built_otherwise as otherwise
from tests.site import test_as_built_standing as standing
from tests.site.sheet_cases import REQUESTS, book
from tests.site.test_labels import BEST_SITE, RULEBOOK, read
from tests.site.test_site_improvements import WITHOUT_TORQUE

RESIN = {"torque_nm": 82}
HELD: dict[str, tuple[type[Code], str]] = {
    "as_built_requirements": (words.AsBuiltRequirementCode, "detail"),
    "to_do": (words.ToDoCode, "text"),
    "cautions": (words.AsBuiltCautionCode, "text"),
}
WORDS = (
    words.FoundBy, words.Head, words.Counted, words.HoleKnownBy, words.Sleeve, words.Mark, words.Cleaning,
    words.ResinSeen, words.SetWithin, words.Weld, Filling,
)  # fmt: skip


def as_built() -> Iterator[dict[str, Any]]:
    """Answers of as-built checks that between them hold every code."""
    done: dict[str, Any]
    for name in ("guardrail", "resin", "drop-ins overhead", "screw near a corner", "undercut in a corner", "studs",
                 "slow resin in a wet hole, grouted"):  # fmt: skip
        yield built.only_said(REQUESTS[name])
    yield built.check_of(built.record_of(REQUESTS["guardrail"]), {})
    yield built.checked(built.by_feel("resin"))
    yield built.guardrail(torque_tool=None)
    yield built.checked(REQUESTS["resin"], torque_tool="by_feel")
    yield built.guardrail(nominal_embedment_mm=61, shallow_numbers=[1])
    for done in (
        {}, {"torque_nm": 0},
        {"positions": [{**place, "x_mm": place["x_mm"] - 20} for place in REQUESTS["guardrail"]["positions"]]},
        {"torque_nm": 105}, {"torque_tool": "impact_driver_set"}, {"edges": {"x_plus_mm": 130}},
        {"embedment_mm": 52}, {"embedment_mm": 67}, {"embedment_mm": 74.5}, {"embedment_mm": 87}, {"embedment_mm": 81},
        {"length_mm": 117}, {"hole_depth_mm": 260}, {"nominal_embedment_mm": 76}, {"nominal_embedment_mm": 62},
        {"nominal_embedment_mm": 89}, {"hole_depth_mm": 228}, {"hole_depth_mm": 227.3}, {"stand_off_mm": 5},
        {"moved": [{"number": 2, "x_mm": 95, "y_mm": -75}]},
    ):  # fmt: skip
        yield built.guardrail(**done)
    for done in ({}, {"hole_diameter_mm": 10}, {"hole_diameter_mm": 12}):
        yield standing.rail(**standing.OTHER_SIZE, **done)
    for done in (
        {"missing_numbers": [2], "undrilled_numbers": [2]}, {"moved": [{"number": 2, "x_mm": 110, "y_mm": -75}]},
        {"hole_diameter_mm": 14}, {"to_set_numbers": [2]}, {"to_set_numbers": [2], "undrilled_numbers": [2]},
    ):  # fmt: skip
        yield standing.as_set(**done)
    yield built.only_said(standing.in_thin_member(), **standing.TORQUE, hole_depth_mm=99)
    for found_by in ("rebound", "cores", "specimens"):
        yield built.guardrail(strength_found={"strength_mpa": 45, "found_by": found_by})
    for done in (
        {"torque_nm": 82.5}, {"torque_nm": 10}, {"embedment_mm": 223}, {"hole_depth_mm": 178},
        {"concrete_temperature_c": -6}, {"curing_minutes": 1}, {"curing_minutes": None},
        {"coldest_until_cured_c": None}, {"set_within_working_time": True}, {"set_within_working_time": False},
        {"hole_cleaned": False}, {"resin_filled": False}, {"nominal_embedment_mm": 153, "hole_depth_mm": 148},
    ):  # fmt: skip
        yield built.checked(REQUESTS["resin"], **{**RESIN, **done})
    by_length = {"screwed_in_mm": None, "bolt_length_mm": 9, "torque_nm": 20}
    drop_ins = copy.deepcopy(REQUESTS["drop-ins overhead"])
    del drop_ins["fixture"]["thickness_mm"]
    yield built.only_said(drop_ins, **by_length)
    for done in ({}, {"hole_depth_mm": 49}, {"sleeve_expanded": False}, by_length):
        yield built.checked(REQUESTS["drop-ins overhead"], **{"torque_nm": 20, **done})
    yield around.on_grout(thickness_mm=3)
    yield around.on_grout()
    yield around.plug(cracks_seen=True)
    yield built.checked(REQUESTS["slow resin in a wet hole, grouted"], drilling="diamond_core")
    yield built.checked(REQUESTS["studs"], weld_tested=False)
    for name in ("guardrail", "studs"):
        yield built.checked(REQUESTS[name], replaced_numbers=[1])
    for done in ({}, {"mark_shows": False}, {"hole_depth_mm": 154.1}):
        yield built.checked(REQUESTS["undercut in a corner"], **{"torque_nm": 78, **done})
    yield built.only_said(built.hanger_screw(), hole_depth_mm=58)
    yield built.only_said(built.hanger_screw(), hole_depth_mm=66, head_seated=True)
    for torque_nm in (410, 411):
        done = {"torque_nm": torque_nm, "torque_tool": "impact_driver_set", "head_seated": None}
        yield built.checked(REQUESTS["screw near a corner"], **done)
    yield built.checked(REQUESTS["screw near a corner"], head_seated=False)
    yield built.checked(REQUESTS["screw near a corner"], torque_tool="impact_driver_set")
    yield built.guardrail(torque_tool="by_feel", torque_nm=None)
    yield forms.filled_in(REQUESTS["screw near a corner"], nominal_embedment_mm=85)
    yield built.checked(REQUESTS["nylon"], stand_off_mm=20)
    yield built.checked(REQUESTS["stand-off"], torque_nm=120)
    yield built.checked(otherwise.plated(), torque_nm=52)
    yield built.guardrail(attached_section={"in_place": False})
    for hole in ({"x_mm": 40}, {"x_mm": 40, "refilled": True}, {"x_mm": -40, "refilled": True}):
        aborted = {"y_mm": 0, "depth_mm": 30, **hole}
        yield built.checked(built.single(shear_kn=1), torque_nm=57, aborted_holes=[aborted])
    yield all_measured()
    yield built.nothing_new(all_measured())
    yield overloaded()
    moved = [{"number": 1, "x_mm": -118, "y_mm": -100}]
    yield built.chained(built.checked(REQUESTS["resin"], torque_nm=82), moved=moved)
    yield run_out()


def all_measured() -> dict[str, Any]:
    return built.guardrail(**built.EVERYTHING)


def overloaded() -> dict[str, Any]:
    heavy = copy.deepcopy(REQUESTS["guardrail"])
    heavy["load_cases"][0]["moment_y_knm"] = 3.6
    heavy["fixture"]["thickness_mm"] = 20
    return built.checked(heavy, strength_found={"strength_mpa": 20, "found_by": "rebound"}, embedment_mm=57)


def run_out() -> dict[str, Any]:
    """The approval of the family runs to the end of 2030 in its file."""
    record, done = built.record_of(REQUESTS["guardrail"]), {"torque_nm": 52}
    later = verify({**record.request, "assessed_on": "2031-06-01"}, book())
    return check(record, done, new_request(record, done, book()), book(), later)


@cache
def answers() -> tuple[dict[str, Any], ...]:
    return tuple(as_built())


def entries(part: str) -> list[Mapping[str, Any]]:
    return [entry for answer in answers() for entry in answer[part]]


@pytest.mark.parametrize("part", HELD)
def test_every_code_of_an_as_built_check_is_emitted(part: str) -> None:
    codes, _ = HELD[part]
    assert {entry["code"] for entry in entries(part)} == {code.value for code in codes}


def test_every_measurement_is_missed_somewhere() -> None:
    assert {entry["code"] for entry in entries("not_measured")} == {code.value for code in words.Measurement}


def test_every_word_of_the_figures_is_emitted() -> None:
    seen = {word for part in HELD for entry in entries(part) for word in worded(part, entry)}
    assert {word for word in seen if type(word) in WORDS} == {word for kind in WORDS for word in kind}


def worded(part: str, entry: Mapping[str, Any]) -> Iterator[Code]:
    """The members of lists among the figures of an entry."""
    for figure in HELD[part][0](entry["code"]).says.figures:
        given = entry["figures"][figure.name]
        if isinstance(figure, Term) and given is not None and len(figure.terms):
            yield from map(figure.terms, given if isinstance(given, list) else [given])


@pytest.mark.parametrize("part", HELD)
def test_each_template_of_the_engineers_is_said_and_has_its_figures(part: str) -> None:
    """A template that no figures choose is dead; one that is chosen without a figure of its own says "not known"."""
    codes, field = HELD[part]
    chosen = set()
    for entry in entries(part):
        code = codes(entry["code"])
        said = stated(entry, codes)
        assert said is not None
        assert list(entry["figures"]) == [figure.name for figure in code.says.figures]
        figures = {name: tuple(value) if isinstance(value, list) else value for name, value in entry["figures"].items()}
        for audience in Audience:
            template = code.says.template(audience, figures)
            assert figures_in(template) <= {name for name, value in figures.items() if value not in {None, ()}}
            chosen.add((audience, code, template))
        assert entry[field] == catalogue(Audience.ENGINEER).sentence(said)
    assert chosen == {(a, code, one) for a in Audience for code in codes for one in code.says.templates(a)}


def test_what_is_to_be_done_names_a_requirement_of_the_same_answer() -> None:
    for answer in answers():
        open_ = {entry["code"] for entry in answer["as_built_requirements"] if entry["met"] is not True}
        open_ |= {entry["code"] for entry in answer["unmet_requirements"]}
        named = {entry["requirement"] for entry in answer["to_do"]} - {None}
        assert named == open_


FIGURES: list[dict[str, Any]] = [{"meaning": "mean_ultimate", "value_kn": 4.2}]


def labels() -> Iterator[dict[str, Any]]:
    """Answers to labels that between them hold every code."""
    yield read()
    for changes in (
        {"proof": None}, {"proof": None, "mechanism": "torque_controlled_expansion"}, {"european_assessment": None},
        {"mechanism": None}, {"concrete_state": None},
        {"concrete_state": "cracked"}, {"base_material": None}, {"base_material": "masonry"},
        {"own_screw_used": True}, {"own_screw_used": None}, {"applied": {"value_kn": 50}},
        {"proof": None, "applied": {"value_kn": 0.8}}, {"site": None, "mechanism": "bonded"},
        {"as_set": {"hole_diameter_mm": 12, "hole_depth_mm": 70, "fixture_thickness_mm": 40}},
        {"as_set": {"hole_depth_mm": 90}, "mechanism": "undercut"}, {"as_set": None},
        {"figures": [{"value_kn": 4.2}]}, {"figures": [{"meaning": "characteristic", "value_kn": 4.2}]},
        {"figures": [{"meaning": "characteristic", "value_kn": 420}]},
        {"cracked_concrete_covered": "yes"},
        {"figures": [{"meaning": "recommended", "value_kg": 250, "value_lb": 600}]},
        {"figures": [*FIGURES, {"meaning": "mean_ultimate", "value_kn": 6}]},
        {"figures": [*FIGURES, {"meaning": "recommended", "value_kn": 5}]},
    ):  # fmt: skip
        yield read(**changes)


@pytest.mark.parametrize(
    ("part", "codes"),
    [
        ("assumptions", tuple(code.value for code in LabelAssumptionCode)),
        ("void", tuple(code.value for code in VoidCode)),
        ("not_answered", tuple(code.value for code in NotAnsweredCode)),
    ],
)
def test_every_code_of_a_label_is_emitted(part: str, codes: tuple[str, ...]) -> None:
    seen = {entry["code"] for answer in labels() for entry in answer[part]}
    assert {code for code in seen if not code.endswith("_unknown")} == set(codes)


def test_every_caution_of_labels_and_their_sites_is_emitted() -> None:
    own = {caution["code"] for caution in RULEBOOK.document["cautions"]}
    seen = {entry["code"] for answer in labels() for entry in answer["cautions"]} - own
    assert seen == {code.value for code in LabelCautionCode}
    site = explained({"assessed_on": "2026-11-25", "mechanism": "bonded"}, RULEBOOK)
    assert {entry["code"] for entry in site["cautions"]} - own == {code.value for code in ImprovementCautionCode}


def test_every_meaning_of_a_load_is_said_and_taken() -> None:
    figures = [figure for answer in labels() for figure in answer["figures"]]
    assert {figure["meaning_given"] for figure in figures} == {meaning.value for meaning in LoadMeaning}
    assert {figure["meaning_taken"] for figure in figures} == {meaning.value for meaning in TakenAs}
    assert {figure["words"] for figure in figures} == {meaning.says.engineer for meaning in TakenAs}


def test_every_word_of_a_limit_is_said() -> None:
    limits = [answer["permissible"] for answer in labels() if answer["permissible"] is not None]
    assert {limit["code"] for limit in limits} == {code.value for code in LimitCode}
    assert {limit["figures"]["where"] for limit in limits} == {where.value for where in LimitIn}
    missing = {one for limit in limits for one in limit["figures"]["missing"]}
    assert missing == {one for limit in limits for one in limit["missing_proof"]} == {one.value for one in ProofOf}


def other_size(**setting: float | None) -> Rulebook:
    """The rulebook with one size of the screw tightened otherwise than its others."""
    family = dict(RULEBOOK.families[WITHOUT_TORQUE])
    size = family["sizes"]["6"]
    family["sizes"] = {**family["sizes"], "6": {**size, "setting": {**size["setting"], **setting}}}
    return replace(RULEBOOK, families={**RULEBOOK.families, WITHOUT_TORQUE: family})


def test_every_kind_of_improvement_is_emitted() -> None:
    floor = {"site_reduction": {"floor": 0.9}}
    strict = replace(RULEBOOK, document={**RULEBOOK.document, **floor})
    parts: list[dict[str, Any]] = [
        {"mechanism": "bonded"},
        {"mechanism": "bonded", "site": {**BEST_SITE, "installer": "supervised"}},
        {"family": WITHOUT_TORQUE, "site": BEST_SITE | {"torque_control": "by_feel"}},
    ]
    rulebooks = (RULEBOOK, strict, other_size(installation_torque_nm=12), other_size(impact_driver_torque_max_nm=None))
    found = [
        one
        for part in parts
        for rulebook in rulebooks
        for one in explained({"assessed_on": "2026-11-25", **part}, rulebook)["improvements"]
    ]
    assert {one["code"] for one in found} == {code.value for code in ImprovementCode}
    assert {one["figures"]["lacking"] for one in found} - {None} == {code.value for code in Lacking}
