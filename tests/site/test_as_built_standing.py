"""What stands there is not what was ordered: another product, one missing, one moved, a hole a little too deep.

Figures of families and tolerances come from the shipped rules, which are invented; the rules from memory.
"""

from __future__ import annotations

import copy
import math
from typing import Any

import pytest

from service.contract.as_built import AsBuiltRequest
from service.contract.verification import VerificationRequest
from service.site.as_built import Record
from service.site.sheet import make
from service.verification import RefusedRequest, verify
from tests.site.sheet_cases import REQUESTS, book, job
from tests.site.test_as_built import check_of, codes, entry, only_said, record_of, to_do, unmet

GUARDRAIL = REQUESTS["guardrail"]
"""Four stainless bolts M12 at 75 mm, set 87 mm deep, outdoors, 125 mm from an edge."""
TORQUE = {"torque_nm": 52, "torque_tool": "calibrated_wrench"}
OTHER_SIZE = {
    "installed": {"family": "bolt-expansion-stainless", "size": "M10"}, "torque_nm": 30,
    "torque_tool": "calibrated_wrench", "nominal_embedment_mm": 73, "length_mm": 120, "fixture_hole_diameter_mm": 14,
}  # fmt: skip


def rail(**done: Any) -> dict[str, Any]:
    return only_said(GUARDRAIL, **done)


def as_set(request: dict[str, Any] = GUARDRAIL, /, **done: Any) -> dict[str, Any]:
    """Set to its depth and tightened, nothing aborted."""
    return only_said(request, **{**TORQUE, "nominal_embedment_mm": 87, "aborted_holes": [], **done})


def in_thin_member() -> dict[str, Any]:
    """The guard rail in a member of the least thickness that the family's file allows it, 120 mm."""
    thin = copy.deepcopy(GUARDRAIL)
    thin["member"]["thickness_mm"] = 120
    return thin


def test_another_size_is_verified_as_what_it_is() -> None:
    answer = rail(**OTHER_SIZE, hole_diameter_mm=10)
    fastener = {"family": "bolt-expansion-stainless", "size": "M10", "embedment_mm": 63, "length_mm": 120}
    # The holes of the plate were made for M12 and are wide for M10.
    instead = {**GUARDRAIL, "fastener": fastener, "fixture": {**GUARDRAIL["fixture"], "clearance": "oversize"}}
    assert answer["utilisation_after"] == verify(instead, book())["governing"]["utilisation"]
    assert answer["utilisation_after"] > answer["utilisation_before"]
    assert answer["verdict"] == "verified"
    assert answer["record"]["request"]["fastener"] == fastener
    said = {change["pointer"]: (change["verified"], change["as_built"]) for change in answer["changes"]}
    assert said["#/fastener/size"] == ("M12", "M10")
    [caution] = [one for one in answer["cautions"] if one["code"] == "other_installed"]
    assert caution["severity"] == "decide"
    assert caution["figures"]["ordered_size"] == "M12"


def test_another_size_in_the_hole_of_the_ordered_one_holds_nothing() -> None:
    """A bolt M10 in a hole of 12 mm turns in it: common practice, no source."""
    answer = rail(**OTHER_SIZE, hole_diameter_mm=12)
    assert entry(answer, "hole_diameter")["met"] is False
    assert answer["verdict"] == "not_verified"
    assert answer["utilisation_after"] is None
    assert answer["record"] is None
    assert to_do(answer, "hole_diameter") == ["set_anew_in_right_hole"]
    nobody_said = rail(**OTHER_SIZE)
    assert nobody_said["verdict"] == "not_shown"
    assert to_do(nobody_said, "hole_diameter") == ["say_hole_diameter"]


def test_the_wrong_bit_is_found_for_what_was_ordered_too() -> None:
    assert as_set()["verdict"] == "verified"
    assert "hole_diameter" not in codes(as_set()["as_built_requirements"])
    assert as_set(hole_diameter_mm=12)["verdict"] == "verified"
    assert as_set(hole_diameter_mm=14)["verdict"] == "not_verified"


def test_another_steel_has_its_own_approval() -> None:
    """Zinc-plated steel outdoors: the family allows dry rooms only."""
    zinc = {"family": "bolt-expansion-zinc", "size": "M12"}
    answer = rail(installed=zinc, torque_nm=57, torque_tool="calibrated_wrench", nominal_embedment_mm=87, length_mm=120)
    assert "exposure_allowed" in unmet(answer)
    assert answer["verdict"] == "not_verified"
    # Its hole is that of the bolt that was ordered, so nobody has to say the bit.
    assert "hole_diameter" not in codes(answer["as_built_requirements"])


def test_another_kind_is_shown_by_what_that_kind_turns_on() -> None:
    resin = {"family": "bonded-rod-hybrid-fast", "size": "M16"}
    answer = rail(installed=resin, length_mm=195, hole_diameter_mm=18)
    assert answer["verdict"] != "verified"
    missed = {one["code"] for one in answer["not_measured"] if one["decisive"]}
    assert {"hole_cleaned", "resin_filled", "curing", "set_depth"} <= missed
    # Nobody said how deep: the shallowest that is assessed.
    assert {c["pointer"]: c["as_built"] for c in answer["changes"]}["#/fastener/embedment_mm"] == 92


@pytest.mark.parametrize(("nominal_mm", "counts"), [(59, 48), (72, 48), (73, 63), (90, 63)])
def test_the_deepest_embedment_that_was_reached_counts(nominal_mm: float, counts: float) -> None:
    """The family's file: M10 is assessed at 48 and 63 mm, set 58 and 73 mm deep."""
    answer = rail(**{**OTHER_SIZE, "nominal_embedment_mm": nominal_mm}, hole_diameter_mm=10)
    changes = {change["pointer"]: change["as_built"] for change in answer["changes"]}
    assert changes["#/fastener/embedment_mm"] == counts


@pytest.mark.parametrize(
    ("done", "words"),
    [
        ({"installed": {"family": "nobody-s", "size": "M12"}}, "#/as_built/installed/family: unknown"),
        ({"installed": {"family": "screw-zinc", "size": "M12"}}, "#/as_built/installed/size: screw-zinc has no"),
        ({"missing_numbers": [1, 2, 3, 4]}, "#/as_built/missing_numbers: every fastener"),
        ({"missing_numbers": [5]}, "#/as_built/missing_numbers/0: the record has fasteners 1 to 4"),
    ],
)
def test_what_cannot_be_is_refused(done: dict[str, Any], words: str) -> None:
    with pytest.raises(RefusedRequest, match=words):
        rail(**done)


def test_what_was_ordered_said_again_changes_nothing() -> None:
    ordered = {name: GUARDRAIL["fastener"][name] for name in ("family", "size")}
    assert as_set(installed=ordered)["changes"] == as_set()["changes"]
    assert codes(as_set(installed=ordered)["cautions"]) == codes(as_set()["cautions"])


def test_the_rest_is_verified_without_one_that_is_missing() -> None:
    answer = as_set(missing_numbers=[2], undrilled_numbers=[2])
    three = {**GUARDRAIL, "positions": [GUARDRAIL["positions"][i] for i in (0, 2, 3)]}
    three["fastener"] = {**GUARDRAIL["fastener"], "length_mm": 120}
    assert answer["utilisation_after"] == verify(three, book())["governing"]["utilisation"]
    assert answer["utilisation_after"] > answer["utilisation_before"]
    assert {"fasteners_missing", "arrangement_near_edge"} <= set(codes(answer["cautions"]))
    assert len(answer["record"]["request"]["positions"]) == 3


def test_where_one_is_missing_its_hole_has_to_be_said() -> None:
    answer = rail(**TORQUE, nominal_embedment_mm=87, missing_numbers=[2])
    assert answer["verdict"] == "not_shown"
    assert entry(answer, "aborted_holes_said")["met"] is None
    hole = {"x_mm": 75, "y_mm": -70, "depth_mm": 97}
    # That nobody found an aborted hole says nothing of the one of the missing bolt.
    left = as_set(missing_numbers=[2], aborted_holes=[])
    assert (left["verdict"], to_do(left, "aborted_holes_said")) == ("not_shown", ["say_aborted_holes"])
    assert entry(left, "aborted_holes_said")["figures"] == {"numbers": [2]}
    far = as_set(missing_numbers=[2], aborted_holes=[{"x_mm": -75, "y_mm": 100, "depth_mm": 20}])
    assert entry(far, "aborted_holes_said")["met"] is None
    assert as_set(missing_numbers=[2], undrilled_numbers=[2])["verdict"] == "verified"
    empty = as_set(missing_numbers=[2], aborted_holes=[hole])
    assert "aborted_holes_said" not in codes(empty["as_built_requirements"])
    assert entry(empty, "aborted_hole_distance")["figures"]["number"] == 4  # as the record numbers it


def test_fasteners_keep_the_numbers_of_the_record_until_there_is_a_new_one() -> None:
    """Moved and missing are told by the same numbers; places off the plate name them too."""
    # One bolt holds alone what two held: under a foot of 80 mm the plate stays stiff for it.
    wider = copy.deepcopy(GUARDRAIL)
    wider["fixture"]["attached_section"] = {"width_mm": 80, "depth_mm": 80, "profile": "hollow"}
    done = {"missing_numbers": [1], "undrilled_numbers": [1], "moved": [{"number": 4, "x_mm": 75, "y_mm": 70}]}
    answer = as_set(wider, **done, clearance="normal")
    assert answer["record"]["request"]["positions"][2] == {"x_mm": 75, "y_mm": 70}
    with pytest.raises(RefusedRequest, match="moved/0/x_mm: fastener 4 must be within 110 mm"):
        as_set(missing_numbers=[1], moved=[{"number": 4, "x_mm": 175, "y_mm": 75}])


def test_what_is_over_is_told_of_the_fasteners_of_the_record_that_was_sent() -> None:
    """The crew holds its sheet, and no new record numbers the rest anew."""
    places = [(place["x_mm"], place["y_mm"]) for place in GUARDRAIL["positions"]]
    close = {"x_mm": places[3][0] - 10, "y_mm": places[3][1] - 100}
    answer = as_set(missing_numbers=[1], moved=[{"number": 4, **close}])
    assert answer["record"] is None
    stand = {2: places[1], 3: places[2], 4: (close["x_mm"], close["y_mm"])}
    for entry_ in answer["unmet_requirements"]:
        told = entry_["figures"]
        if told.get("near_first_numbers"):
            pairs = zip(told["near_first_numbers"], told["near_second_numbers"], strict=True)
            apart = [math.dist(stand[one], stand[other]) for one, other in pairs]
            assert apart == pytest.approx(told["near_spacings_mm"])
            assert told["near_second_numbers"] == [4]
    assert "spacing" in unmet(answer)
    # 2 and 4 stand, in that order; which of them are pulled is the engine's to say.
    two_left = as_set(missing_numbers=[1, 3])
    assert {check["mode"]: check["fastener_numbers"] for check in two_left["checks_over"]} == {
        "concrete_cone": [2, 4], "pull_out": [4], "splitting": [2, 4], "interaction_concrete": [2, 4],
    }  # fmt: skip
    caution = next(each for each in two_left["cautions"] if each["code"] == "fasteners_missing")
    assert caution["figures"] == {"numbers": [1, 3], "standing": [2, 4]}


def after(answer: dict[str, Any], **done: Any) -> dict[str, Any]:
    """A check that builds on the record of another one."""
    return check_of(Record(answer["record"]["request"], answer["record"]["answer"]), done)


def test_the_numbers_of_the_first_sheet_stay_where_one_went_missing() -> None:
    """The crew goes on with its sheet; a new record numbered three as 1 to 3, so that 4 was refused and 3 was 4."""
    first = as_set(missing_numbers=[2], undrilled_numbers=[2])
    assert first["record"]["request"]["built"]["missing_numbers"] == [2]
    places = GUARDRAIL["positions"]
    moved = after(first, moved=[{"number": 4, "x_mm": 75, "y_mm": 71}], clearance="normal", **TORQUE)
    assert moved["record"]["request"]["positions"] == [places[0], places[2], {"x_mm": 75, "y_mm": 71}]
    assert moved["record"]["request"]["built"]["missing_numbers"] == [2]
    words = "#/as_built/moved/0/number: the record has fasteners 1, 3 and 4"
    with pytest.raises(RefusedRequest, match=words):
        after(first, moved=[{"number": 2, "x_mm": 75, "y_mm": -71}])
    two_left = after(first, missing_numbers=[4], undrilled_numbers=[4])
    caution = next(each for each in two_left["cautions"] if each["code"] == "fasteners_missing")
    assert caution["figures"] == {"numbers": [4], "standing": [1, 3]}
    replaced = after(first, replaced_numbers=[3])
    assert entry(replaced, "aborted_holes_said")["figures"] == {"numbers": [3]}


def test_that_the_last_one_is_missing_is_kept_too() -> None:
    first = as_set(missing_numbers=[4], undrilled_numbers=[4])
    assert first["record"]["request"]["built"]["missing_numbers"] == [4]
    with pytest.raises(RefusedRequest, match="the record has fasteners 1 to 3"):
        after(first, replaced_numbers=[4])
    # The next check does not forget it.
    looked = after(first, cracks_seen=False, **TORQUE)
    assert looked["record"]["request"]["built"]["missing_numbers"] == [4]


def test_a_sheet_of_what_stands_numbers_it_as_the_first_sheet_did() -> None:
    first = as_set(missing_numbers=[2], undrilled_numbers=[2])
    sheet = make([job(first["record"]["request"])]).sheet.fixings[0]
    assert [place.number for place in sheet.places] == [1, 3, 4]
    assert "Fastener 2 is not there: the rest were verified without it and keep the numbers" in str(sheet.as_built)


def test_fasteners_that_never_were_cannot_be_missing() -> None:
    body = {**GUARDRAIL, "built": {"missing_numbers": [2, 7]}}
    found = VerificationRequest().validate(body)
    assert "there were fasteners 1 to 6" in str(found)
    assert not VerificationRequest().validate({**GUARDRAIL, "built": {"missing_numbers": [2, 6]}})


def test_a_base_of_another_material_than_ordered_is_not_verified() -> None:
    """Nobody could say it: a hollow slab under four bolts that were ordered for solid concrete stayed verified."""
    assert as_set(material="normal_weight_concrete")["verdict"] == "verified"
    for material in ("hollow_core_slab", "lightweight_concrete", "masonry", "unknown"):
        answer = as_set(material=material)
        assert (answer["verdict"], answer["record"]) == ("outside_scope", None)
        said = {change["pointer"]: change["as_built"] for change in answer["changes"]}
        assert said["#/member/material"] == material
    assert "material" not in codes(as_set(material="normal_weight_concrete")["not_measured"])
    silent = as_set(material=None)
    assert (silent["verdict"], "material" in codes(silent["not_measured"])) == ("not_shown", True)


def test_better_base_material_than_ordered_takes_a_new_request() -> None:
    masonry = {**GUARDRAIL, "member": {**GUARDRAIL["member"], "material": "unknown"}}
    assert only_said(masonry, material="normal_weight_concrete", **TORQUE)["verdict"] == "outside_scope"


def test_one_left_of_four_holds_less() -> None:
    answer = as_set(missing_numbers=[1, 2, 3])
    assert answer["verdict"] in {"not_verified", "outside_scope"}
    assert answer["record"] is None


@pytest.mark.parametrize("far", [10, 35])
@pytest.mark.parametrize("way", [-1, 1])
def test_one_moved_near_an_edge_gets_a_figure(far: int, way: int) -> None:
    answer = as_set(moved=[{"number": 2, "x_mm": 75 + way * far, "y_mm": -75}])
    assert answer["scope_limits"] == []
    assert answer["utilisation_after"] is not None
    told = {caution["code"]: caution["severity"] for caution in answer["cautions"]}
    assert told.get("arrangement_near_edge") == ("decide" if far > 15 else None)


def test_a_named_fastener_is_missing_or_moved_and_not_both() -> None:
    body = {
        "record": record_of(GUARDRAIL).request,
        "as_built": {"missing_numbers": [2], "moved": [{"number": 2, "x_mm": 0, "y_mm": 0}], "replaced_numbers": [2]},
    }
    found = AsBuiltRequest().validate(body)
    assert set(found["as_built"]) == {"moved", "replaced_numbers"}
    places = [{"x_mm": 0, "y_mm": 0}]
    beside = AsBuiltRequest().validate({**body, "as_built": {"missing_numbers": [2], "positions": places}})
    assert set(beside["as_built"]) == {"missing_numbers"}


@pytest.mark.parametrize(("hole_mm", "met"), [(98, True), (99, True), (99.6, False)])
def test_in_a_member_of_least_thickness_a_hole_is_judged_by_its_tolerance(hole_mm: float, met: bool) -> None:
    """The family's file: h_min 120 mm, h_1 97 mm; the company lets a hole be 2 mm too deep."""
    answer = only_said(in_thin_member(), **TORQUE, nominal_embedment_mm=87, hole_depth_mm=hole_mm)
    assert entry(answer, "remaining_thickness")["met"] is met
    assert ("2 mm too deep that the rulebook allows" in entry(answer, "remaining_thickness")["detail"]) is met
    assert (answer["utilisation_after"] is None) is not met


def test_the_next_check_builds_on_what_stands_there() -> None:
    first = rail(**OTHER_SIZE, hole_diameter_mm=10)["record"]
    record = Record(first["request"], first["answer"])
    again = check_of(record, {"torque_nm": 30})
    assert again["verdict"] == "verified"
    assert "other_installed" not in codes(again["cautions"])
    assert entry(again, "hole_diameter")["met"] is True


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"resin_filled": True}, "set without resin"),
        ({"head_seated": True}, "no head that rests on the fixture"),
        ({"mark_shows": True}, "only an undercut fastener"),
    ],
)
def test_what_earlier_checks_are_said_to_have_found_is_read_as_strictly(said: dict[str, Any], words: str) -> None:
    name = next(iter(said))
    with pytest.raises(RefusedRequest, match=f"#/as_built/{name}: .*{words}"):
        rail(**said)
    with pytest.raises(RefusedRequest, match=f"#/record/request/built/{name}: .*{words}"):
        only_said({**GUARDRAIL, "built": said}, **TORQUE)


def test_of_a_rod_without_a_plate_no_torque_is_asked() -> None:
    """Nothing is clamped by its nut: the check stayed not_shown for a torque that nobody can read."""
    rod = copy.deepcopy(REQUESTS["resin"])
    rod["positions"] = [{"x_mm": 0, "y_mm": 0}]
    rod["load_cases"] = [{"name": "hanger", "normal_kn": 3, "sustained_share": 0.5}]
    done = {
        "hole_cleaned": True, "resin_filled": True, "concrete_temperature_c": 15, "coldest_until_cured_c": 15,
        "curing_minutes": 10_000, "embedment_mm": rod["fastener"]["embedment_mm"], "drilling": "hammer",
        "set_within_working_time": True,
    }  # fmt: skip
    plated = only_said(rod, **done)
    assert (plated["verdict"], "torque_not_read" in codes(plated["as_built_requirements"])) == ("not_shown", True)
    bare = only_said({**rod, "fixture": {**rod["fixture"], "plate": False}}, **done)
    assert (bare["verdict"], "torque_not_read" in codes(bare["as_built_requirements"])) == ("verified", False)
    assert not {"torque", "torque_tool"} & set(codes(bare["not_measured"]))
