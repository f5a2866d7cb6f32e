"""How utilisation follows actions, state of the concrete and site. Sources stand at each test."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tests.property.variations import (
    PROPERTY,
    ROUNDED,
    SEEDS,
    Request,
    changed,
    check,
    fixing,
    in_member,
    utilisations,
)
from tests.shipped import shipped_rules

if TYPE_CHECKING:
    from collections.abc import Mapping

COMPONENTS = ("normal_kn", "shear_x_kn", "shear_y_kn", "moment_x_knm", "moment_y_knm", "torsion_knm")


def scaled(request: Request, factor: float) -> Request:
    def scale(other: Request) -> None:
        for case in other["load_cases"]:
            case.update({name: factor * case[name] for name in COMPONENTS if name in case})

    return changed(request, scale)


@PROPERTY
@given(seed=SEEDS, factor=st.sampled_from([0.25, 2.0, 3.0]))
def test_utilisation_grows_with_the_actions(seed: int, factor: float) -> None:
    """Source: an elastic plate keeps its contact when all actions grow together; utilisation means growth."""
    # Others take over only up to a largest action of a point, so that a larger one may leave no check.
    request = changed(fixing(seed), lambda r: r["use"].pop("redundancy", None))
    once, more = utilisations(check(request)), utilisations(check(scaled(request, factor)))
    assert more == pytest.approx({key: factor * u for key, u in once.items()}, rel=ROUNDED, abs=1e-6)


@PROPERTY
@given(seed=SEEDS)
def test_cracked_never_beats_uncracked(seed: int) -> None:
    """Source: EN 1992-4:2018, 4.7. The one exception is splitting, which may be waived in cracked concrete."""
    request = fixing(seed)
    covers = shipped_rules().families[request["fastener"]["family"]]["assessment"]["covers"]
    assume(covers["cracked"] and covers["uncracked"])
    cracked, uncracked = (utilisations(check(in_member(request, state=s))) for s in ("cracked", "uncracked"))
    waived = {key for key in uncracked if key not in cracked}
    assert {mode for _, mode, _ in waived} <= {"splitting"}
    for key, utilisation in cracked.items():
        if key[1] == "interaction_concrete" and waived:
            continue  # contains the splitting that was waived
        assert uncracked[key] <= utilisation * (1 + ROUNDED), key


def best_value(values: Mapping[str, Any]) -> str:
    return max(values, key=lambda name: values[name]["factor"])


def plain_ratios(answer: Mapping[str, Any]) -> list[float]:
    """Action over design resistance, which the site leaves alone."""
    checks = [c for c in answer["checks"] if c["design_resistance_kn"]]
    return [c["design_action_kn"] / c["design_resistance_kn"] for c in checks]


@PROPERTY
@given(seed=SEEDS)
def test_site_factor_below_one_never_raises_a_resistance(seed: int) -> None:
    """Source: company rule (rulebook, factors/site-conditions.json); the reduction divides resistance in every mode."""
    conditions = shipped_rules().factors["site-conditions"]["conditions"]
    request = fixing(seed)
    methods = shipped_rules().families[request["fastener"]["family"]]["installation"]["drilling_methods"]
    best = {name: best_value(condition["values"]) for name, condition in conditions.items()}
    best["drilling"] = "hammer" if "hammer" in methods else "unknown"
    sure = check(changed(request, lambda r: r.update(site=best)))
    unsure = check(request)
    factor = unsure["site_reduction"]["factor"] / sure["site_reduction"]["factor"]
    assert factor <= 1.0
    expected = {key: u / factor for key, u in utilisations(sure).items()}
    assert utilisations(unsure) == pytest.approx(expected, rel=ROUNDED, abs=1e-6)
    unreduced = [plain_ratios(answer) for answer in (sure, unsure)]
    assert unreduced[1] == pytest.approx(unreduced[0], rel=ROUNDED)
