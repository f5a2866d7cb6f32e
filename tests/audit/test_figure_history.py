"""Every value that a figure ever had, on real repositories."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from service.audit.changes.figure_history import UnknownFigure, history_of
from tests.audit.changes_repository import REMOVED, Workshop, documents, workshop

TENSION = "families/bolt#/sizes/M12/steel/tension_kn"
SHEAR = "families/bolt#/sizes/M10/steel/shear_kn"
BASE = documents()["families/bolt.json"]
FIRST = BASE["sizes"]["M12"]["steel"]["tension_kn"]


@pytest.fixture
def made(tmp_path: Path) -> Workshop:
    return workshop(tmp_path / "company")


def told(made: Workshop, path: str = TENSION) -> dict[str, Any]:
    return history_of(made.repository, path)


def values(report: dict[str, Any]) -> list[Any]:
    return [entry["value"] for entry in report["values"]]


def test_every_value_is_listed_oldest_first_with_who_set_it(made: Workshop) -> None:
    first = made.git("rev-parse", "HEAD")
    second = made.set(
        {TENSION: 50, "rulebook#/version": "2026.2.0"}, "Pulled on site", "Reason: weak steel\nChecker: engineer"
    )
    made.set({SHEAR: 1})
    third = made.set({TENSION: 40})
    report = told(made)
    assert [(entry["value"], entry["version"], entry["commit"]) for entry in report["values"]] == [
        (FIRST, "2026.1.0", first),
        (50, "2026.2.0", second),
        (40, "2026.2.0", third),
    ]
    entry = report["values"][1]
    assert (entry["reason"], entry["checker"], entry["approver"]) == ("weak steel", "engineer", None)
    assert (entry["author"], entry["subject"], entry["there"]) == ("Rules Editor", "Pulled on site", True)
    assert entry["relative"] == pytest.approx(50 / FIRST - 1, rel=1e-5)
    assert report["values"][0]["relative"] is None
    assert report["values"][2]["relative"] == -0.2
    assert (report["rule"], report["symbol"], report["unit"]) == (TENSION, "N_Rk,s", "kN")
    assert report["title"] == "Through-bolt"


def test_a_path_may_name_the_file_with_its_ending(made: Workshop) -> None:
    assert told(made, TENSION.replace("#", ".json#")) | {"asked": ""} == told(made) | {"asked": ""}


def test_another_way_of_writing_a_value_is_no_other_value(made: Workshop) -> None:
    made.set({TENSION: 50})
    made.set({TENSION: 50.0})
    assert values(told(made)) == [FIRST, 50]


def test_a_value_that_comes_back_is_listed_again(made: Workshop) -> None:
    made.set({TENSION: 50})
    made.set({TENSION: FIRST})
    made.set({TENSION: None})
    report = told(made)
    assert values(report) == [FIRST, 50, FIRST, None]
    assert report["values"][-1]["there"]


def test_a_renamed_file_is_followed_from_either_name(made: Workshop) -> None:
    made.set({TENSION: 50})
    made.rename_family("bolt", "bolt-new")
    made.commit("Rename")
    new = TENSION.replace("bolt", "bolt-new")
    made.set({new: 40})
    report = told(made, new)
    assert values(report) == [FIRST, 50, 40]
    assert [entry["file"] for entry in report["values"]] == [
        "families/bolt.json", "families/bolt.json", "families/bolt-new.json",
    ]  # fmt: skip
    assert told(made, TENSION) | {"asked": new} == report


def test_a_change_on_a_branch_is_listed_once_and_not_for_the_merge(made: Workshop) -> None:
    made.git("checkout", "-q", "-b", "side")
    side = made.set({TENSION: 50})
    made.git("checkout", "-q", "main")
    made.set({SHEAR: 1})
    made.git("merge", "-q", "--no-ff", "-m", "Merge side", "side")
    assert values(told(made)) == [FIRST, 50]
    assert told(made)["values"][1]["commit"] == side


def test_a_merge_that_settles_on_another_value_is_listed(made: Workshop) -> None:
    made.git("checkout", "-q", "-b", "side")
    made.set({TENSION: 50})
    made.git("checkout", "-q", "main")
    made.set({SHEAR: 1})
    made.git("merge", "-q", "--no-ff", "--no-commit", "side")
    merge = made.set({TENSION: 45}, "Merge side")
    report = told(made)
    assert values(report) == [FIRST, 50, 45]
    assert report["values"][-1]["commit"] == merge


def test_a_figure_that_is_gone_still_has_its_history(made: Workshop) -> None:
    made.set({TENSION: 50})
    made.set({"families/bolt#/sizes/M12": REMOVED})
    report = told(made)
    assert [(entry["value"], entry["there"]) for entry in report["values"]] == [
        (FIRST, True),
        (50, True),
        (None, False),
    ]
    assert "the figure is no longer there" in report["remarks"]
    (made.rules / "families/bolt.json").unlink()
    made.commit()
    assert [entry["there"] for entry in told(made)["values"]] == [True, True, False]
    assert [entry["there"] for entry in told(made, SHEAR)["values"]] == [True, False]


def test_an_entry_of_a_list_is_followed_wherever_it_stands(made: Workshop) -> None:
    place = "families/bolt#/sizes/M12/embedments/70/lengths"
    lengths = BASE["sizes"]["M12"]["embedments"]["70"]["lengths"]
    made.set({f"{place}/0/fixture_thickness_max_mm": 7})
    made.set({place: [{"length_mm": 80, "fixture_thickness_max_mm": 1, "article_code": "TEST-7777"}, *lengths]})
    report = told(made, f"{place}/1/fixture_thickness_max_mm")
    first = lengths[0]["fixture_thickness_max_mm"]
    assert values(report) == [first, 7, first]


def test_a_list_of_names_is_a_figure_too(made: Workshop) -> None:
    exposures = BASE["exposures"]
    made.set({"families/bolt#/exposures": exposures[::-1]})
    made.set({"families/bolt#/exposures": exposures[1:]})
    assert values(told(made, "families/bolt#/exposures")) == [exposures, exposures[1:]]
    assert values(told(made, "families/bolt#/exposures/0")) == [exposures[1]]


def test_a_figure_that_came_later_has_no_value_before(made: Workshop) -> None:
    size = BASE["sizes"]["M12"]
    added = made.set({"families/bolt#/sizes/M24": size})
    report = told(made, "families/bolt#/sizes/M24/steel/tension_kn")
    assert [(entry["value"], entry["commit"]) for entry in report["values"]] == [(FIRST, added)]


def test_a_shallow_clone_says_that_its_first_value_may_be_older(made: Workshop, tmp_path: Path) -> None:
    made.set({TENSION: 50})
    made.set({TENSION: 40})
    made.git("clone", "-q", "--depth", "2", f"file://{made.root}", str(tmp_path / "clone"))
    report = told(Workshop(tmp_path / "clone"))
    assert values(report) == [50, 40]
    assert any("fetch --unshallow" in remark for remark in report["remarks"])


@pytest.mark.parametrize(
    ("path", "words"),
    [
        ("families/bolt", "is not a path of a figure; write the file"),
        ("", "is not a path of a figure"),
        ("#/sizes", "is not a path of a figure"),
        ("families/bolt#sizes", "is not a path of a figure"),
        ("families/bolt#/\n", "is not a path of a figure"),
        ("families/bolt#/" + "x" * 2000, "is not a path of a figure"),
        ("families/bold#/title", "has a file 'families/bold'; did you mean families/bolt"),
        ("../../etc/passwd#/x", "no commit of the rules has a file '../../etc/passwd'"),
        ("/etc/passwd#/x", "no commit of the rules has a file"),
        ("--output=x#/x", "no commit of the rules has a file"),
        ("releases#/releases", "no commit of the rules has a file"),
        ("families/bolt#/sizes/M13/steel/tension_kn", r"families/bolt.json#/sizes has no 'M13'; did you mean M1\d"),
        (TENSION + "x", "steel has no 'tension_knx'; did you mean tension_kn"),
        (TENSION + "/value", "and has nothing below it, so no 'value' either"),
        ("families/bolt#/sizes/M12/steel", "is a group and not one figure; it has: tensile_strength_mpa"),
        ("families/bolt#/sizes/M12/embedments/70/lengths", "is a group and not one figure; it has: 0, 1"),
        ("families/bolt#/sizes/M12/embedments/70/lengths/9/length_mm", "lengths has no '9'; there is: 0, 1"),
        ("families/bolt#/sizes/M12/embedments/70/lengths/-1/length_mm", "lengths has no '-1'; "),
        ("families/bolt#/sizes/M12/embedments/70/lengths/²/length_mm", "lengths has no '²'; "),
    ],
)
def test_a_path_that_leads_nowhere_says_what_is_near(made: Workshop, path: str, words: str) -> None:
    with pytest.raises(UnknownFigure, match=words):
        told(made, path)
