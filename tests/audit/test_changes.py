"""What differs between two sets of documents: found, put into words, and judged by its direction.

The figures are those of the small rulebook, made up for the tests; directions are common practice, no source.
"""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from typing import Any

import pytest

from service.audit.changes.changed_values import Change, Changes, changes_of, relative
from tests.audit.changes_repository import REMOVED, documents, put

M12 = "families/bolt.json#/sizes/M12"
ROW = f"{M12}/embedments/70"
BOND = "families/resin-rod.json#/sizes/M12/bond"
SITE = "factors/site-conditions.json#/conditions"


def with_changes(places: dict[str, Any], base: dict[str, Any] | None = None) -> dict[str, Any]:
    changed = copy.deepcopy(documents() if base is None else base)
    for place, value in places.items():
        file, _, pointer = place.partition("#/")
        put(changed[file], pointer, value)
    return changed


def found(places: dict[str, Any]) -> Changes:
    return changes_of(documents(), with_changes(places))


def only(places: dict[str, Any]) -> Change:
    [change] = found(places).values
    return change


@pytest.mark.parametrize(
    ("place", "value", "effect"),
    [
        (f"{ROW}/pull_out/cracked_kn", 99, "less_safe"),
        (f"{ROW}/pull_out/cracked_kn", 1, "safer"),
        (f"{ROW}/pull_out/cracked_kn", None, "safer"),
        (f"{ROW}/pull_out/uncracked_kn", None, "depends_on_the_fixing"),
        (f"{ROW}/pull_out", None, "less_safe"),
        (f"{ROW}/concrete", None, "depends_on_the_fixing"),
        (f"{ROW}/concrete/cone_edge_mm", 1, "less_safe"),
        (f"{ROW}/concrete/cracked_factor", None, "safer"),
        (f"{ROW}/limits/member_thickness_min_mm", 999, "safer"),
        (f"{ROW}/pull_out/strength_factor/C40~150", 1.4, "less_safe"),
        (f"{ROW}/pull_out/strength_factor/C50~160", REMOVED, "safer"),
        (f"{ROW}/lengths/0/fixture_thickness_max_mm", None, "less_safe"),
        (f"{ROW}/lengths/0/article_code", "TEST-9999", "none"),
        (f"{M12}/geometry/diameter_mm", 13, "depends_on_the_fixing"),
        (f"{M12}/geometry/spanner_mm", 13, "none"),
        (f"{M12}/steel/ductile", False, "safer"),
        (f"{M12}/factors/installation_factor/dry", 1.2, "safer"),
        (f"{M12}/factors/installation_factor/flooded", 1.0, "less_safe"),
        (f"{M12}/factors/gamma_ms_tension", 1.0, "depends_on_the_fixing"),
        (f"{M12}/setting/installation_torque_nm", 61, "depends_on_the_fixing"),
        ("families/bolt.json#/assessment/covers/redundant_use_only", True, "safer"),
        ("families/bolt.json#/assessment/covers/fire", True, "less_safe"),
        ("families/bolt.json#/assessment/covers/seismic_category", "C1", "less_safe"),
        ("families/bolt.json#/assessment/covers/temperature_ranges", ["I"], "depends_on_the_fixing"),
        ("families/bolt.json#/assessment/covers/hole_conditions", ["dry"], "safer"),
        ("families/bolt.json#/assessment/covers/strength_max_mpa", 60, "less_safe"),
        ("families/bolt.json#/approval/status", "withdrawn", "safer"),
        ("families/bolt.json#/approval/uses", ["redundant"], "safer"),
        ("families/bolt.json#/approval/from", "2025-01-01", "less_safe"),
        ("families/bolt.json#/approval/from", "2026-02-01", "safer"),
        ("families/bolt.json#/approval/until", "2027-01-01", "safer"),
        ("families/bolt.json#/approval/reason", "another", "none"),
        ("families/bolt.json#/title", "another", "none"),
        ("families/bolt.json#/material/corrosion_resistance_class", "V", "less_safe"),
        ("families/bolt.json#/mechanism", "undercut", "depends_on_the_fixing"),
        ("families/bolt.json#/preference_rank", 9, "none"),
        ("families/bolt.json#/installation/cleaning_steps", [], "less_safe"),
        ("families/bolt.json#/installation/cleaning_steps", ["another"], "depends_on_the_fixing"),
        (f"{BOND}/characteristic_mpa/cracked/dry/I", 99, "less_safe"),
        (f"{BOND}/characteristic_mpa/cracked", None, "safer"),
        ("rulebook.json#/unknown/strength_class", "C50/60", "less_safe"),
        ("rulebook.json#/unknown/state", "uncracked", "less_safe"),
        ("rulebook.json#/unknown/hole", "dry", "less_safe"),
        ("rulebook.json#/unknown/exposure", "dry_internal", "depends_on_the_fixing"),
        ("rulebook.json#/site_reduction/floor", 0.9, "less_safe"),
        ("rulebook.json#/partial_factors/concrete/persistent", 1.6, "safer"),
        ("rulebook.json#/selection_order", ["utilisation"], "none"),
        ("rulebook.json#/cautions/0", REMOVED, "less_safe"),
        ("rulebook.json#/status", "company", "less_safe"),
        ("rulebook.json#/version", "2026.2.0", "none"),
        (f"{SITE}/installer/values/supervised", REMOVED, "safer"),
        (f"{SITE}/installer", REMOVED, "less_safe"),
        (f"{SITE}/installer/applies_to/5", REMOVED, "less_safe"),
        ("factors/exposures.json#/exposures/external/corrosion_resistance_class_min", None, "less_safe"),
        ("factors/temperature-ranges.json#/ranges/I/long_term_max_c", 99, "less_safe"),
        ("factors/guard-loads.json#/height_max_m", 1.1, "less_safe"),
        ("families/bolt.json#/colour", "red", "depends_on_the_fixing"),
        (f"{M12}/steel/tension_kn", "strong", "depends_on_the_fixing"),
        (f"{M12}/steel/tension_kn", True, "depends_on_the_fixing"),
        (f"{M12}/steel/tension_kn", [1], "depends_on_the_fixing"),
    ],
)
def test_a_change_goes_the_way_that_the_schema_says(place: str, value: object, effect: str) -> None:
    told = found({place: value}).values
    assert [str(change.effect) for change in told] == [effect]


@pytest.mark.parametrize(
    ("file", "change", "effect"),
    [
        ("approval/status", ("suspended", "approved"), "less_safe"),
        ("approval/status", ("withdrawn", "suspended"), "less_safe"),
        ("approval/status", ("restricted", "suspended"), "safer"),
        ("approval/uses", (["redundant"], None), "less_safe"),
        ("approval/uses", (["redundant"], ["redundant", "temporary"]), "less_safe"),
        ("approval/until", ("2027-01-01", None), "less_safe"),
        ("approval/until", ("2027-01-01", "2028-01-01"), "less_safe"),
    ],
)
def test_an_approval_that_widens_is_less_safe(file: str, change: tuple[Any, Any], effect: str) -> None:
    old = with_changes({f"families/bolt.json#/{file}": change[0]})
    new = with_changes({f"families/bolt.json#/{file}": change[1]})
    [told] = changes_of(old, new).values
    assert told.effect == effect


def test_a_change_is_told_in_words_with_symbol_unit_and_place() -> None:
    old = documents()["families/bolt.json"]["sizes"]["M12"]["embedments"]["70"]["pull_out"]["cracked_kn"]
    told = only({f"{ROW}/pull_out/cracked_kn": old * 1.25})
    assert told.rule == "families/bolt#/sizes/M12/embedments/70/pull_out/cracked_kn"
    assert (told.file, told.pointer) == ("families/bolt.json", "#/sizes/M12/embedments/70/pull_out/cracked_kn")
    assert (told.title, told.size, told.embedment_mm) == ("Through-bolt", "M12", 70)
    assert (told.symbol, told.unit, told.words, told.group) == ("N_Rk,p", "kN", "N_Rk,p in cracked C20/25", "pull out")
    assert (told.kind, told.old, told.new) == ("changed", old, old * 1.25)
    assert told.relative == pytest.approx(0.25)


def test_a_figure_of_a_map_is_told_with_the_names_around_it() -> None:
    told = only({f"{SITE}/installer/values/unknown/factor": 0.5})
    assert told.group == "conditions, installer, values, unknown"
    assert told.title == documents()["factors/site-conditions.json"]["title"]
    assert (told.size, told.embedment_mm, told.symbol, told.unit) == (None, None, None, None)


@pytest.mark.parametrize(("old", "new"), [(0, 5), (None, 5), (True, 5)])
def test_there_is_no_relative_change_of_what_is_no_figure(old: object, new: object) -> None:
    assert relative(old, new) is None


def test_layout_and_order_of_keys_are_no_change() -> None:
    def turned(value: Any) -> Any:
        if isinstance(value, dict):
            return {key: turned(value[key]) for key in reversed(value)}
        if isinstance(value, list):
            return [turned(entry) for entry in value]
        return float(value) if type(value) is int else value

    old = documents()
    new = json.loads(json.dumps(turned(old), indent=7))
    assert changes_of(old, new) == Changes((), (), only_order=False)


def test_true_is_not_1() -> None:
    old = with_changes({f"{M12}/steel/tension_kn": 1})
    new = with_changes({f"{M12}/steel/tension_kn": True})
    assert len(changes_of(old, new).values) == 1


@pytest.mark.parametrize("list_of", ["exposures", "sizes/M12/embedments/70/lengths"])
def test_another_order_of_a_list_is_no_change_but_is_remarked(list_of: str) -> None:
    old = documents()
    place = f"families/bolt.json#/{list_of}"
    value = old["families/bolt.json"]
    for step in list_of.split("/"):
        value = value[step]
    assert len(value) > 1
    assert changes_of(old, with_changes({place: value[::-1]})) == Changes((), (), only_order=True)


def test_a_set_is_compared_entry_by_entry() -> None:
    old = documents()["families/bolt.json"]["exposures"]
    told = found({"families/bolt.json#/exposures": ["marine", *old[:0:-1]]}).values
    assert [(change.kind, change.old, change.new, str(change.effect)) for change in told] == [
        ("added", None, "marine", "less_safe"),
        ("removed", old[0], None, "safer"),
    ]
    assert {change.pointer for change in told} == {"#/exposures"}


def test_a_length_is_known_by_its_length_wherever_it_stands() -> None:
    lengths = documents()["families/bolt.json"]["sizes"]["M12"]["embedments"]["70"]["lengths"]
    longer = {**lengths[-1], "fixture_thickness_max_mm": 77}
    told = only({f"{ROW}/lengths": [longer, *lengths[:-1]]})
    assert told.pointer.endswith("/lengths/0/fixture_thickness_max_mm")
    assert told.group == f"lengths, {longer['length_mm']}"
    assert (told.old, told.new) == (lengths[-1]["fixture_thickness_max_mm"], 77)


def test_two_entries_with_the_same_key_are_told_apart() -> None:
    entry = {"length_mm": 90, "fixture_thickness_max_mm": 6, "article_code": "TEST-0001"}
    old = with_changes({f"{ROW}/lengths": [entry, entry]})
    new = with_changes({f"{ROW}/lengths": [entry, {**entry, "fixture_thickness_max_mm": 7}]})
    [told] = changes_of(old, new).values
    assert told.pointer.endswith("/lengths/1/fixture_thickness_max_mm")
    assert told.group == "lengths, 90 (2)"


def test_a_size_that_comes_is_one_change_with_its_figures_counted() -> None:
    size = documents()["families/bolt.json"]["sizes"]["M12"]
    told = only({"families/bolt.json#/sizes/M24": size})
    assert (told.kind, told.effect, told.size, told.words) == ("added", "less_safe", "M24", "Size")
    assert told.whole
    assert told.figures > 20
    assert told.summary == f"embedments 50, 70 mm; {told.figures} figures"
    back = changes_of(with_changes({"families/bolt.json#/sizes/M24": size}), documents())
    assert [(change.kind, change.effect) for change in back.values] == [("removed", "safer")]


def test_an_embedment_that_goes_is_one_change() -> None:
    new = with_changes({f"{M12}/embedments/95": documents()["families/bolt.json"]["sizes"]["M12"]["embedments"]["70"]})
    [told] = changes_of(new, with_changes({f"{ROW}": REMOVED}, new)).values
    assert (told.kind, told.effect, told.size, told.embedment_mm) == ("removed", "safer", "M12", 70)


def test_a_family_that_comes_or_goes_is_one_change() -> None:
    without = documents()
    del without["families/screw.json"]
    [come] = changes_of(without, documents()).values
    assert (come.kind, come.effect, come.pointer, come.title) == ("added", "less_safe", "#", "Concrete screw")
    assert come.summary is not None
    assert come.summary.endswith(f"; {come.figures} figures")
    [gone] = changes_of(documents(), without).values
    assert (gone.kind, gone.effect, gone.file) == ("removed", "safer", "families/screw.json")


def renamed(change: Callable[[Any], None]) -> dict[str, Any]:
    new = documents()
    family = new.pop("families/bolt.json")
    family["id"] = "bolt-new"
    change(family)
    new["families/bolt-new.json"] = family
    return new


def test_a_renamed_family_is_one_change_and_those_inside() -> None:
    def raise_resistance(family: Any) -> None:
        family["sizes"]["M12"]["steel"]["tension_kn"] += 1

    told = changes_of(documents(), renamed(raise_resistance)).values
    assert [(change.kind, change.effect, change.rule) for change in told] == [
        ("changed", "less_safe", "families/bolt-new#/sizes/M12/steel/tension_kn"),
        ("renamed", "none", "families/bolt-new#"),
    ]
    assert (told[1].old, told[1].new, told[1].old_file) == ("bolt", "bolt-new", "families/bolt.json")


def test_a_family_with_other_figures_under_another_name_is_another_family() -> None:
    def rework(family: Any) -> None:
        put(family, "sizes", {"M12": documents()["families/screw.json"]["sizes"]["8"]})

    told = changes_of(documents(), renamed(rework)).values
    assert {change.kind for change in told} == {"added", "removed"}


def test_reference_fixings_are_told_apart() -> None:
    old, new = documents(), documents()
    new["reference/post.json"]["expected"]["verdict"] = "not_verified"
    new["reference/post.json"]["request"]["member"]["thickness_mm"] = 1
    new["reference/other.json"] = {"id": "other", "title": "Another"}
    told = changes_of(old, new)
    assert told.values == ()
    assert [(change.kind, change.rule) for change in told.reference] == [
        ("added", "reference/other#"),
        ("changed", "reference/post#/request/member/thickness_mm"),
        ("changed", "reference/post#/expected/verdict"),
    ]
    assert [change.kind for change in changes_of(new, {}).reference] == ["removed", "removed"]


def test_a_rulebook_does_not_differ_from_itself() -> None:
    assert changes_of(documents(), documents()) == Changes((), (), only_order=False)


def test_two_unrelated_rulebooks_differ_in_every_family() -> None:
    other = {file: document for file, document in documents().items() if not file.startswith("families/")}
    other["families/hook.json"] = {"id": "hook", "title": "Hook", "sizes": {"M6": {"figure": 1}}}
    del other["rulebook.json"]
    told = changes_of(documents(), other)
    families = [(change.kind, change.file) for change in told.values if change.file.startswith("families/")]
    assert families == [
        ("added", "families/hook.json"),
        *(("removed", file) for file in documents() if file.startswith("families/")),
    ]
    assert [change.effect for change in told.values if change.file == "rulebook.json"] == ["depends_on_the_fixing"]


def test_less_safe_comes_first_and_sizes_in_their_order() -> None:
    told = found({
        "families/bolt.json#/title": "another",
        "families/screw.json#/sizes/8/steel/tension_kn": 999,
        f"{M12}/steel/tension_kn": 999,
        "families/bolt.json#/sizes/M10/steel/tension_kn": 999,
        f"{M12}/geometry/diameter_mm": 13,
        f"{ROW}/limits/edge_min_mm": 999,
        "rulebook.json#/site_reduction/floor": 1,
    }).values
    assert [(str(change.effect), change.file, change.size) for change in told] == [
        ("less_safe", "rulebook.json", None),
        ("less_safe", "families/bolt.json", "M10"),
        ("less_safe", "families/bolt.json", "M12"),
        ("less_safe", "families/screw.json", "8"),
        ("depends_on_the_fixing", "families/bolt.json", "M12"),
        ("safer", "families/bolt.json", "M12"),
        ("none", "families/bolt.json", None),
    ]


def test_documents_are_not_touched() -> None:
    old, new = documents(), with_changes({"families/bolt.json#/exposures": ["marine"]})
    before = copy.deepcopy((old, new))
    changes_of(old, new)
    assert (old, new) == before
