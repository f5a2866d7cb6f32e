"""Requests that are wrong in one thing each: the right status, place, code and words, and never a 500."""

# A case a row: the table is read down its columns.
# ruff: noqa: E501

import copy
import json
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import pytest

from service.contract.sizing import GUARDRAIL_POST_FREE_HOLES
from service.contract.verification import GUARDRAIL_POST
from tests.api.holding import HeldClient, errors_of
from tests.shipped import VERSION, shipped_rules

VERIFICATIONS = "/v1/verifications"
SIZINGS = "/v1/sizings"

Change = Callable[[dict[str, Any]], Any]


@dataclass(frozen=True)
class Refusal:
    """What a wrong request must come to."""

    status: int
    code: str
    pointer: str
    words: str


def put(value: Any, *path: str | int) -> Change:
    """Change the request at a place."""

    def change(request: dict[str, Any]) -> dict[str, Any]:
        place: Any = request
        for step in path[:-1]:
            place = place[step]
        place[path[-1]] = value
        return request

    return change


def without(*path: str | int) -> Change:
    """Leave a field of the request out."""

    def change(request: dict[str, Any]) -> dict[str, Any]:
        place: Any = request
        for step in path[:-1]:
            place = place[step]
        del place[path[-1]]
        return request

    return change


WEIGHT: dict[str, Any] = {"name": "weight", "kind": "permanent", "normal_kn": 1}
WIND: dict[str, Any] = {"name": "wind", "kind": "variable", "normal_kn": 1}


def hanging(*models: str, told: dict[str, Any] | None = None) -> Change:
    """Say what the load cases came from, and that nothing is drilled upwards."""
    told = told or {"input": "mass_kg", "number": 100}
    sources = [{"load_model": model, "cautions": [], "told": [told]} for model in models]
    return lambda request: put(sources, "loads_from")(put(False, "use", "overhead")(request))


def acting(*actions: dict[str, Any]) -> Change:
    """Give actions in place of the load cases."""

    def change(request: dict[str, Any]) -> dict[str, Any]:
        del request["load_cases"]
        return request | {"actions": list(actions)}

    return change


def raw(text: str | bytes) -> Change:
    """Send these bytes in place of the request."""
    return lambda _: text.encode() if isinstance(text, str) else text


def spliced(old: str, new: str) -> Change:
    """Send the request with a piece of its text replaced, for what no JSON writer would write."""

    def change(request: dict[str, Any]) -> bytes:
        text = json.dumps(request)
        assert old in text
        return text.replace(old, new, 1).encode()

    return change


def case(name: str, change: Change, status: int, code: str, pointer: str, words: str) -> Any:
    return pytest.param(change, Refusal(status, code, pointer, words), id=name)


def nested(depth: int) -> bytes:
    return b'{"a":' * depth + b"1" + b"}" * depth


UNREADABLE = [
    case("empty body", raw(""), 400, "malformed_json", "#", "the body is empty"),
    case("white space only", raw(" \n\t"), 400, "malformed_json", "#", "the body is empty"),
    case("half an object", raw('{"member": {'), 400, "malformed_json", "#", "not JSON at line 1, column"),
    case("trailing comma", raw('{"a": 1,}'), 400, "malformed_json", "#", "not JSON at line 1, column 8"),
    case("single quotes", raw("{'a': 1}"), 400, "malformed_json", "#", "not JSON at line 1, column 2"),
    case("two documents", raw("{} {}"), 400, "malformed_json", "#", "not JSON at line 1"),
    case("byte order mark", raw(b"\xef\xbb\xbf{}"), 400, "malformed_json", "#", "starts with a byte order mark; send UTF-8 without one"),
    case("not UTF-8", raw(b'{"a": "\xff"}'), 400, "not_unicode", "#", "the body is not UTF-8"),
    case("NaN", spliced('"thickness_mm": 250', '"thickness_mm": NaN'), 400, "not_finite", "#/member/thickness_mm", "NaN is no number of JSON; a finite number must"),
    case("infinity", spliced('"moment_y_knm": 1.65', '"moment_y_knm": -Infinity'), 400, "not_finite", "#/load_cases/0/moment_y_knm", "-Infinity is no number of JSON"),
    case("1e400", spliced('"moment_y_knm": 1.65', '"moment_y_knm": 1e400'), 400, "not_finite", "#/load_cases/0/moment_y_knm", "too large to be held; the largest is about 1.8e+308"),
    case("5 000 digits", spliced('"thickness_mm": 250', '"thickness_mm": ' + "9" * 5000), 400, "not_finite", "#/member/thickness_mm", "too large to be held"),
    case("duplicate key", spliced('"thickness_mm": 250', '"thickness_mm": 250, "thickness_mm": 900'), 400, "duplicate_key", "#/member/thickness_mm", "must be given once"),
    case("duplicate key in a list", spliced('{"x_mm": 75, "y_mm": -75}', '{"x_mm": 75, "x_mm": 60, "y_mm": -75}'), 400, "duplicate_key", "#/positions/1/x_mm", "must be given once"),
    case("half a surrogate pair", spliced('"PS4-rail-017"', r'"PS4-\ud83d"'), 400, "not_unicode", "#/fixing_reference", "must not hold half of a surrogate pair"),
    case("nested 2 000 deep", raw(nested(2000)), 400, "nested_too_deep", "#", "nests too deep"),
    case("nested 100 000 deep, unclosed", raw(b"[" * 100_000), 400, "nested_too_deep", "#", "nests too deep"),
]  # fmt: skip

WRONG_IN_A_FIELD = [
    case("a list", raw("[]"), 422, "wrong_type", "#", "must be an object"),
    case("null", raw("null"), 422, "wrong_type", "#", "must be an object"),
    case("a number", raw("42"), 422, "wrong_type", "#", "must be an object"),
    case("nested 500 deep", raw(nested(500)), 422, "unknown_field", "#/a", "not a field here"),
    case("unknown field", put(1, "colour"), 422, "unknown_field", "#/colour", "the fields are: rulebook, assessed_on"),
    case("unknown field inside", put(1, "member", "colour"), 422, "unknown_field", "#/member/colour", "the fields are: material, topping, strength_class"),
    case("unknown field with slash and tilde", put(1, "a/b~c d"), 422, "unknown_field", "#/a~1b~0c%20d", "not a field here"),
    case("no member", without("member"), 422, "required", "#/member", "must be given"),
    case("no embedment", without("fastener", "embedment_mm"), 422, "required", "#/fastener/embedment_mm", "must be given"),
    case("no thickness", without("member", "thickness_mm"), 422, "required", "#/member/thickness_mm", "must be given"),
    case("no load case name", without("load_cases", 0, "name"), 422, "required", "#/load_cases/0/name", "must be given"),
    case("negative thickness", put(-250, "member", "thickness_mm"), 422, "below_minimum", "#/member/thickness_mm", "must be at least 60"),
    case("thickness of a mountain", put(1e9, "member", "thickness_mm"), 422, "above_maximum", "#/member/thickness_mm", "must be at most 10000"),
    case("force of a rocket", put(1e5, "load_cases", 0, "normal_kn"), 422, "above_maximum", "#/load_cases/0/normal_kn", "must be at most 10000"),
    case("force of nothing", put(1e-200, "load_cases", 0, "normal_kn"), 422, "below_minimum", "#/load_cases/0/normal_kn", "must be 0 or at least 1e-30 in size"),
    case("negative stand-off", put(-1, "fixture", "stand_off_mm"), 422, "below_minimum", "#/fixture/stand_off_mm", "must be at least 0"),
    case("text for a number", put("250", "member", "thickness_mm"), 422, "wrong_type", "#/member/thickness_mm", "must be a number"),
    case("true for a number", put(True, "member", "thickness_mm"), 422, "wrong_type", "#/member/thickness_mm", "must be a number"),
    case("number for a flag", put(0, "use", "structural"), 422, "wrong_type", "#/use/structural", "must be true or false"),
    case("text for a flag", put("yes", "use", "structural"), 422, "wrong_type", "#/use/structural", "must be true or false"),
    case("redundant by assertion", put(True, "use", "redundant"), 422, "removed_field", "#/use/redundant", "proves nothing any more: leave it out, or say in redundancy how many points"),
    case("not redundant by assertion", put(False, "use", "redundant"), 422, "removed_field", "#/use/redundant", "bridging_shown_by"),
    case("redundancy of nobody knows how many", put({}, "use", "redundancy"), 422, "required", "#/use/redundancy/points", "must be given"),
    case("consequence that nobody knows", put(["noise"], "use", "consequence"), 422, "not_allowed", "#/use/consequence/0", "must be one of: people_below, fall_protection, lifting"),
    case("consequence said twice", put(["lifting", "lifting"], "use", "consequence"), 422, "duplicate_value", "#/use/consequence", "must not name the same value twice"),
    case("words for a caution", put([{"load_model": "eyebolt", "cautions": ["mind your head"]}], "loads_from"), 422, "not_allowed", "#/loads_from/0/cautions/0", "must be one of: actions_to_be_confirmed"),
    case("load model without its cautions", put([{"load_model": "eyebolt"}], "loads_from"), 422, "required", "#/loads_from/0/cautions", "must be given"),
    case("load model that nobody knows", put([{"load_model": "flagpole", "cautions": []}], "loads_from"), 422, "not_allowed", "#/loads_from/0/load_model", "must be one of: guardrail_post"),
    case("work that was found wrong", put({"resin_filled": False}, "built"), 422, "conflict", "#/built/resin_filled", "for an as-built check to judge"),
    case("redundancy of no point", put({"points": 0}, "use", "redundancy"), 422, "below_minimum", "#/use/redundancy/points", "must be at least 1"),
    case("number for a text", put(12, "fastener", "size"), 422, "wrong_type", "#/fastener/size", "must be a text"),
    case("object for a list", put({}, "positions"), 422, "wrong_type", "#/positions", "must be a list"),
    case("text for an object", put("thick", "member"), 422, "wrong_type", "#/member", "must be an object"),
    case("null for a number", put(None, "member", "thickness_mm"), 422, "wrong_type", "#/member/thickness_mm", "must not be null"),
    case("null for a position", put(None, "positions", 0), 422, "wrong_type", "#/positions/0", "must not be null"),
    case("null for a family", put(None, "fastener", "family"), 422, "wrong_type", "#/fastener/family", "must not be null"),
    case("null for a fixture", put(None, "fixture"), 422, "wrong_type", "#/fixture", "must not be null"),
    case("cracks held by bars that nobody knows", put({"cracks_held_to_0_3_mm": True, "spacing_mm": 150}, "member", "reinforcement"), 422, "required", "#/member/reinforcement/diameter_mm", "bars that nobody knows are not shown to hold a crack"),
    case("cracks held by bars far apart", put({"cracks_held_to_0_3_mm": True, "spacing_mm": 2000, "diameter_mm": 4}, "member", "reinforcement"), 422, "above_maximum", "#/member/reinforcement/spacing_mm", "must be at most 300, or the bars hold no crack to 0.3 mm"),
    case("bars as thick as they are apart", put({"spacing_mm": 10, "diameter_mm": 63}, "member", "reinforcement"), 422, "conflict", "#/member/reinforcement/spacing_mm", "must be more than the 63 mm that the bars are thick"),
    case("word for reinforcement", put("dense", "member", "reinforcement"), 422, "wrong_type", "#/member/reinforcement", 'must be an object or "unknown"'),
    case("unknown strength class", put("C26/30", "member", "strength_class"), 422, "not_allowed", "#/member/strength_class", "must be one of: C12/15"),
    case("strength class and a line feed", put("C25/30\n", "member", "strength_class"), 422, "not_allowed", "#/member/strength_class", "must be one of"),
    case("kind in capitals", put("DESIGN", "load_cases", 0, "kind"), 422, "not_allowed", "#/load_cases/0/kind", "must be one of: design"),
    case("characteristic load case", put("characteristic", "load_cases", 0, "kind"), 422, "not_allowed", "#/load_cases/0/kind", "give actions in place of load_cases"),
    case("permanent share of a load case", put(0.5, "load_cases", 0, "permanent_share"), 422, "removed_field", "#/load_cases/0/permanent_share", "give actions in place of load_cases"),
    case("13 actions", put([{"name": f"action {n}", "kind": "variable", "normal_kn": 1} for n in range(13)], "actions"), 422, "too_many", "#/actions", "must have at most 12 entries"),
    case("an action of no kind", acting({"name": "weight", "normal_kn": 1}), 422, "required", "#/actions/0/kind", "must be given"),
    case("combination factor above 1", acting(WIND | {"psi_0": 1.5}), 422, "above_maximum", "#/actions/0/psi_0", "must be at most 1"),
    case("a day that is none", put("2026-02-30", "assessed_on"), 422, "not_a_day", "#/assessed_on", "a day of the calendar"),
    case("a day and a time", put("2026-11-25T08:00", "assessed_on"), 422, "not_a_day", "#/assessed_on", "YYYY-MM-DD"),
    case("a day and a line feed", put("2026-11-25\n", "assessed_on"), 422, "not_a_day", "#/assessed_on", "YYYY-MM-DD"),
    case("no load cases", put([], "load_cases"), 422, "too_few", "#/load_cases", "must have at least 1 entry"),
    case("101 load cases", put([{"name": f"case {n}", "normal_kn": 1} for n in range(101)], "load_cases"), 422, "too_many", "#/load_cases", "must have at most 100 entries"),
    case("a neighbour beyond the edge", put([{"x_mm": 200, "y_mm": 0}], "neighbours"), 422, "outside_member", "#/neighbours/0/x_mm", "stands on or beyond the x_plus edge"),
    case("an old hole that nobody measured", put([{"x_mm": -200, "y_mm": 0, "state": "open_hole", "hole_diameter_mm": 14}], "neighbours"), 422, "required", "#/neighbours/0/hole_depth_mm", "measure it"),
    case("a neighbour of no family with a size", put([{"x_mm": -200, "y_mm": 0, "size": "M12"}], "neighbours"), 422, "required", "#/neighbours/0/family", "with a size"),
    case("an old hole of a family", put([{"x_mm": -200, "y_mm": 0, "state": "open_hole", "hole_diameter_mm": 14, "hole_depth_mm": 80, "family": "bolt"}], "neighbours"), 422, "conflict", "#/neighbours/0/family", "for a hole"),
    case("a neighbour that is loaded and a hole", put([{"x_mm": -200, "y_mm": 0, "state": "loaded", "hole_depth_mm": 200}], "neighbours"), 422, "conflict", "#/neighbours/0/hole_depth_mm", "open_hole or filled_hole"),
    case("a hole that is not said to be one", put([{"x_mm": -200, "y_mm": 0, "hole_diameter_mm": 14, "hole_depth_mm": 80}], "neighbours"), 422, "conflict", "#/neighbours/0/hole_diameter_mm", "unless state is"),
    case("a neighbour in a state of its own", put([{"x_mm": -200, "y_mm": 0, "state": "idle"}], "neighbours"), 422, "not_allowed", "#/neighbours/0/state", "must be one of: loaded"),
    case("a neighbour of an unknown family", put([{"x_mm": -200, "y_mm": 0, "family": "bolts"}], "neighbours"), 422, "unknown_family", "#/neighbours/0/family", "unknown; known are"),
    case("no positions", put([], "positions"), 422, "too_few", "#/positions", "must have at least 1 entry"),
    case("10 000 positions", put([{"x_mm": n, "y_mm": 0} for n in range(10_000)], "positions"), 422, "too_many", "#/positions", "must have at most 100 entries"),
    case("empty name", put("", "load_cases", 0, "name"), 422, "too_short", "#/load_cases/0/name", "must have at least 1 characters"),
    case("overlong reference", put("r" * 201, "fixing_reference"), 422, "too_long", "#/fixing_reference", "must have at most 200 characters"),
    case("null character", put("rail\u0000", "fixing_reference"), 422, "control_character", "#/fixing_reference", "control characters"),
    case("right-to-left override", put("rail\u202e017", "fixing_reference"), 422, "control_character", "#/fixing_reference", "control characters"),
    case("line separator in a name", put("guard\u2028load", "load_cases", 0, "name"), 422, "control_character", "#/load_cases/0/name", "control characters"),
    case("family no word", put("../rulebook", "fastener", "family"), 422, "not_allowed", "#/fastener/family", "letters, digits, hyphens and underscores"),
    case("site value a number", put(1, "site", "installer"), 422, "wrong_type", "#/site/installer", "must be a text"),
    case("site a list", put([], "site"), 422, "wrong_type", "#/site", "must be an object"),
    case("site name no word", put("held", "site", "wind & rain"), 422, "unknown_field", "#/site/wind%20&%20rain", "no site condition has such a name"),
    case("21 site conditions", put({f"condition_{n}": "held" for n in range(21)}, "site"), 422, "too_many", "#/site", "must have at most 20 entries"),
]  # fmt: skip

WRONG_TOGETHER = [
    case("fastener beyond an edge", put(70, "member", "edges", "x_plus_mm"), 422, "outside_member", "#/positions/1/x_mm", "on or beyond the x_plus edge"),
    case("fastener on an edge", put(75, "member", "edges", "y_minus_mm"), 422, "outside_member", "#/positions/0/y_mm", "on or beyond the y_minus edge"),
    case("fastener off the fixture", put(140, "fixture", "width_mm"), 422, "outside_fixture", "#/positions/0/x_mm", "within 70 mm of the fixture's centre, x = 0 mm here; fixture.centre says where that is, and left out it is the origin"),
    case("fixture moved off its fasteners", put({"y_mm": 40}, "fixture", "centre"), 422, "outside_fixture", "#/positions/0/y_mm", "within 110 mm of the fixture's centre, y = 40 mm here"),
    case("two fasteners in one place", put({"x_mm": -75, "y_mm": -75.0000005}, "positions", 3), 422, "duplicate_position", "#/positions/3", "same place as fastener 1"),
    case("crossed edges", put({"x_minus_mm": -100, "x_plus_mm": 100}, "member", "edges"), 422, "edges_crossed", "#/member/edges/x_plus_mm", "must add up to more than 0"),
    case("whole number of 30 digits", spliced('"thickness_mm": 250', '"thickness_mm": ' + "9" * 30), 422, "above_maximum", "#/member/thickness_mm", "must be at most 10000"),
    case("class and strength", put(30, "member", "strength_mpa"), 422, "conflict", "#/member/strength_mpa", "not both"),
    case("section larger than the fixture", put({"width_mm": 300, "depth_mm": 60}, "fixture", "attached_section"), 422, "outside_fixture", "#/fixture/attached_section/width_mm", "at most the fixture's width_mm, 220"),
    case("stand-off without thickness", lambda r: without("fixture", "thickness_mm")(put(40, "fixture", "stand_off_mm")(r)), 422, "required", "#/fixture/thickness_mm", "where there is a stand-off, grout or a topping that stays"),
    case("grout without thickness", lambda r: without("fixture", "thickness_mm")(put(20, "fixture", "grout", "thickness_mm")(r)), 422, "required", "#/fixture/thickness_mm", "where there is a stand-off, grout or a topping that stays"),
    case("all-zero load case", put([{"name": "nothing", "normal_kn": 0.0}], "load_cases"), 422, "all_zero", "#/load_cases/0", "must not be zero"),
    case("two load cases of one name", lambda r: put([*r["load_cases"] * 2], "load_cases")(r), 422, "duplicate_name", "#/load_cases/1/name", "same name as load case 1"),
    case("washer on levelling grout", lambda r: put({"thickness_mm": 10, "strength_mpa": 50}, "fixture", "grout")(put(40, "fixture", "stand_off_mm")(put(True, "fixture", "washer_clamped")(r))), 422, "conflict", "#/fixture/washer_clamped", "where grout levels the concrete"),
    case("washer on a topping", lambda r: put({"kind": "screed", "thickness_mm": 20}, "member", "topping")(put(True, "fixture", "washer_clamped")(r)), 422, "conflict", "#/fixture/washer_clamped", "where a topping stays"),
    case("a hanger whose holes are said not to go upwards", hanging("soffit_hanger"), 422, "conflict", "#/use/overhead", "hangs under a slab"),
    case("an eyebolt under a slab whose hole is said not to go upwards", hanging("eyebolt", told={"input": "surface", "word": "soffit"}), 422, "conflict", "#/use/overhead", "hangs under a slab"),
    case("two things as alternatives", hanging("wall_bracket", "wall_bracket"), 422, "conflict", "#/loads_from/1", "alternatives and never added"),
    case("actions beside load cases", put([WIND], "actions"), 422, "conflict", "#/actions", "load_cases or actions, not both"),
    case("neither actions nor load cases", without("load_cases"), 422, "required", "#/load_cases", "load_cases or actions must be given"),
    case("two actions of one name", acting(WIND, WIND), 422, "duplicate_name", "#/actions/1/name", "same name as action 1"),
    case("all-zero action", acting({"name": "nothing", "kind": "permanent"}), 422, "all_zero", "#/actions/0", "must not be zero"),
    case("combination factor of a permanent action", acting(WEIGHT | {"psi_0": 0.5}), 422, "conflict", "#/actions/0/psi_0", "unless kind is variable"),
    case("sustained share of an accident", acting(WEIGHT | {"kind": "accidental", "sustained_share": 0}), 422, "conflict", "#/actions/0/sustained_share", "unless kind is variable"),
    case("wind that holds down", acting(WIND | {"holding_down": True}), 422, "conflict", "#/actions/0/holding_down", "unless kind is permanent"),
    case("wind that excludes weight", acting(WEIGHT, WIND | {"excludes": ["weight"]}), 422, "not_allowed", "#/actions/1/excludes/0", "another action that is variable or accidental"),
    case("wind that excludes itself", acting(WIND | {"excludes": ["wind"]}), 422, "not_allowed", "#/actions/0/excludes/0", "another action"),
    case("permanent share of an action", acting(WEIGHT | {"permanent_share": 0.5}), 422, "removed_field", "#/actions/0/permanent_share", "no part of an action"),
    case("accidental situation beside actions", lambda r: put("accidental", "use", "situation")(acting(WEIGHT)(r)), 422, "conflict", "#/use/situation", "an action of kind accidental"),
]  # fmt: skip

NOT_IN_THE_RULEBOOK = [
    case("actions that cancel each other", acting(WEIGHT | {"source": "a"}, WEIGHT | {"name": "lift", "normal_kn": -1, "source": "a", "holding_down": False}), 422, "all_zero", "#/actions", "cancel each other"),
    case("more combinations than are verified", acting(WEIGHT, *(WIND | {"name": f"wind {n}", "psi_0": 0.5} for n in range(7))), 422, "too_many_combinations", "#/actions", "come to 898 combinations, and at most 400 are verified"),
    case("unknown version", put("1999.1.0", "rulebook"), 422, "unknown_version", "#/rulebook", VERSION),
    case("unknown site condition", put("held", "site", "moon_phase"), 422, "unknown_field", "#/site/moon_phase", "the conditions are: torque_control"),
    case("unknown family", put("bolt-of-lightning", "fastener", "family"), 422, "unknown_family", "#/fastener/family", "bolt-expansion-stainless"),
    case("size of another family", put("6", "fastener", "size"), 422, "unknown_size", "#/fastener/size", "M12"),
    case("unknown exposure", put("lunar", "use", "exposure"), 422, "not_allowed", "#/use/exposure", "dry_internal"),
    case("unknown temperature range", put("IX", "use", "temperature_range"), 422, "not_allowed", "#/use/temperature_range", "must be one of"),
    case("unknown site value", put("by_magic", "site", "torque_control"), 422, "not_allowed", "#/site/torque_control", "calibrated_wrench"),
]  # fmt: skip

WRONG_SIZINGS = [
    case("fastener in a sizing", put({"family": "drop-in-zinc"}, "fastener"), 422, "unknown_field", "#/fastener", "the fields are"),
    case("positions and pattern", put([{"x_mm": 0, "y_mm": 0}], "positions"), 422, "conflict", "#/pattern", "positions or pattern, not both"),
    case("neither positions nor pattern", without("pattern"), 422, "required", "#/positions", "positions or pattern must be given"),
    case("two rows without spacing", without("pattern", "x", "spacings_mm"), 422, "required", "#/pattern/x/spacings_mm", "where a count is above 1"),
    case("count of zero", put([0], "pattern", "x", "counts"), 422, "below_minimum", "#/pattern/x/counts/0", "must be at least 1"),
    case("count and a half", put([1.5], "pattern", "x", "counts"), 422, "wrong_type", "#/pattern/x/counts/0", "must be a whole number"),
    case("the same count twice", put([2, 2], "pattern", "y", "counts"), 422, "duplicate_value", "#/pattern/y/counts", "must not name the same value twice"),
    case("no counts", put([], "pattern", "y", "counts"), 422, "too_few", "#/pattern/y/counts", "must have at least 1 entry"),
    case("utilisation of nothing", put(0, "limits", "utilisation"), 422, "below_minimum", "#/limits/utilisation", "must be above 0"),
    case("utilisation above one", put(1.01, "limits", "utilisation"), 422, "above_maximum", "#/limits/utilisation", "must be at most 1"),
    case("unknown mechanism", put(["magnet"], "limits", "mechanisms"), 422, "not_allowed", "#/limits/mechanisms/0", "must be one of: torque_controlled_expansion"),
    case("unknown family in limits", put(["magnet"], "limits", "families"), 422, "unknown_family", "#/limits/families/0", "bolt-expansion-stainless"),
    case("more grids than are searched", put({a: {"counts": [1, 2, 3], "spacings_mm": [50, 55, 60, 65, 70, 75, 80, 85, 90, 95]} for a in "xy"}, "pattern"), 422, "too_many_grids", "#/pattern", "list fewer counts, spacings or load cases"),
    case("no choices", put(0, "max_choices"), 422, "below_minimum", "#/max_choices", "must be at least 1"),
    case("true for a whole number", put(True, "max_choices"), 422, "wrong_type", "#/max_choices", "must be a whole number"),
    case("null for both positions and pattern", put(None, "pattern"), 422, "required", "#/positions", "positions or pattern must be given"),
    case("all-zero load case in a sizing", put([{"name": "nothing"}], "load_cases"), 422, "all_zero", "#/load_cases/0", "must not be zero"),
]  # fmt: skip


def refused_as_expected(client: HeldClient, path: str, body: Any, expected: Refusal) -> None:
    data = body if isinstance(body, bytes) else json.dumps(body).encode()
    response = client.post(path, data=data, content_type="application/json")
    assert response.status_code == expected.status
    found = {(error["code"], error["pointer"]): error["detail"] for error in errors_of(response)}
    assert expected.words in found[expected.code, expected.pointer]


@pytest.mark.parametrize(
    ("change", "expected"), [*UNREADABLE, *WRONG_IN_A_FIELD, *WRONG_TOGETHER, *NOT_IN_THE_RULEBOOK]
)
def test_verification_request_is_refused(client: HeldClient, change: Change, expected: Refusal) -> None:
    body = change(copy.deepcopy(GUARDRAIL_POST))
    refused_as_expected(client, VERIFICATIONS, body, expected)


@pytest.mark.parametrize(("change", "expected"), [*UNREADABLE[:3], *WRONG_SIZINGS])
def test_sizing_request_is_refused(client: HeldClient, change: Change, expected: Refusal) -> None:
    body = change(copy.deepcopy(GUARDRAIL_POST_FREE_HOLES))
    refused_as_expected(client, SIZINGS, body, expected)


def test_every_fault_of_a_request_is_listed(client: HeldClient, guardrail_post: dict[str, Any]) -> None:
    guardrail_post["member"]["thickness_mm"] = -1
    guardrail_post["fixture"]["width_mm"] = "wide"
    guardrail_post["positions"][2] = {"x_mm": 0}
    found = {error["pointer"] for error in errors_of(client.post(VERIFICATIONS, json=guardrail_post))}
    assert found == {"#/member/thickness_mm", "#/fixture/width_mm", "#/positions/2/y_mm"}


def test_a_place_and_one_inside_it_may_both_be_wrong(client: HeldClient, guardrail_post: dict[str, Any]) -> None:
    guardrail_post["positions"][3] = dict(guardrail_post["positions"][2])
    guardrail_post["member"]["edges"]["x_minus_mm"] = 75
    found = {(e["pointer"], e["code"]) for e in errors_of(client.post(VERIFICATIONS, json=guardrail_post))}
    assert {("#/positions/3", "duplicate_position"), ("#/positions/3/x_mm", "outside_member")} <= found


FIGURES = [
    (put(1, "member", "thickness_mm"), "below_minimum", {"minimum": 60}),
    (put(1e9, "member", "thickness_mm"), "above_maximum", {"maximum": 10_000}),
    (put("fair", "member", "state"), "not_allowed", {"allowed": ["cracked", "uncracked", "unknown"]}),
    (put("lunar", "use", "exposure"), "not_allowed", None),
    (put([], "load_cases"), "too_few", {"fewest": 1}),
    (put("", "fixing_reference"), "too_short", {"shortest": 1}),
    (put(25, "member", "strength_mpa"), "conflict", {"fields": ["strength_class"]}),
    (put({"x_mm": -75, "y_mm": -75}, "positions", 3), "duplicate_position", {"other_number": 1}),
    (put({"x_mm": 1000, "y_mm": -75}, "positions", 3), "outside_fixture", {"maximum_mm": 110}),
    (put(70, "fastener", "depth"), "unknown_field", {"allowed": ["family", "size", "embedment_mm", "length_mm"]}),
    (put(True, "member", "thickness_mm"), "wrong_type", {}),
    (lambda r: put("accidental", "use", "situation")(acting(WEIGHT)(r)), "conflict", {"fields": ["actions"]}),
    (
        acting(WEIGHT, *(WIND | {"name": f"wind {n}", "psi_0": 0.5} for n in range(7))),
        "too_many_combinations", {"came_to": 898, "most": 400},
    ),
    (put("2026-02-30", "assessed_on"), "not_a_day", {}),
]  # fmt: skip


@pytest.mark.parametrize(("change", "code", "figures"), FIGURES, ids=[code for _, code, _ in FIGURES])
def test_a_fault_holds_its_figures(
    client: HeldClient, change: Change, code: str, figures: dict[str, Any] | None
) -> None:
    response = client.post(VERIFICATIONS, json=change(copy.deepcopy(GUARDRAIL_POST)))
    [error] = [error for error in errors_of(response) if error["code"] == code]
    if figures is None:
        # The word that stands for not knowing may be given too, so it is among those that are told.
        assert {"dry_internal", "unknown"} <= set(error["figures"]["allowed"])
        assert error["detail"] == f"must be one of {', '.join(error['figures']['allowed'])}"
    else:
        assert error["figures"] == figures


def test_a_fault_on_the_way_in_holds_its_figures(client: HeldClient) -> None:
    response = client.post(VERIFICATIONS, data=b'{\n "member": }', content_type="application/json")
    [error] = errors_of(response)
    assert (error["code"], error["figures"]) == ("malformed_json", {"line": 2, "column": 12})
    [error] = errors_of(client.get("/v1/families/nail"))
    assert (error["code"], error["parameter"], error["given"]) == ("unknown_family", "family", "nail")
    assert error["figures"]["allowed"] == sorted(shipped_rules().families)


def test_a_flood_of_faults_is_cut_short(client: HeldClient) -> None:
    response = client.post(VERIFICATIONS, json={f"field {n}": n for n in range(1000)})
    assert response.status_code == 422
    assert len(errors_of(response)) == 50
    assert "There are more than these" in response.get_json()["detail"]


def test_a_flood_of_duplicate_keys_is_cut_short(client: HeldClient) -> None:
    body = "{" + ",".join(f'"{n}":0' for n in [*range(20_000), *range(20_000)]) + "}"
    response = client.post(VERIFICATIONS, data=body, content_type="application/json")
    assert response.status_code == 400
    assert len(errors_of(response)) == 50


def test_an_overlong_key_is_cut_in_the_pointer(client: HeldClient) -> None:
    response = client.post(VERIFICATIONS, json={"k" * 10_000: 1})
    assert max(len(error["pointer"]) for error in errors_of(response)) < 400


@pytest.mark.parametrize(
    ("value", "given"),
    [(25, "25"), (0.1, "0.1"), (True, "true"), ("thick", '"thick"'), ("x" * 99, f'"{"x" * 58}…'), (None, None)],
)
def test_a_refusal_says_what_was_given(
    client: HeldClient, guardrail_post: dict[str, Any], value: Any, given: Any
) -> None:
    guardrail_post["member"]["thickness_mm"] = value
    found = {error["pointer"]: error for error in errors_of(client.post("/v1/verifications", json=guardrail_post))}
    if value is None:
        del guardrail_post["member"]["thickness_mm"]
        left_out = client.post("/v1/verifications", json=guardrail_post)
        assert [error.get("given") for error in errors_of(left_out)] == [given]
    else:
        assert found["#/member/thickness_mm"]["given"] == given


def test_a_refusal_of_a_group_repeats_nothing(client: HeldClient, guardrail_post: dict[str, Any]) -> None:
    guardrail_post["member"]["thickness_mm"] = {"is": [1, 2]}
    (error,) = errors_of(client.post("/v1/verifications", json=guardrail_post))
    assert "given" not in error


def test_a_refusal_says_which_parameter_was_given(client: HeldClient) -> None:
    response = client.get("/v1/rulebooks/2026.5.0/changes?since=2019.1.0")
    assert [error.get("given") for error in errors_of(response)] == ["2019.1.0"]


def test_faults_come_in_the_order_of_their_places(client: HeldClient, guardrail_post: dict[str, Any]) -> None:
    guardrail_post["positions"] = [{"x_mm": n, "y_mm": 0, "z_mm": 0} for n in range(11)]
    guardrail_post |= {f"f{n}": n for n in range(20)}
    pointers = [error["pointer"] for error in errors_of(client.post("/v1/verifications", json=guardrail_post))]
    unknown = sorted(f"#/f{n}" for n in range(20))
    assert pointers == [*unknown, *(f"#/positions/{n}/z_mm" for n in range(11))]
