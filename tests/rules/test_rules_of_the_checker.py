"""Each rule of the checker against a tiny broken rulebook, with the words expected."""

from __future__ import annotations

import json
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from service.rulebook import lint
from service.rulebook.lint import RULES

if TYPE_CHECKING:
    from collections.abc import Callable

REPOSITORY = Path(__file__).resolve().parents[2]
BROKEN = Path(__file__).parent / "broken"
CASES = sorted(BROKEN.glob("*/*.json"))
FORM_RULES = {"schema", "strict_json"}


def test_small_valid_rulebook_has_no_findings(base: Path) -> None:
    assert lint(base) == ()


def test_shipped_rulebook_has_no_findings() -> None:
    assert [finding.text for finding in lint(REPOSITORY / "rules")] == []


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.parent.name}/{case.stem}")
def test_broken_rulebook_gets_exactly_the_findings_expected(case: Path, broken: Callable[..., Path]) -> None:
    described = json.loads(case.read_text(encoding="utf-8"))
    findings = [asdict(finding) for finding in lint(broken(described))]
    assert findings == described["expected"]
    assert {finding["rule"] for finding in findings} == {case.parent.name}


def test_every_rule_has_a_broken_rulebook() -> None:
    assert {case.parent.name for case in CASES} == {rule.RULE for rule in RULES} | FORM_RULES


def test_a_rule_is_named_after_its_module_and_every_module_is_found() -> None:
    modules = {path.stem for path in (REPOSITORY / "service/rulebook/lint").glob("*.py")} - {"__init__", "draft"}
    assert [rule.RULE for rule in RULES] == sorted(modules)
    for rule in RULES:
        assert rule.check.__module__ == f"service.rulebook.lint.{rule.RULE}"


def test_the_guide_lists_every_rule_with_its_summary() -> None:
    guide = (REPOSITORY / "rules/README.md").read_text(encoding="utf-8")
    rows = [line for line in guide.splitlines() if line.startswith("| `")]
    assert rows == [f"| `{rule.RULE}` | {rule.SUMMARY} |" for rule in RULES], "run deploy/readme.py"


def test_a_resistance_may_fall_where_a_note_says_why(broken: Callable[..., Path]) -> None:
    embedment = "families/bolt.json#/sizes/M12/embedments/70"
    note = {"code": "resistance_falls", "text": "The clip of the deeper version is shorter"}
    weaker = {f"{embedment}/pull_out/cracked_kn": 9.2, "families/bolt.json#/sizes/M12/steel/shear_kn": 16.5}
    assert [finding.rule for finding in lint(broken({"set": weaker}))] == ["resistance_grows", "resistance_grows"]
    assert lint(broken({"set": {f"{embedment}/notes": [note]}})) == ()


def test_a_file_that_is_not_sound_brings_no_findings_in_files_that_refer_to_it(broken: Callable[..., Path]) -> None:
    rules = broken({
        "write": {"families/bolt.json": "{", "factors/exposures.json": "{", "factors/site-conditions.json": "{"}
    })
    assert {finding.file for finding in lint(rules)} == {
        "families/bolt.json", "factors/exposures.json", "factors/site-conditions.json",
    }  # fmt: skip


def test_a_rulebook_without_demonstration_data_may_be_the_companys(base: Path, broken: Callable[..., Path]) -> None:
    files = [path.relative_to(base).as_posix() for path in base.rglob("*.json")]
    assert lint(broken({"set": {f"{file}#/status": "company" for file in files}})) == ()


def test_steel_resistance_may_be_left_to_the_formula(broken: Callable[..., Path]) -> None:
    assert lint(broken({"set": {"families/bolt.json#/sizes/M12/steel/tension_kn": None}})) == ()


def test_redundant_fasteners_may_be_shallower(broken: Callable[..., Path]) -> None:
    embedment = json.loads((BROKEN / "method_limits/shallow.json").read_text(encoding="utf-8"))["set"]
    covers = {"families/screw.json#/assessment/covers/redundant_use_only": True}
    assert lint(broken({"set": {**embedment, **covers}})) == ()


@pytest.mark.parametrize(("mechanism_diameter", "largest"), [(6, 7), (8, 9), (10, 12), (24, 26), (27, 30), (30, 33)])
def test_clearance_hole_follows_the_table_of_en_1992_4(
    mechanism_diameter: int, largest: int, broken: Callable[..., Path]
) -> None:
    """Table of clearance holes from memory of EN 1992-4."""
    size = "families/bolt.json#/sizes/M12/geometry"
    sizes = {f"{size}/{name}_mm": mechanism_diameter for name in ("diameter", "nominal_diameter", "hole_diameter")}

    def rules_found(clearance: int) -> set[str]:
        findings = lint(broken({"set": sizes | {f"{size}/clearance_hole_mm": clearance}}))
        return {finding.rule for finding in findings if finding.pointer.endswith("clearance_hole_mm")}

    assert rules_found(largest) == set()
    assert rules_found(largest + 1) == {"clearance_hole_in_table"}


def test_text_of_a_finding_is_one_printable_line(broken: Callable[..., Path]) -> None:
    rules = broken({"set": {"families/bolt.json#/a\nb\u202e": 1}})
    [finding] = lint(rules)
    assert finding.pointer == "#/a\nb\u202e"
    assert finding.text.isprintable()
    assert finding.text.startswith(
        "families/bolt.json#/a\\nb\\u202e: error [schema] the field is not known here; found: "
    )
