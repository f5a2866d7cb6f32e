"""The site reduction explained: what each condition costs, and which improvement gains most."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.contract.label_codes import ImprovementCode
from service.contract.wanted import Site
from service.rulebook import Rulebook
from service.site.labels.site_improvements import explained, improvements, least_favourable_mechanism
from service.verification.assumptions import Assumptions
from service.verification.refusal import RefusedRequest
from service.verification.requirements import site_above_floor
from service.verification.site_reduction import site_reduction
from service.verification.statements import sentence
from tests.shipped import shipped_rules

RULEBOOK = shipped_rules()
CONDITIONS = RULEBOOK.factors["site-conditions"]["conditions"]
BEST = {
    "torque_control": "calibrated_wrench",
    "strength_evidence": "documented",
    "hole_cleaning": "verified",
    "installer": "trained",
    "drilling": "hammer",
}
MECHANISMS = tuple(dict.fromkeys(name for condition in CONDITIONS.values() for name in condition["applies_to"]))
sites = st.fixed_dictionaries(
    {}, optional={name: st.sampled_from([*condition["values"], None]) for name, condition in CONDITIONS.items()}
)


def reduction(site: Any, mechanism: str) -> float:
    return site_reduction(Site.of(site), mechanism, RULEBOOK, Assumptions()).factor


def test_a_calibrated_torque_wrench_gains_11_percent() -> None:
    """By hand: 1/0.9 = 1.111."""
    [improvement] = improvements(Site(BEST | {"torque_control": "by_feel"}), RULEBOOK, "torque_controlled_expansion")
    assert improvement.gain == pytest.approx(0.1111, abs=1e-4)
    assert sentence(improvement.statement) == (
        "How the tightening torque is controlled: calibrated wrench in place of by feel: +11 %"
    )
    figures = improvement.statement.figures
    assert (
        (figures["better"], figures["value"])
        == ("calibrated_wrench", "by_feel")
        == (improvement.better, improvement.value)
    )


def test_a_site_at_its_best_has_nothing_to_gain() -> None:
    assert improvements(Site(BEST), RULEBOOK, "bonded") == ()


def test_what_does_not_matter_to_the_mechanism_gains_nothing() -> None:
    assert improvements(Site(BEST | {"torque_control": "by_feel"}), RULEBOOK, "headed_fastener") == ()


def test_the_improvement_that_gains_most_comes_first() -> None:
    """By hand: 0.85 · 0.85 · 0.7 · 0.85 · 0.8 is 0.344, under the floor of 0.4; one 0.85 less is 0.405."""
    found = improvements(Site(), RULEBOOK, "bonded")
    assert found[0].condition == "hole_cleaning"
    assert found[0].reduction == pytest.approx(0.85**3 * 0.8)
    assert [improvement.gain for improvement in found] == sorted((i.gain for i in found), reverse=True)


def test_an_improvement_gains_its_own_ratio_whatever_the_floor() -> None:
    """By hand: 0.85 · 0.85 · 0.7 · 0.95 · 0.8 is 0.384; 1/0.95 and 1/0.7 are what is gained."""
    found = {one.condition: one for one in improvements(Site({"installer": "supervised"}), RULEBOOK, "bonded")}
    assert found["installer"].gain == pytest.approx(1 / 0.95 - 1)
    assert found["hole_cleaning"].gain == pytest.approx(1 / 0.7 - 1)
    assert sentence(found["hole_cleaning"].statement).endswith(": +43 %")


def test_an_improvement_that_stays_below_the_floor_says_so() -> None:
    """By hand: 0.85 · 0.85 · 0.7 · 0.85 · 0.8 with any one of them at 1 stays under 0.9."""
    rulebook = replace(RULEBOOK, document={**RULEBOOK.document, "site_reduction": {"floor": 0.9}})
    found = improvements(Site(), rulebook, "bonded")
    assert found[0].condition == "hole_cleaning"
    assert sentence(found[0].statement).endswith(": +43 %; still 0.49, below the floor of 0.9")
    assert {one.statement.code for one in found} == {ImprovementCode.GAINS_BELOW_FLOOR}


def floored(floor: float, site: dict[str, Any], family: str | None = None) -> str:
    rulebook = replace(RULEBOOK, document={**RULEBOOK.document, "site_reduction": {"floor": floor}})
    request = {"site": site, "rulebook": RULEBOOK.version, "assessed_on": "2026-11-25"}
    request |= {"mechanism": "bonded"} if family is None else {"family": family}
    [text] = [one["text"] for one in explained(request, rulebook)["cautions"] if one["code"] == "site_reduction_floor"]
    return str(text)


def test_below_the_floor_it_is_said_that_nothing_is_verified() -> None:
    """By hand: 0.85 · 0.85 · 0.7 · 0.85 · 0.8 is 0.344, and 0.49 with a hole that is known to be clean."""
    text = floored(0.4, {})
    assert text.startswith(
        "The site factors multiply to 0.34, below the rulebook's floor of 0.4: nothing is verified and no sheet is "
        "given. Improve the site and ask again before fixing anything. The best single improvement: "
    )
    assert "Not known: how the tightening torque is controlled, what shows the strength of the concrete, " in text
    assert "who has seen the hole clean, who sets the fasteners, how the hole is drilled." in text
    assert "together" not in text


def test_where_no_single_improvement_is_enough_those_that_do_together_are_named() -> None:
    """By hand: 0.344/0.7/0.8 is 0.61, over 0.6; 0.344/0.7/0.85 would be 0.58."""
    text = floored(0.6, {})
    assert "No single improvement is enough; these together bring it to 0.61: who has seen the hole clean, " in text
    assert "how the hole is drilled." in text
    assert "these together bring it to 1:" in floored(1.0, {})
    # Its assessment names no torque, so a tightening tool is never read, and never wholly known.
    assert "No improvement that the rulebook knows brings it to the floor" in floored(1.0, {}, "screw-zinc")


def test_a_verification_says_the_same_of_its_floor() -> None:
    found = site_reduction(Site(), "bonded", RULEBOOK, Assumptions())
    [asked] = site_above_floor(found)
    assert f"its factors multiply to {found.factor:.3g}, below the rulebook's floor of 0.4" in sentence(asked.statement)
    assert sentence(asked.statement).partition("not known")[2] == floored(0.4, {}).partition("Not known")[2].rstrip(".")
    assert list(site_above_floor(replace(found, floor=found.factor))) == []


@settings(max_examples=100, deadline=None)
@given(site=sites, mechanism=st.sampled_from(MECHANISMS))
def test_the_gain_is_what_the_site_reduction_becomes(site: dict[str, Any], mechanism: str) -> None:
    now = reduction(site, mechanism)
    for improvement in improvements(Site.of(site), RULEBOOK, mechanism):
        then = reduction(site | {improvement.condition: improvement.better}, mechanism)
        assert improvement.reduction == pytest.approx(then)
        assert improvement.gain == pytest.approx(then / now - 1, abs=1e-9)
        assert improvement.better_factor > improvement.factor
        assert improvement.gain > 0
        below = then < RULEBOOK.document["site_reduction"]["floor"] - 1e-9
        assert (improvement.statement.code is ImprovementCode.GAINS_BELOW_FLOOR) is below


@settings(max_examples=50, deadline=None)
@given(site=sites)
def test_the_mechanism_taken_for_an_unknown_one_is_never_favourable(site: dict[str, Any]) -> None:
    taken = reduction(site, least_favourable_mechanism(Site.of(site), RULEBOOK))
    assert taken == min(reduction(site, mechanism) for mechanism in MECHANISMS)


def test_a_family_stands_for_its_mechanism() -> None:
    request = {"site": {}, "family": "bolt-expansion-stainless", "assessed_on": "2026-11-25"}
    found = explained(request, RULEBOOK)
    assert found["mechanism"] == "torque_controlled_expansion"
    assert {part["condition"] for part in found["site_reduction"]["parts"]} == set(CONDITIONS)


def test_an_unknown_family_is_refused_with_those_known() -> None:
    with pytest.raises(RefusedRequest, match=r"known are .*bolt-expansion-stainless"):
        explained({"family": "nail", "assessed_on": "2026-11-25"}, RULEBOOK)


WITHOUT_TORQUE = "screw-zinc"
"""A family of the demonstration whose assessment names no torque for any size, and an impact driver for each."""


def of_family(family: str, site: dict[str, Any], rulebook: Rulebook = RULEBOOK) -> dict[str, Any]:
    request = {"site": site, "family": family, "assessed_on": "2026-11-25", "rulebook": rulebook.version}
    return {one["condition"]: one for one in explained(request, rulebook)["improvements"]}


@pytest.mark.parametrize(("now", "better"), [("impact_driver_set", None), ("by_feel", "impact_driver_set")])
def test_a_wrench_is_not_offered_to_a_family_without_a_torque(now: str, better: str | None) -> None:
    found = of_family(WITHOUT_TORQUE, BEST | {"torque_control": now})
    assert [one["better"] for one in found.values()] == ([] if better is None else [better])
    [known] = of_family("bolt-expansion-zinc", BEST | {"torque_control": now}).values()
    assert known["better"] == "calibrated_wrench"


def test_a_wrench_is_offered_with_the_sizes_that_it_does_nothing_for() -> None:
    family = dict(RULEBOOK.families[WITHOUT_TORQUE])
    size = family["sizes"]["6"]
    family["sizes"] = {**family["sizes"], "6": {**size, "setting": {**size["setting"], "installation_torque_nm": 12}}}
    rulebook = replace(RULEBOOK, families={**RULEBOOK.families, WITHOUT_TORQUE: family})
    [found] = of_family(WITHOUT_TORQUE, BEST | {"torque_control": "by_feel"}, rulebook).values()
    others = ", ".join(size for size in family["sizes"] if size != "6")
    assert found["words"].endswith(f"+11 %; not for {others}, the assessment names no torque")
