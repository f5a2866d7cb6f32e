"""Replays of records: identical, altered, made otherwise, unknown; and what they come to today."""

from __future__ import annotations

import copy
import json
from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.audit.impact.outcome import documents_of
from service.audit.records.record import read_record
from service.audit.records.replaying import Replay, replay_record
from service.contract.sentences import is_sentence
from service.contract.terms import CONTRACT_VERSION
from service.rulebook import Rulebook, plain
from service.rulebook.archive import ReleaseContent
from service.rulebook.shelf import Shelf
from service.rulebook.suspensions import Suspension
from service.rulebook.tree import of_parsed
from service.verification import verify
from service.verification.record import ENGINE, record_id
from service.verification.refusal import RefusedRequest
from tests.audit.replay_shelf import (
    DAY,
    NEWER,
    REQUEST,
    VERSION,
    base,
    changed,
    edited,
    objects_in,
    other_value,
    record_of,
    shelf_of,
    values_in,
)

TODAY = date.fromisoformat(DAY)
NOT_CONTENT = ("answer", "rulebook", "commit")
PULL_OUT = "families/bolt#/sizes/M12/embedments/70/pull_out/cracked_kn"
STOPPED = Suspension("bolt", "M12", None, "2026-11-01", "bolts of a batch broke on site")


@pytest.fixture(scope="module")
def book() -> Rulebook:
    return base()


@pytest.fixture(scope="module")
def shelf(book: Rulebook) -> Shelf:
    return shelf_of(book)


@pytest.fixture(scope="module")
def record(book: Rulebook) -> dict[str, Any]:
    return record_of(book)


def replayed(record: dict[str, Any], shelf: Shelf, today: date = TODAY) -> Replay:
    return replay_record(read_record(record["request"], record["answer"]), shelf, today)


def resealed(record: dict[str, Any], engine: str = ENGINE) -> dict[str, Any]:
    """The record with an id that fits its content: consistent, whoever made it."""
    answer = copy.deepcopy(record["answer"])
    request = {**record["request"], "rulebook": answer["rulebook"]["version"]}
    digest = record_id(request, answer, answer["rulebook"]["digest"], engine)
    answer["record"] = {"id": digest, "engine": engine, "contract_version": CONTRACT_VERSION}
    return {"request": record["request"], "answer": answer}


def test_a_record_as_it_was_given_is_identical_and_passes(record: dict[str, Any], shelf: Shelf) -> None:
    found = replayed(record, shelf)
    assert (found.outcome, found.cause, found.differences, found.consistent) == ("identical", None, (), True)
    assert found.today.passes
    assert found.today.changed == ()
    assert found.today.before == found.today.after


def test_a_record_made_under_superseded_rules_says_so_and_is_identical(book: Rulebook, shelf: Shelf) -> None:
    old = record_of(replace(book, superseded_by="2999.1.0"))
    said = [caution["text"] for caution in old["answer"]["cautions"] if caution["code"] == "superseded"]
    assert [VERSION in text and "2999.1.0" in text for text in said] == [True]
    assert replayed(old, shelf).outcome == "identical"
    old["answer"]["rulebook"]["superseded_by"] = None
    assert replayed(old, shelf).cause == "altered"


def test_what_superseded_a_record_is_a_text(record: dict[str, Any], shelf: Shelf) -> None:
    wrong = edited(record, ("answer", "rulebook", "superseded_by"), lambda part, name: part.update({name: 7}))
    with pytest.raises(RefusedRequest, match=r"superseded_by: must be a text or null"):
        replayed(wrong, shelf)


@pytest.mark.parametrize("left_open", [{}, {"assessed_on": None}, {"rulebook": None}, {"rulebook": VERSION}])
def test_what_the_request_left_open_is_taken_from_the_answer(left_open: dict[str, Any], book: Rulebook) -> None:
    kept = {**REQUEST, **left_open}
    if "assessed_on" in left_open:
        asked = {**kept, "assessed_on": DAY}
        answer = verify(asked, book, assessed_on_assumed=True)
    else:
        answer = verify(kept, book)
    assert replayed({"request": kept, "answer": answer}, shelf_of(book)).outcome == "identical"


def test_layout_is_not_content(record: dict[str, Any], shelf: Shelf) -> None:
    def reordered(value: Any) -> Any:
        if isinstance(value, dict):
            return {name: reordered(value[name]) for name in sorted(value, reverse=True)}
        if isinstance(value, list):
            return [reordered(item) for item in value]
        return float(value) if type(value) is int else value

    assert replayed(json.loads(json.dumps(reordered(record), indent=4)), shelf).outcome == "identical"


def is_worded(steps: tuple[str | int, ...]) -> bool:
    return steps[0] == "answer" and is_sentence(steps[1:])


def test_a_change_of_any_value_but_a_sentence_is_found_out(record: dict[str, Any]) -> None:
    unnoticed = []
    for steps in values_in(record):
        altered = edited(record, steps, lambda part, step: part.__setitem__(step, other_value(part[step])))
        try:
            read = read_record(altered["request"], altered["answer"])
        except RefusedRequest:
            assert steps[1] in {"assessed_on", "suspensions"} or steps[-1] == "contract_version", steps
            continue
        if read.id_of_content() == read.id and not is_worded(steps):
            unnoticed.append(steps)
    # The same rules may lie in several commits, so the commit is no content (the record's definition).
    assert unnoticed == [NOT_CONTENT]


def test_a_value_taken_out_or_put_in_anywhere_is_found_out(record: dict[str, Any]) -> None:
    def removed(part: Any, step: str | int) -> None:
        del part[step]

    unnoticed = []
    for steps in values_in(record):
        try:
            altered = edited(record, steps, removed)
            read = read_record(altered["request"], altered["answer"])
        except RefusedRequest:
            assert steps[1] in {"assessed_on", "suspensions", "rulebook", "record"}, steps
            continue
        if read.id_of_content() == read.id and not is_worded(steps):
            unnoticed.append(steps)
    # A day that the request leaves open is the answer's.
    assert set(unnoticed) == {NOT_CONTENT, ("request", "assessed_on")}


def test_a_sentence_in_other_words_changes_no_id_and_is_told(record: dict[str, Any], shelf: Shelf) -> None:
    sentences = [steps for steps in values_in(record) if is_worded(steps)]
    assert len({steps[1] for steps in sentences}) > 6
    for steps in sentences:
        worded = edited(record, steps, lambda part, step: part.__setitem__(step, "said better"))
        found = replayed(worded, shelf)
        assert (found.outcome, found.consistent) == ("same_figures", True), steps
        if found.cause == "reworded":
            assert [difference.kind for difference in found.differences] == ["reworded"]
        else:  # null there, and no text at all
            assert steps[-1] in {"reason", "expression"}


def test_a_sentence_that_is_no_text_is_no_other_wording(record: dict[str, Any], shelf: Shelf) -> None:
    wrong = edited(record, ("answer", "cautions", 0, "text"), lambda part, step: part.__setitem__(step, 7))
    found = replayed(wrong, shelf)
    assert (found.outcome, found.cause) == ("different", "not_made_here")


def test_a_record_that_lacks_what_answers_have_gained_has_the_same_figures(
    record: dict[str, Any], shelf: Shelf
) -> None:
    older = copy.deepcopy(record)
    answer = older["answer"]
    del answer["checks"][0]["clause"], answer["plate"]["stress_ratio"], answer["cautions"][0]
    found = replayed(resealed(older), shelf)
    assert (found.outcome, found.cause, found.consistent) == ("same_figures", "answer_gained", True)
    assert {difference.kind for difference in found.differences} == {"removed"}
    assert found.answer is not None
    assert found.answer["cautions"] == record["answer"]["cautions"]
    assert "every figure, verdict and code of the record comes out the same; answers have gained fields" in found.words


@pytest.mark.parametrize(
    ("steps", "value"),
    [
        (("verdict",), "not_verified"),
        (("governing", "mode"), "pull_out"),
        (("checks", 0, "design_resistance_kn"), 1.0),
        (("requirements", 0, "code"), "another"),
        (("requirements", 0, "met"), False),
        (("cautions", 0, "code"), "another"),
        (("more", "than", "comes out"), 1),
        (("permissible",), None),
    ],
)
def test_a_figure_verdict_or_code_that_does_not_come_out_is_different(
    steps: tuple[str | int, ...], value: Any, record: dict[str, Any], shelf: Shelf
) -> None:
    other = copy.deepcopy(record)
    place = other["answer"]
    for step in steps[:-1]:
        place = place.setdefault(step, {}) if isinstance(place, dict) else place[step]
    place[steps[-1]] = value
    del other["answer"]["plate"]["stress_ratio"]
    found = replayed(resealed(other), shelf)
    assert (found.outcome, found.cause) == ("different", "not_made_here")
    assert found.differences[0].contradicts


@pytest.mark.parametrize("stated", [1, 3, 0, "2", 2.5, True, None, [2]])
def test_a_version_of_the_contract_that_is_not_read_here_is_refused(stated: Any, record: dict[str, Any]) -> None:
    other = copy.deepcopy(record)
    other["answer"]["record"]["contract_version"] = stated
    with pytest.raises(RefusedRequest, match="#/answer/record/contract_version: "):
        read_record(other["request"], other["answer"])


def test_a_record_does_not_become_one_of_version_1_by_leaving_the_version_out(
    record: dict[str, Any], shelf: Shelf
) -> None:
    other = copy.deepcopy(record)
    del other["answer"]["record"]["contract_version"]
    found = replayed(other, shelf)
    assert (found.outcome, found.cause, found.record.contract_version) == ("different", "altered", 1)


def test_a_key_put_in_anywhere_is_different(record: dict[str, Any], shelf: Shelf) -> None:
    for steps in objects_in(record["answer"]):
        altered = edited(record, ("answer", *steps, "added"), lambda part, step: part.__setitem__(step, 1))
        found = replayed(altered, shelf)
        assert (found.outcome, found.cause) == ("different", "altered"), steps


@given(data=st.data())
def test_an_altered_record_is_never_called_identical(data: st.DataObject, record: dict[str, Any], shelf: Shelf) -> None:
    places = [steps for steps in values_in(record["answer"]) if steps[:2] != ("rulebook", "commit")]
    steps = data.draw(st.sampled_from(places))
    value = data.draw(st.one_of(st.booleans(), st.none(), st.integers(), st.floats(allow_nan=False), st.text()))
    altered = edited(record, ("answer", *steps), lambda part, step: part.__setitem__(step, value))
    if json.dumps(altered) == json.dumps(record):
        return
    try:
        found = replayed(altered, shelf)
    except RefusedRequest:
        return
    said = record["answer"]
    for step in steps:
        said = said[step]
    same_number = not isinstance(value, bool) and not isinstance(said, bool) and value == said
    assert (found.outcome == "identical") is same_number


def test_what_was_altered_is_shown_with_how_far_it_is_off(record: dict[str, Any], shelf: Shelf) -> None:
    altered = copy.deepcopy(record)
    used = altered["answer"]["checks"][0]["utilisation"]
    altered["answer"]["checks"][0]["utilisation"] = used / 2
    found = replayed(altered, shelf)
    shown = {difference.pointer: difference for difference in found.differences}
    assert found.cause == "altered"
    assert shown["#/answer/checks/0/utilisation"].recomputed == used
    assert shown["#/answer/checks/0/utilisation"].relative == 1.0
    assert shown["#/answer/record/id"].recorded == record["answer"]["record"]["id"]


def test_an_altered_request_shows_in_the_figures(record: dict[str, Any], shelf: Shelf) -> None:
    altered = copy.deepcopy(record)
    altered["request"]["load_cases"][0]["normal_kn"] = 8
    found = replayed(altered, shelf)
    assert found.cause == "altered"
    assert "#/answer/governing/utilisation" in {difference.pointer for difference in found.differences}


def test_true_is_not_1(record: dict[str, Any], shelf: Shelf) -> None:
    altered = copy.deepcopy(record)
    altered["answer"]["requirements"][0]["met"] = 1
    assert replayed(altered, shelf).cause == "altered"


@pytest.mark.parametrize("huge", [2**53 + 1, 2**64, 1e300, -1e300])
def test_numbers_that_no_record_can_hold(huge: float, record: dict[str, Any], shelf: Shelf) -> None:
    altered = copy.deepcopy(record)
    altered["answer"]["governing"]["utilisation"] = huge
    found = replayed(altered, shelf)
    assert found.cause == "altered"
    assert not found.consistent


def test_another_engine_with_the_same_figures_is_identical(record: dict[str, Any], shelf: Shelf) -> None:
    found = replayed(resealed(record, "anchor-rulebook-engine/0.0.1"), shelf)
    assert found.outcome == "identical"
    assert "it says that anchor-rulebook-engine/0.0.1 made it" in found.words


@pytest.mark.parametrize(
    ("engine", "cause"), [(ENGINE, "not_made_here"), ("anchor-rulebook-engine/0.0.1", "another_engine")]
)
def test_a_consistent_record_with_other_figures(engine: str, cause: str, record: dict[str, Any], shelf: Shelf) -> None:
    made_up = copy.deepcopy(record)
    made_up["answer"]["governing"]["utilisation"] /= 2
    found = replayed(resealed(made_up, engine), shelf)
    assert (found.outcome, found.cause, found.consistent) == ("different", cause, True)
    assert [difference.pointer for difference in found.differences] == ["#/answer/governing/utilisation"]
    assert "other figures come out" in found.words
    assert "An id shows that a record is consistent, not who made it." in found.words


def test_a_record_of_version_2_that_asked_for_redundancy_by_its_old_name_comes_out(
    record: dict[str, Any], shelf: Shelf
) -> None:
    older = copy.deepcopy(record)
    assumptions = older["answer"]["assumptions"]
    assert assumptions[0]["code"] == "material_not_given"
    del assumptions[0]
    [asked] = [entry for entry in assumptions if entry["code"] == "redundant_not_given"]
    asked["pointer"] = "#/use/redundant"
    found = replayed(resealed(older), shelf)
    assert (found.outcome, found.cause) == ("same_figures", "answer_gained")
    assert {entry.kind for entry in found.differences} == {"removed"}


def test_one_code_is_lost_and_another_gained_and_none_is_called_changed(record: dict[str, Any], shelf: Shelf) -> None:
    made_up = copy.deepcopy(record)
    [lost] = [entry for entry in made_up["answer"]["assumptions"] if entry["code"] == "material_not_given"]
    lost["code"] = "another"
    found = replayed(resealed(made_up), shelf)
    assert (found.outcome, found.cause) == ("different", "not_made_here")
    codes = {(entry.kind, entry.recorded, entry.recomputed) for entry in found.differences if "/code" in entry.pointer}
    assert codes == {("added", "another", None), ("removed", None, "material_not_given")}
    assert "changed" not in {entry.kind for entry in found.differences}
    assert "no figure does" in found.words
    assert "other figures" not in found.words


def test_another_engine_is_what_the_record_says_and_not_a_fact(record: dict[str, Any], shelf: Shelf) -> None:
    made_up = copy.deepcopy(record)
    made_up["answer"]["governing"]["utilisation"] /= 2
    found = replayed(resealed(made_up, "anchor-rulebook-engine/0.0.1"), shelf)
    assert "It says that anchor-rulebook-engine/0.0.1 made it" in found.words
    assert "The difference lies in" not in found.words


def test_a_request_that_its_own_rules_refuse(record: dict[str, Any], shelf: Shelf) -> None:
    made_up = copy.deepcopy(record)
    made_up["request"]["fastener"]["size"] = "M99"
    found = replayed(resealed(made_up), shelf)
    assert (found.outcome, found.cause) == ("different", "not_made_here")
    assert found.refusal is not None
    assert "has no such size" in found.refusal
    assert "its own rules refuse its request" in found.words


def test_an_unknown_rulebook_is_impossible_and_says_what_would_help(record: dict[str, Any], book: Rulebook) -> None:
    newer = changed(book, NEWER, {PULL_OUT: 10.5})
    found = replayed(record, shelf_of(newer))
    assert (found.outcome, found.cause, found.consistent) == ("impossible", "rulebook_unknown", True)
    assert found.known_versions == (NEWER,)
    assert "packed rulebook" in found.words
    assert found.today.after is not None
    assert found.today.changed is None
    assert found.today.before is not None
    assert found.today.before.utilisation == record["answer"]["governing"]["utilisation"]


def test_an_altered_record_of_an_unknown_rulebook_is_found_out_all_the_same(
    record: dict[str, Any], shelf: Shelf
) -> None:
    altered = copy.deepcopy(record)
    altered["answer"]["rulebook"]["digest"] = f"sha256:{'0' * 64}"
    found = replayed(altered, shelf)
    assert (found.outcome, found.cause, found.rulebook_known) == ("different", "altered", False)


def test_the_commit_is_told_beside_the_one_known_now(record: dict[str, Any], shelf: Shelf) -> None:
    moved = copy.deepcopy(record)
    moved["answer"]["rulebook"]["commit"] = "0" * 40
    found = replayed(moved, shelf)
    assert found.outcome == "identical"
    assert found.as_json()["own_rulebook"]["commit_recorded"] == "0" * 40
    assert f"The id does not cover the commit, and no commit is known here to hold {'0' * 40} against" in found.words
    unnamed = copy.deepcopy(record)
    unnamed["answer"]["rulebook"]["commit"] = None
    assert "does not cover the commit" not in replayed(unnamed, shelf).words
    moved["answer"]["rulebook"]["commit"] = {"any": "thing"}
    assert replayed(moved, shelf).cause == "altered"


@pytest.mark.parametrize(("recorded", "told"), [("0" * 40, True), ("1" * 40, False), (None, False)])
def test_a_commit_that_differs_from_the_one_known_now_is_told(
    recorded: str | None, told: bool, record: dict[str, Any], book: Rulebook
) -> None:
    moved = copy.deepcopy(record)
    moved["answer"]["rulebook"]["commit"] = recorded
    release = replace(shelf_of(book).releases[0], content=ReleaseContent(documents_of(book), "1" * 40))
    found = replayed(moved, Shelf(book.path, of_parsed({}, {}), None, (release,), (), (), None))
    assert found.outcome == "identical"
    assert ("The id does not cover the commit, and it differs" in found.words) is told


def test_what_changed_since_for_this_fixing_and_nothing_else(book: Rulebook) -> None:
    record = record_of(book, load_cases=[{"name": "pull", "normal_kn": 13}])
    newer = changed(
        book,
        NEWER,
        {
            PULL_OUT: 10.5,
            "families/bolt#/approval/until": "2027-12-31",
            "families/screw#/sizes/8/steel/tension_kn": 1,
            "factors/site-conditions#/conditions/installer/values/trained/factor": 0.9,
        },
    )
    found = replayed(record, shelf_of(book, newer))
    assert found.outcome == "identical"
    today = found.today
    assert today.changed is not None
    assert {(figure.path, figure.old, figure.new) for figure in today.changed} == {
        (PULL_OUT, 16, 10.5),
        ("families/bolt#/approval/until", None, "2027-12-31"),
        ("factors/site-conditions#/conditions/installer/values/trained/factor", 1.0, 0.9),
    }
    assert today.before is not None
    assert today.after is not None
    assert (today.before.verdict, today.after.verdict) == ("verified", "not_verified")
    assert not today.passes
    assert today.after.utilisation is not None
    assert today.after.utilisation > 1.0


def test_a_record_made_under_a_suspension_is_reproduced_after_it(book: Rulebook) -> None:
    request = copy.deepcopy(REQUEST)
    answer = verify(request, replace(book, suspensions=(STOPPED,)))
    assert answer["verdict"] == "not_verified"
    found = replayed({"request": request, "answer": answer}, shelf_of(book))
    assert found.outcome == "identical"
    assert found.today.passes
    assert found.today.suspensions == ()


def test_a_record_made_before_a_suspension_is_reproduced_and_said_to_be_suspended(
    record: dict[str, Any], book: Rulebook
) -> None:
    found = replayed(record, shelf_of(book, stopped=(STOPPED,)))
    assert found.outcome == "identical"
    assert not found.today.passes
    assert [suspension["reason"] for suspension in found.today.suspensions] == [STOPPED.reason]
    assert STOPPED.reason in found.today.words


def test_a_record_of_a_version_that_is_suspended_today_says_so(record: dict[str, Any], book: Rulebook) -> None:
    stop = Suspension(None, None, VERSION, "2026-11-20", "A figure was misread.")
    found = replayed(record, shelf_of(book, stopped=(stop,)))
    assert found.outcome == "identical"
    assert found.words.endswith(
        f" Version {VERSION} is suspended for new work: A figure was misread (entry of 2026-11-20)."
    )
    assert "suspended" not in replayed(record, shelf_of(book)).words


def test_a_day_without_rules(record: dict[str, Any], shelf: Shelf) -> None:
    found = replayed(record, shelf, date(2020, 1, 1))
    assert found.outcome == "identical"
    assert found.today.after is None
    assert not found.today.passes
    assert "can't be said" in found.today.words


def test_rules_of_today_that_refuse_the_request(record: dict[str, Any], book: Rulebook) -> None:
    withdrawn = {
        "families/bolt#/sizes": {"M10": plain(book.families["bolt"]["sizes"]["M10"])},
        "reference/post#/request/fastener": {"family": "bolt", "size": "M10", "embedment_mm": 60},
    }
    found = replayed(record, shelf_of(book, changed(book, NEWER, withdrawn)))
    assert found.today.after is not None
    assert found.today.after.verdict == "refused"
    assert "refuse the request" in found.today.words


@pytest.mark.parametrize(
    ("steps", "value", "pointer", "code"),
    [
        (("rulebook",), None, "#/answer/rulebook/version", "required"),
        (("rulebook", "digest"), 5, "#/answer/rulebook/digest", "wrong_type"),
        (("record",), [], "#/answer/record/id", "required"),
        (("record", "engine"), "e" * 300, "#/answer/record/engine", "too_long"),
        (("assessed_on",), None, "#/answer/assessed_on", "required"),
        (("assessed_on",), "20261125", "#/answer/assessed_on", "not_a_day"),
        (("suspensions",), {}, "#/answer/suspensions", "wrong_type"),
        (("suspensions",), [{"family": []}], "#/answer/suspensions/0", "wrong_type"),
    ],
)
def test_what_an_answer_needs_to_be_one_of_a_record(
    steps: tuple[str, ...], value: Any, pointer: str, code: str, record: dict[str, Any]
) -> None:
    altered = edited(record, ("answer", *steps), lambda part, step: part.__setitem__(step, value))
    with pytest.raises(RefusedRequest, match="#/answer") as refused:
        read_record(altered["request"], altered["answer"])
    assert (pointer, code) in {(error.pointer, error.code) for error in refused.value.errors}


def test_an_answer_that_nests_without_end_is_refused(record: dict[str, Any]) -> None:
    deep: Any = 1
    for _ in range(30):
        deep = [deep]
    with pytest.raises(RefusedRequest, match="nests deeper than 24 levels"):
        read_record(record["request"], record["answer"] | {"deep": deep})


def test_many_differences_and_long_texts_are_cut(record: dict[str, Any], shelf: Shelf) -> None:
    altered = copy.deepcopy(record)
    altered["answer"]["strange"] = {f"{number}{'k' * 400}": "v" * 1000 for number in range(500)}
    found = replayed(altered, shelf)
    assert len(found.differences) == 100
    assert found.more
    longest = max(found.differences, key=lambda difference: len(difference.pointer))
    assert len(longest.pointer) == 300
    assert isinstance(longest.recorded, str)
    assert len(longest.recorded) == 200
