"""The engine against the second calculation on seeded random fixings of every mechanism.

Numbers come from `tests/independent/`, written from EN 1992-4 (from memory) and the design notes with numpy, SciPy
and shapely, sharing no code with the engine. Published figures carry six significant digits.
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING, Any

import pytest

from service.rulebook import Rulebook
from service.verification import verify
from tests.independent.calculation import RINGS_AND_HOOKS, Outcome, calculate, without_plate
from tests.independent.fixings import among_others, random_fixing, standing_off, undrawn, with_other_figures
from tests.shipped import shipped_rules

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

NUMBER_OF_FIXINGS = 420
NUMBER_OF_UNDRAWN = 200
NUMBER_OF_PRESSED = 120
NUMBER_AMONG_OTHERS = 60
MOST_AMONG_OTHERS = 4
"""More are calculated alike and take longer, as each part of them is looked at."""
RELATIVE = 1e-4
MODES = frozenset({
    "steel_tension", "concrete_cone", "pull_out", "bond", "splitting", "blow_out",
    "steel_shear", "steel_shear_lever_arm", "pry_out", "concrete_edge",
    "interaction_steel", "interaction_concrete", "simplified_resultant",
})  # fmt: skip


@pytest.fixture(scope="module")
def rulebook() -> Rulebook:
    return shipped_rules()


@pytest.fixture(scope="module", params=range(NUMBER_OF_FIXINGS))
def compared(request: pytest.FixtureRequest, rulebook: Rulebook) -> tuple[Mapping[str, Any], Outcome]:
    """A random fixing calculated by both; of one fixing the tests follow each other, so that it is calculated once."""
    fixing = random_fixing(request.param, rulebook.families)
    return verify(fixing, rulebook), second_of(request.param)


@cache
def second_of(seed: int) -> Outcome:
    """The second calculation of a random fixing."""
    rulebook = shipped_rules()
    return second(random_fixing(seed, rulebook.families), rulebook)


def with_other_figures_of(request: Mapping[str, Any], seed: int, rulebook: Rulebook) -> Rulebook:
    name = request["fastener"]["family"]
    return replace(rulebook, families={**rulebook.families, name: with_other_figures(seed, rulebook.families[name])})


def second(request: Mapping[str, Any], rulebook: Rulebook) -> Outcome:
    family = rulebook.families[request["fastener"]["family"]]
    return calculate(request, family, rulebook.document, rulebook.factors)


def worst(checks: Iterable[Mapping[str, Any]]) -> dict[tuple[str, str], float]:
    found: dict[tuple[str, str], float] = {}
    for check in checks:
        key = (check["mode"], check["load_case"])
        found[key] = max(found.get(key, 0.0), check["utilisation"])
    return found


def test_engine_agrees_with_second_calculation(compared: tuple[Mapping[str, Any], Outcome]) -> None:
    answer, other = compared
    assert without_plate(answer) == other.verdict, (other.no_resistance, other.outside, other.unmet)
    ours, theirs = worst(answer["checks"]), other.worst()
    assert ours.keys() == theirs.keys()
    for key, utilisation in ours.items():
        assert utilisation == pytest.approx(theirs[key], rel=RELATIVE), key


def test_engine_agrees_where_the_standard_draws_no_grid_near_an_edge(rulebook: Rulebook) -> None:
    """The rule itself has no source; both calculations read it from the design notes, each in its own way."""
    compared = set()
    for seed in range(NUMBER_OF_UNDRAWN):
        request = random_fixing(seed, rulebook.families, undrawn)
        answer, other = verify(request, rulebook), second(request, rulebook)
        assert without_plate(answer) == other.verdict, (seed, other.no_resistance, other.outside, other.unmet)
        assert worst(answer["checks"]) == pytest.approx(other.worst(), rel=RELATIVE), seed
        compared |= {(check["mode"], len(request["positions"])) for check in answer["checks"]}
    for count in (3, 4, 6, 8):
        assert ("concrete_edge", count) in compared
    assert "blow_out" in {mode for mode, _ in compared}


@pytest.mark.parametrize("seed", range(NUMBER_OF_FIXINGS, NUMBER_OF_FIXINGS + 140))
def test_engine_agrees_where_formulas_and_figures_change_places(seed: int, rulebook: Rulebook) -> None:
    request = random_fixing(seed, rulebook.families)
    request["use"]["situation"] = "persistent"
    changed = with_other_figures_of(request, seed, rulebook)
    ours, theirs = worst(verify(request, changed)["checks"]), second(request, changed).worst()
    assert ours == pytest.approx(theirs, rel=RELATIVE)


def test_partial_factor_of_an_assessment_holds_in_accidental_situations(rulebook: Rulebook) -> None:
    compared = 0
    for seed in range(120):
        request = random_fixing(seed, rulebook.families)
        request["use"]["situation"] = "accidental"
        changed = with_other_figures_of(request, seed, rulebook)
        ours = worst(verify(request, changed)["checks"])
        assert ours == pytest.approx(second(request, changed).worst(), rel=RELATIVE)
        compared += bool(ours)
    assert compared > 60


def test_headed_fasteners_have_no_clearance_holes(rulebook: Rulebook) -> None:
    headed = {name: family for name, family in rulebook.families.items() if family["mechanism"] == "headed_fastener"}
    verdicts = set()
    for seed in range(60):
        request = random_fixing(seed, headed)
        answer, other = verify(request, rulebook), second(request, rulebook)
        assert without_plate(answer) == other.verdict
        verdicts.add((len(request["positions"]) > 4, without_plate(answer)))
    assert (True, "verified") in verdicts


def test_both_find_the_same_of_rings_and_hooks(rulebook: Rulebook) -> None:
    rings = {name: family for name, family in rulebook.families.items() if family["form"] in RINGS_AND_HOOKS}
    covered = set()
    for seed in range(120):
        request = random_fixing(seed, rings)
        if seed % 2:  # pulled straight as well as across, over something that lies under it or nothing
            under = request["fixture"]["thickness_mm"] if seed % 4 == 1 else None
            request["fixture"] |= {"rotation": "held", "washer_clamped": False, "thickness_mm": under}
            request["load_cases"][0]["shear_x_kn"] = 0.05
        answer, other = verify(request, rulebook), second(request, rulebook)
        assert without_plate(answer) == other.verdict, (seed, other.outside, other.unmet)
        assert worst(answer["checks"]) == pytest.approx(other.worst(), rel=RELATIVE), seed
        covered |= {(seed % 2, bool(answer["checks"]))}
    assert covered == {(0, True), (0, False), (1, True), (1, False)}


def test_both_find_the_same_fixtures_pressing_too_hard(rulebook: Rulebook) -> None:
    found = set()
    for seed in range(80):
        request = random_fixing(seed, rulebook.families)
        for case in request["load_cases"]:
            case["normal_kn"] = -30.0 * abs(case.get("normal_kn", 1.0))
        answer, other = verify(request, rulebook), second(request, rulebook)
        if other.outside or other.no_resistance:
            continue
        unmet = {entry["code"] for entry in answer["requirements"] if not entry["met"]}
        assert ("contact_pressure" in unmet) == ("contact_pressure" in other.unmet), seed
        found.add("contact_pressure" in unmet)
    assert found == {True, False}


@pytest.mark.parametrize(("mechanism", "start"), [("any", 0), ("bonded", 0), ("headed_fastener", 120)])
def test_both_find_the_same_among_fasteners_of_other_fixings(mechanism: str, start: int, rulebook: Rulebook) -> None:
    """The rule itself has no source; both read it from the design notes, here by shapely areas."""
    families = {name: family for name, family in rulebook.families.items() if mechanism in {"any", family["mechanism"]}}
    harder: dict[str, int] = {}
    for seed in range(start, start + NUMBER_AMONG_OTHERS):
        request = among_others(seed, families)
        if not request["neighbours"] or len(request["positions"]) > MOST_AMONG_OTHERS:
            continue
        answer, other = verify(request, rulebook), second(request, rulebook)
        assert without_plate(answer) == other.verdict, (seed, other.no_resistance, other.outside, other.unmet)
        ours = worst(answer["checks"])
        assert ours == pytest.approx(other.worst(), rel=RELATIVE), seed
        alone = worst(verify(request | {"neighbours": []}, rulebook)["checks"])
        for key in ours.keys() & alone.keys():
            harder[key[0]] = harder.get(key[0], 0) + (ours[key] > 1.001 * alone[key])
    # The comparison means something only where the others cost something.
    expected = {"concrete_cone", "pry_out", "splitting", "concrete_edge"}
    expected |= {"bond"} if mechanism == "bonded" else {"blow_out"} if mechanism == "headed_fastener" else set()
    assert all(harder.get(mode, 0) > 0 for mode in expected), harder


def pressed_as_well(rulebook: Rulebook) -> Rulebook:
    """What stands on nuts, its assessments made to cover fasteners that are pressed where the fixture stands off."""
    families = {}
    for name, family in rulebook.families.items():
        if family["mechanism"] == "headed_fastener":
            continue  # welded to the plate, a stud holds it on no nuts
        assessment = family["assessment"]
        covers = {**assessment["covers"], "stand_off_compression": True}
        families[name] = {**family, "assessment": {**assessment, "covers": covers}}
    return replace(rulebook, families=families)


def test_both_find_the_same_where_fasteners_are_pressed(rulebook: Rulebook) -> None:
    """Numbers: a swaying bar of finite elements, bent from the start as curve c of EN 1993-1-1 says (from memory)."""
    covered, compared = pressed_as_well(rulebook), {"steel_compression": 0, "steel_shear_lever_arm": 0}
    for seed in range(NUMBER_OF_PRESSED):
        request = standing_off(seed, covered.families)
        answer, other = verify(request, covered), second(request, covered)
        assert without_plate(answer) == other.verdict, (seed, other.no_resistance, other.outside, other.unmet)
        ours = worst(answer["checks"])
        assert ours == pytest.approx(other.worst(), rel=RELATIVE), seed
        for mode in {mode for mode, _ in ours} & compared.keys():
            compared[mode] += 1
    assert min(compared.values()) > NUMBER_OF_PRESSED / 10


def test_engine_finds_the_same_fastener_forces(compared: tuple[Mapping[str, Any], Outcome]) -> None:
    answer, other = compared
    if other.outside or other.no_resistance:
        assert answer["checks"] == []
        return
    others = {(f.load_case, f.combination): f for f in other.forces}
    assert sorted((f["load_case"], f["combination"]) for f in answer["fastener_forces"]) == sorted(others)
    for published in answer["fastener_forces"]:
        forces = others[published["load_case"], published["combination"]]
        sheared = [forces.shear.size(i) for i in range(len(forces.shear.forces))]
        scale = max(*map(abs, forces.axial.tension), forces.axial.compression, *sheared) / 1e3
        for fastener in published["fasteners"]:
            i = fastener["number"] - 1
            assert fastener["tension_kn"] == pytest.approx(forces.axial.tension[i] / 1e3, abs=RELATIVE * scale)
            assert fastener["shear_x_kn"] == pytest.approx(forces.shear.forces[i][0] / 1e3, abs=RELATIVE * scale)
            assert fastener["shear_y_kn"] == pytest.approx(forces.shear.forces[i][1] / 1e3, abs=RELATIVE * scale)
        compression = 0.0 if published["contact"] is None else published["contact"]["compression_kn"]
        assert compression == pytest.approx(forces.axial.compression / 1e3, abs=RELATIVE * scale)


def test_random_fixings_meet_every_mechanism_and_mode(rulebook: Rulebook) -> None:
    """The comparison means something only if the sample is wide."""
    requests = [random_fixing(seed, rulebook.families) for seed in range(NUMBER_OF_FIXINGS)]
    mechanisms = {rulebook.families[r["fastener"]["family"]]["mechanism"] for r in requests}
    assert mechanisms == {f["mechanism"] for f in rulebook.families.values()}
    outcomes = [second_of(seed) for seed in range(NUMBER_OF_FIXINGS)]
    assert {c.mode for o in outcomes for c in o.checks} == MODES
    assert {o.verdict for o in outcomes} == {"verified", "not_verified", "outside_scope"}
    assert sum(bool(o.checks) for o in outcomes) >= 300
    assert all(math.isfinite(c.utilisation) for o in outcomes for c in o.checks)
