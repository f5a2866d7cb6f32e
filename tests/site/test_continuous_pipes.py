"""A pipe over its real spans, a rail over its real posts, and posts at corners.

Sources: coefficients of continuous beams under an even load as tables of statics print them (from memory); a second
calculation by the stiffness method with numpy's solver, written here; the rest worked by hand.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.rulebook import Rulebook
from service.site.load_models import load_cases
from service.site.load_models.continuous_beam import reactions
from service.site.load_models.spans import Side, carried, carried_at_the_end
from service.verification.refusal import RefusedRequest
from tests.shipped import shipped_rules

RULEBOOK = shipped_rules()
few = settings(max_examples=30, deadline=None)
spans = st.floats(200, 6000).map(round)
PIPE = {"surface": "wall", "axis_off_surface_mm": 100, "mass_per_metre_kg": 100 / 9.80665, "held": "sliding_guide"}


def with_longest_span(span_mm: float | None) -> Rulebook:
    """Our rules with another longest span of pipes, or, as up to 2026.6.0, with none."""
    group = {name: entry for name, entry in RULEBOOK.factors["load-models"].items() if name != "longest_pipe_span"}
    if span_mm is not None:
        source = {"document": "a test", "table": "none", "transcribed_by": "one", "checked_by": "another"}
        group["longest_pipe_span"] = {"span_mm": span_mm, "reason": "a test", "source": source}
    return replace(RULEBOOK, factors={**RULEBOOK.factors, "load-models": group})


OPEN = with_longest_span(None)


def answer(model: str, rules: Rulebook = OPEN, /, **inputs: Any) -> dict[str, Any]:
    return load_cases(model, {**inputs, "assessed_on": "2026-11-25"}, rules)


def value(found: dict[str, Any], symbol: str) -> float:
    [step] = [step for step in found["working"] if step["symbol"] == symbol]
    number: float = step["value"]
    return number


def codes(found: dict[str, Any], part: str) -> set[str]:
    return {one["code"] for one in found[part]}


def by_stiffness(
    lengths: list[float], *, clamped: tuple[bool, bool] = (False, False), only: int | None = None
) -> list[float]:
    """Reactions of a beam under 1 a mm, or of that on one span, by rotations at the supports (EI = 1)."""
    count = len(lengths) + 1
    loads = [1.0 if only in {None, i} else 0.0 for i in range(len(lengths))]
    stiffness, fixed_end = np.zeros((count, count)), np.zeros(count)
    for i, span in enumerate(lengths):
        stiffness[i : i + 2, i : i + 2] += np.array([[4, 2], [2, 4]]) / span
        fixed_end[i : i + 2] += loads[i] * np.array([-1, 1]) * span**2 / 12
    free = [i for i in range(count) if not (clamped[0] and i == 0) and not (clamped[1] and i == count - 1)]
    turned = np.zeros(count)
    turned[free] = np.linalg.solve(stiffness[np.ix_(free, free)], -fixed_end[free])
    forces = np.zeros(count)
    for i, span in enumerate(lengths):
        start = (4 * turned[i] + 2 * turned[i + 1]) / span - loads[i] * span**2 / 12
        end = (2 * turned[i] + 4 * turned[i + 1]) / span + loads[i] * span**2 / 12
        forces[i] += loads[i] * span / 2 - (start + end) / span
        forces[i + 1] += loads[i] * span / 2 + (start + end) / span
    return [float(force) for force in forces]


@pytest.mark.parametrize(
    ("count", "shares"),
    [
        (1, [0.5, 0.5]),
        (2, [0.375, 1.25, 0.375]),
        (3, [0.4, 1.1, 1.1, 0.4]),
        (4, [0.393, 1.143, 0.929, 1.143, 0.393]),
        (5, [0.395, 1.132, 0.974, 0.974, 1.132, 0.395]),
    ],
)
def test_equal_spans_give_the_coefficients_of_the_tables(count: int, shares: list[float]) -> None:
    assert reactions([1.0] * count, [1.0] * count) == pytest.approx(shares, abs=5e-4)


@few
@given(lengths=st.lists(spans, min_size=1, max_size=5), ends=st.tuples(st.booleans(), st.booleans()))
def test_reactions_are_those_of_the_stiffness_method(lengths: list[float], ends: tuple[bool, bool]) -> None:
    wanted = by_stiffness(lengths, clamped=ends)
    beam = [0.0] * ends[0] + lengths + [0.0] * ends[1]
    inner = range(1, len(lengths)) if any(ends) else range(len(lengths) + 1)
    found = reactions(beam, [1.0] * len(beam))
    for support in inner:
        assert found[support + ends[0]] == pytest.approx(wanted[support], rel=1e-6, abs=1e-6 * sum(lengths))


@few
@given(beside=st.tuples(spans, spans), beyond=st.tuples(spans, spans), further=st.tuples(spans, spans))
def test_what_is_not_known_beyond_is_never_less_than_what_stands_there(
    beside: tuple[float, float], beyond: tuple[float, float], further: tuple[float, float]
) -> None:
    """Six spans, none further on longer than those before: the most over what may stand beyond is no less."""
    longest = max(*beside, *beyond)
    lengths = [min(further[0], longest), beyond[0], beside[0], beside[1], beyond[1], min(further[1], longest)]
    real = by_stiffness(lengths)[3]
    known = carried((Side(beside[0], beyond[0]), Side(beside[1], beyond[1])), runs_on=True)
    assert known.pipe >= real * (1 - 1e-9)
    longest = max(beside)
    lengths = [min(span, longest) for span in (further[0], beyond[0], *beside, beyond[1], further[1])]
    assert carried((Side(beside[0]), Side(beside[1])), runs_on=True).pipe >= by_stiffness(lengths)[3] * (1 - 1e-9)


@pytest.mark.parametrize(
    ("one", "other", "longest"),
    [
        ((500, 1000), (2000,), 4000),
        ((500, 1000), (500,), 4000),
        ((200, 200), (200, 200), 4000),
        ((300, 500), (1500, 600), 2500),
        ((2000, 1000), (2000, 3000), 3000),
        ((500,), (2000,), 4000),
        ((3000, 2000), (200, 3000), 4000),
    ],
)
def test_no_spans_past_those_told_load_a_support_more_or_lift_it_more(
    one: tuple[float, ...], other: tuple[float, ...], longest: float
) -> None:
    """Ends, clamps, long spans, short ones and long ones on both sides, each way; own beam, stiffness method.

    Where the span beyond was told only long spans stood past it: 0.5 m and 2 m with 1 m beyond told 334 mm of lift,
    where 1.333 m and 4 m past that give 587 mm.
    """
    shorts = [longest * 0.9**step for step in range(1, 26, 2)]
    past: list[list[float]] = [[], [longest], [longest, longest], *([short, longest] for short in shorts)]
    past += [[short, longest, share * longest, longest] for short in shorts[3:9] for share in (0.4, 0.6)]
    beams = [([*reversed(left), *reversed(one), *other, *right], len(left)) for left, right in product(past, repeat=2)]
    found = carried((Side(*one), Side(*other)), runs_on=True, longest_mm=longest)
    real = [by_stiffness(beam)[len(one) + before] for beam, before in beams]
    assert max(real) <= found.pipe + 0.01 * abs(found.pipe)
    assert min(real) >= found.least - 0.01 * abs(found.least)
    by_span = (
        [by_stiffness(beam, only=span)[len(one) + before] for span in range(len(beam))] for beam, before in beams[::7]
    )
    assert max(sum(length for length in each if length > 0) for each in by_span) <= 1.01 * found.filling
    # No lift is told either that no spans bring about.
    assert found.least >= min(real) - 0.01 * abs(min(real))
    jointed = carried((Side(*one), Side(*other)), runs_on=False, longest_mm=longest)
    ends = [[by_stiffness([*side, *further])[0] for further in past] for side in (one, other)]
    assert sum(map(max, ends)) <= jointed.pipe + 0.01 * abs(jointed.pipe)
    assert sum(map(min, ends)) >= jointed.least - 0.01 * abs(jointed.least)


def test_a_short_span_and_a_long_one_past_the_span_beyond_lift_a_support() -> None:
    """4 m, 1.333 m, 1 m, 0.5 m, here, 2 m, 4 m: 587 mm of lift; own beam, stiffness method."""
    assert by_stiffness([4000, 4000 / 3, 1000, 500, 2000, 4000])[4] == pytest.approx(-587, abs=1)
    spans = {"span_mm": 500, "other_span_mm": 2000, "span_beyond_mm": 1000}
    assert -610 < value(answer("pipe_clamp", with_longest_span(4000), **spans, **PIPE), "l_u") <= -587


@few
@given(beside=st.tuples(spans, spans), beyond=st.tuples(spans, spans))
def test_what_ends_here_may_be_turned_by_spans_as_long_as_those_of_the_other_side(
    beside: tuple[float, float], beyond: tuple[float, float]
) -> None:
    """Jointed here: of each side the end of its own beam, what stands beyond no longer than the longest told."""
    longest = max(beside)
    ends = [by_stiffness([near, min(far, longest)])[0] for near, far in zip(beside, beyond, strict=True)]
    found = carried((Side(beside[0]), Side(beside[1])), runs_on=False)
    assert found.pipe >= sum(ends) * (1 - 1e-9)
    assert found.pipe >= sum(beside) / 2
    assert found.least <= sum(by_stiffness([near, longest])[0] for near in beside) + 1e-6
    assert found.least <= sum(beside) / 2


def test_two_equal_spans_carry_ten_eighths_as_before() -> None:
    found = answer("pipe_clamp", span_mm=3000, other_span_mm=3000, **PIPE)
    assert value(found, "l_G") == 3750
    assert value(found, "m_t") == pytest.approx(3.75 * 100 / 9.80665, rel=1e-5)


def test_a_short_span_beside_a_long_one_pries_on_the_support() -> None:
    """4 m beside 0.4 m, the pipe ending at both next supports: the longest span times 1.25 is 5.0 m, and was taken.

    By hand: M = q·(4³ + 0.4³)/(8·4.4) = 1.82·q; 2.2·q + M·(1/4 + 1/0.4) = 7.205·q. Clamped at the near support:
    4.4·2·M + 0.4·N = (64 + 0.064)/4 and 0.8·N + 0.4·M = 0.016 give M = 1.8614, N = −0.9107;
    and 2.2 + 1.8614/4 + 2.7721/0.4 = 9.5956.
    """
    ends = carried((Side(4000), Side(400)), runs_on=True)
    assert reactions([4000, 400], [1, 1])[1] == pytest.approx(7205, rel=1e-4)
    assert reactions([4000, 400, 0], [1, 1, 1])[1] == pytest.approx(9595.6, rel=1e-4)
    # A short span and a long one beyond turn the near support still more.
    turned = max(by_stiffness([4000, 400, share * 4000, 4000])[1] for share in (0.1, 0.25, 0.5))
    assert ends.pipe >= max(9595, turned)
    found = answer("pipe_clamp", span_mm=4000, other_span_mm=400, **PIPE)
    assert value(found, "G_k") + value(found, "Q_k") >= 0.9595
    assert "next_support_lifts" in codes(found, "cautions")


def test_what_stands_beyond_eases_a_support_once_it_is_known() -> None:
    """4 m, 0.4 m, then 4 m: the second long span presses the near support down again (statics)."""
    open_ = carried((Side(4000), Side(400)), runs_on=True).pipe
    known = carried((Side(4000, 4000), Side(400, 4000)), runs_on=True).pipe
    assert known < open_
    assert "next_support_lifts" not in codes(
        answer("pipe_clamp", span_mm=4000, other_span_mm=4000, span_beyond_mm=4000, other_span_beyond_mm=4000, **PIPE),
        "cautions",
    )


def test_the_last_support_of_a_short_end_is_lifted() -> None:
    """0.5 m to the next support and 3 m beyond, jointed here: q·l/2 − q·(l³ + L³)/(8·l·(l + L)), by hand.

    0.25 − (0.125 + 27)/(8·0.5·3.5) = −1.6875 m of pipe on that side; clamped beyond, 2·3.5·M + 3·N = 27.125/4 and
    6·N + 3·M = 27/4 give M = 0.6193: 0.25 − 1.2386 = −0.989.
    """
    side = carried((Side(500, 3000), Side(500, 3000)), runs_on=False)
    assert side.least == pytest.approx(2 * -1687.5, rel=1e-4)
    found = answer(
        "pipe_clamp", span_mm=500, other_span_mm=500, span_beyond_mm=3000, other_span_beyond_mm=3000,
        support="jointed", **PIPE,
    )  # fmt: skip
    assert "this_support_lifts" in codes(found, "cautions")
    [lifted] = [entry for entry in found["situations"] if entry["situation"] == "half-filled pipe lifts here"]
    # Half full the spans beside it are empty, 2·27/(8·0.5·3.5) = 3.857 m; a fifth of the weight is the pipe's own.
    assert side.least_filling == pytest.approx(-3857.1, rel=1e-4)
    assert lifted["variable"]["shear_y_kn"] == pytest.approx(0.1 * (0.2 * 3.375 + 0.8 * 3.8571), rel=1e-4)


@few
@given(beside=st.tuples(spans, spans), beyond=st.tuples(spans, spans), further=st.tuples(spans, spans))
def test_a_pipe_that_is_filled_in_part_lifts_no_more_than_is_found(
    beside: tuple[float, float], beyond: tuple[float, float], further: tuple[float, float]
) -> None:
    """Six spans, each filled where that lifts the middle: by the stiffness method, a span at a time."""
    longest = max(*beside, *beyond)
    lengths = [min(further[0], longest), beyond[0], beside[0], beside[1], beyond[1], min(further[1], longest)]
    worst = sum(min(by_stiffness(lengths, only=i)[3], 0.0) for i in range(len(lengths)))
    found = carried((Side(beside[0], beyond[0]), Side(beside[1], beyond[1])), runs_on=True)
    assert found.least_filling <= worst + 1e-9 * sum(lengths)
    assert found.least_filling <= found.least


def test_a_half_filled_pipe_lifts_a_support_that_a_full_and_an_empty_one_load() -> None:
    """1 m beside this support and 2 m beyond, on both sides: by the stiffness method, a span at a time."""
    lengths = [2000.0, 1000.0, 1000.0, 2000.0]
    each = [by_stiffness(lengths, only=i)[2] for i in range(4)]
    found = carried((Side(1000, 2000), Side(1000, 2000)), runs_on=True)
    assert found.least_filling == pytest.approx(sum(min(one, 0.0) for one in each), rel=1e-9)
    assert found.least_filling < 0.0 < found.least
    spans_told = {"span_mm": 1000, "other_span_mm": 1000, "span_beyond_mm": 2000, "other_span_beyond_mm": 2000}
    pipe = PIPE | {"mass_per_metre_kg": 50, "empty_mass_per_metre_kg": 20}
    told = answer("pipe_clamp", **spans_told, **pipe)
    [lifted] = [one for one in told["situations"] if one["situation"] == "half-filled pipe lifts here"]
    assert lifted["variable"]["shear_y_kn"] > 0.0
    assert value(told, "Q_u") == pytest.approx(30 * value(told, "l_v") / 1000 * 9.80665 / 1000, rel=1e-5)
    assert "this_support_lifts" in codes(told, "cautions")
    even = {**dict.fromkeys(spans_told, 2000), **pipe}
    assert "this_support_lifts" not in codes(answer("pipe_clamp", **even), "cautions")


@pytest.mark.parametrize("surface", ["soffit", "wall"])
def test_rods_swing_across_the_pipe_too(surface: str) -> None:
    """A tenth of 10/8 of 2 m · 100 N/m, any way: under a slab aside, at a wall off it. It was along the pipe alone."""
    pipe = PIPE | {"surface": surface, "held": "swinging_rod"}
    found = answer("pipe_clamp", span_mm=2000, other_span_mm=2000, **pipe)
    across = "shear_y_kn" if surface == "soffit" else "normal_kn"
    most = {name: max(abs(entry["variable"][name]) for entry in found["situations"]) for name in ("shear_x_kn", across)}
    assert most == {name: pytest.approx(0.025, rel=1e-5) for name in most}
    guided = answer("pipe_clamp", span_mm=2000, other_span_mm=2000, **pipe | {"held": "sliding_guide"})
    assert {entry["variable"][across] for entry in guided["situations"]} == {0.0}


def test_a_support_that_nobody_knows_may_swing_as_well_as_be_clamped() -> None:
    pipe = {name: given for name, given in PIPE.items() if name != "held"}
    found = answer("pipe_clamp", span_mm=2000, other_span_mm=2000, **pipe)
    names = {entry["situation"] for entry in found["situations"]}
    assert {"full pipe, pushed along one way", "full pipe, swinging 22.5° in xy"} <= names
    assert (value(found, "k_A"), value(found, "k_S")) == (0.5, 0.1)


POST = {"mounting": "top", "line_load_kn_per_m": 1.0, "rail_height_mm": 1000, "post_spacing_mm": 1200}


def test_a_corner_post_takes_both_its_rails_at_once() -> None:
    """Half of 1.2 m outwards and half of 0.8 m aside, either way: 0.6 and 0.4 kN at 1 m, times 1.5, by hand."""
    found = answer("guardrail_post", post="corner", other_post_spacing_mm=800, **POST)
    taken = {
        tuple(case[name] for name in ("shear_x_kn", "shear_y_kn", "moment_x_knm", "moment_y_knm"))
        for case in found["load_cases"]
    }
    assert taken == {(sign * 0.9, turn * 0.6, -turn * 0.6, sign * 0.9) for sign, turn in product((1, -1), repeat=2)}
    side = POST | {"mounting": "side", "fixing_below_floor_mm": 100, "post_off_face_mm": 60, "mass_kg": 20}
    at_the_face = answer("guardrail_post", post="corner", other_post_spacing_mm=800, **side)
    assert {abs(case["shear_x_kn"]) for case in at_the_face["load_cases"]} == {0.6, 0}


def test_a_rail_with_a_post_close_by_loads_the_next_one_as_a_beam_does() -> None:
    """1.2 m beside 0.15 m: clamped at the near post that is more than 10/8 of the longer span, which was taken."""
    found = answer("guardrail_post", other_post_spacing_mm=150, **POST)
    assert value(found, "l") == pytest.approx(carried((Side(1200), Side(150)), runs_on=True).filling, rel=1e-5)
    assert value(found, "l") > 1.25 * 1200
    assert value(answer("guardrail_post", **POST), "l") == 1.25 * 1200


def test_people_lean_on_the_spans_that_load_a_post_most_and_on_no_other() -> None:
    """2 m beside 1 m: 2 219 mm, where all spans loaded give 2 196 mm; by three moments, worked by a second engineer."""
    found = answer("guardrail_post", **(POST | {"post_spacing_mm": 1000}), other_post_spacing_mm=2000)
    assert value(found, "l") == pytest.approx(2219, abs=0.6)


def test_posts_at_both_ends_of_a_rail_carry_half_each() -> None:
    assert value(answer("guardrail_post", post="end", **POST), "Q_k") == 0.6


def test_a_support_that_ends_a_short_span_is_lifted_by_one_as_long_as_the_other_side() -> None:
    """0.5 m on one side, 3 m on the other, jointed here: 3 m may stand beyond the short span too, and lift its side.

    By hand 0.25 − 27.125/(8·0.5·3.5) = −1.6875 m, and half of 3 m less the hogging of 3 m beyond: 1.5 − 0.375 = 1.125.
    """
    side = carried((Side(500), Side(3000)), runs_on=False)
    assert side.least == pytest.approx(-1687.5 + 1125, rel=1e-4)
    found = answer("pipe_clamp", span_mm=500, other_span_mm=3000, support="jointed", **PIPE)
    assert "this_support_lifts" in codes(found, "cautions")


def test_how_long_spans_beyond_may_be_is_said_and_that_longer_ones_lift() -> None:
    """1 m on both sides; 6 m beyond both lifts the support by 10.78 m of pipe, by the stiffness method."""
    known = carried((Side(1000, 6000), Side(1000, 6000)), runs_on=True)
    real = by_stiffness([6000, 1000, 1000, 6000])[2]
    assert [known.least, real] == pytest.approx([-10778, -10778], abs=1)
    found = answer("pipe_clamp", span_mm=1000, other_span_mm=1000, **PIPE)
    [limit] = [one for one in found["assumptions"] if one["code"] == "no_longer_span"]
    assert limit["figures"] == {"longest_mm": 1000}
    assert "longer_span_may_lift" in codes(found, "cautions")
    beyond = answer(
        "pipe_clamp", span_mm=1000, other_span_mm=1000, span_beyond_mm=900, other_span_beyond_mm=900, **PIPE
    )
    assert "longer_span_may_lift" not in codes(beyond, "cautions")
    assert "no_longer_span" in codes(beyond, "assumptions")


def test_a_span_that_is_not_told_is_taken_as_the_first_and_that_is_said() -> None:
    found = answer("pipe_clamp", span_mm=1200, support="jointed", **PIPE)
    [alike] = [one for one in found["assumptions"] if one["code"] == "other_span_alike"]
    assert alike["figures"] == {"span_mm": 1200}
    told = answer("pipe_clamp", span_mm=1200, other_span_mm=1200, support="jointed", **PIPE)
    assert "other_span_alike" not in codes(told, "assumptions")


def test_a_side_that_is_not_told_may_have_a_span_as_long_as_the_company_has_them() -> None:
    """1 m on both sides and 6 m by the rules: the lift of 6 m beyond both, 10.78 m of pipe, is in the load cases.

    By hand for two sides alike: no slope over the middle, so M_0 = 1/8 − M_1/2 of q·m², and with three moments over the
    next support 14·M_1 + M_0 = 217/4, so M_1 = 4.0093 and M_0 = −1.8796; 1 − 2·5.8889 = −10.778. It was left out.
    """
    spans = {"span_mm": 1000, "other_span_mm": 1000}
    found = answer("pipe_clamp", with_longest_span(6000), **spans, **PIPE)
    assert value(found, "l_u") == pytest.approx(-10778, abs=1)
    assert "half-filled pipe lifts here" in {one["situation"] for one in found["situations"]}
    assert "this_support_lifts" in codes(found, "cautions")
    assert "longer_span_may_lift" not in codes(found, "cautions")
    [limit] = [one for one in found["assumptions"] if one["code"] == "no_longer_span_than_the_rules"]
    assert limit["figures"] == {"longest_mm": 6000}
    assert "no_longer_span" not in codes(found, "assumptions")
    [rule] = [step for step in found["working"] if step["symbol"] == "L_m"]
    assert (rule["value"], rule["rule"]) == (6000, "factors/load-models#/longest_pipe_span/span_mm")
    one_side = answer("pipe_clamp", with_longest_span(6000), **spans, span_beyond_mm=1000, **PIPE)
    assert value(found, "m_t") > value(one_side, "m_t") > value(answer("pipe_clamp", **spans, **PIPE), "m_t")


def test_what_was_told_beyond_counts_in_place_of_the_longest_span_of_the_rules() -> None:
    told = dict.fromkeys(("span_mm", "other_span_mm", "span_beyond_mm", "other_span_beyond_mm"), 1000)
    found = answer("pipe_clamp", with_longest_span(6000), **told, **PIPE)
    assert found["load_cases"] == answer("pipe_clamp", **told, **PIPE)["load_cases"]
    assert "no_longer_span" in codes(found, "assumptions")
    longer = {"span_mm": 3000, "other_span_mm": 2000}
    short = answer("pipe_clamp", with_longest_span(2500), **longer, **PIPE)
    assert short["load_cases"] == answer("pipe_clamp", **longer, **PIPE)["load_cases"]
    assert "no_longer_span" in codes(short, "assumptions")


@few
@given(beside=st.tuples(spans, spans), beyond=st.tuples(spans, spans), further=st.tuples(spans, spans))
def test_no_spans_as_long_as_the_rules_allow_load_a_support_more_or_lift_it_more(
    beside: tuple[float, float], beyond: tuple[float, float], further: tuple[float, float]
) -> None:
    """Six spans, those beyond the next supports at most 6 m (stiffness method)."""
    found = carried((Side(beside[0]), Side(beside[1])), runs_on=True, longest_mm=6000)
    real = by_stiffness([further[0], beyond[0], *beside, beyond[1], further[1]])[3]
    assert found.least - 1e-6 <= real <= found.pipe + 1e-6


def test_a_push_up_under_a_slab_is_told_for_a_fixing_that_stands_off_may_not_bear_it() -> None:
    """0.5 m beside 6 m on both sides: it was left out, as it only presses.

    By the stiffness method the empty pipe lifts by 24.794 m and the water of the far spans, 2·12.706 m, by more than
    when all are full: 1.35·4.863 + 1.5·7.476 = 17.78 kN.
    """
    spans = {"span_mm": 500, "other_span_mm": 500, "span_beyond_mm": 6000, "other_span_beyond_mm": 6000}
    pipe = {"surface": "soffit", "support": "runs_on", "axis_off_surface_mm": 300, "along_kn": 0}
    mass = {"mass_per_metre_kg": 50, "empty_mass_per_metre_kg": 20, "held": "sliding_guide"}
    found = answer("pipe_clamp", **mass, **spans, **pipe)
    assert min(case["normal_kn"] for case in found["load_cases"]) == pytest.approx(-17.7792, rel=1e-4)


def test_a_wire_along_the_rail_pulls_for_good_and_without_anybody_at_the_rail() -> None:
    """By hand: 6 kN at 1 m all of it for good; at a corner 6 of 6 + 0.6 kNm, where rail and wire pull one way."""
    wire = {"along_kn": 6}
    found = answer("guardrail_post", post="end", **POST, **wire)
    assert {case["sustained_share"] for case in found["load_cases"]} == {1}
    alone = [case for case in found["load_cases"] if "alone" in case["name"]]
    assert [(case["shear_x_kn"], case["shear_y_kn"]) for case in alone] == [(0, 9), (0, -9)]
    assert {action["sustained_share"] for action in found["actions"]} == {1}
    assert "wire_stays" in [one["code"] for one in found["assumptions"]]
    corner = answer("guardrail_post", post="corner", **POST, **wire)
    [both] = [
        case for case in corner["load_cases"]
        if case["name"].startswith("guard load outwards, other rail one way and along that one way,")
    ]  # fmt: skip
    assert both["sustained_share"] == pytest.approx(6 / 6.6, rel=1e-5)
    without = answer("guardrail_post", post="end", **POST)
    assert {case["sustained_share"] for case in without["load_cases"]} == {0}
    assert "wire_stays" not in [one["code"] for one in without["assumptions"]]


def test_people_beyond_the_next_post_push_the_last_one_the_other_way() -> None:
    """0.5 m, then 2 m loaded alone: M_1 = −q·2³/(8·2.5) = −0.4 q, and 0.4/0.5 = 0.8 q, by hand."""
    short = POST | {"post": "end", "post_spacing_mm": 500}
    found = answer("guardrail_post", **short, spacing_beyond_mm=2000)
    assert value(found, "l") == pytest.approx(800, abs=1)
    assert {case["shear_x_kn"] for case in found["load_cases"]} == {1.2, -1.2}
    outwards = answer("guardrail_post", **short, spacing_beyond_mm=2000, directions="outwards")
    assert min(case["shear_x_kn"] for case in outwards["load_cases"]) == pytest.approx(-1.2, rel=1e-3)
    assert max(case["shear_x_kn"] for case in outwards["load_cases"]) < 1.2
    told = {one["input"]: one for one in answer("guardrail_post", **short)["loads_from"]["told"]}
    assert (told["spacing_beyond_mm"]["number"], told["spacing_beyond_mm"]["taken"]) == (500, True)


@pytest.mark.parametrize("post", ["intermediate", "corner"])
def test_only_the_last_post_of_a_rail_has_a_post_after_the_next(post: str) -> None:
    with pytest.raises(RefusedRequest, match="must be left out") as raised:
        answer("guardrail_post", **POST, post=post, spacing_beyond_mm=900)
    assert [(one.pointer, one.code) for one in raised.value.errors] == [("#/spacing_beyond_mm", "conflict")]
    told = answer("guardrail_post", **POST, post=post, other_post_spacing_mm=800)["loads_from"]["told"]
    assert "spacing_beyond_mm" not in {one["input"] for one in told}


def test_a_rail_jointed_at_a_post_runs_on_over_those_beside_it() -> None:
    """0.5 m and 2 m: a third span as long as the second loads the end of the first with more than half of it."""
    found = answer("guardrail_post", **POST | {"post_spacing_mm": 500}, other_post_spacing_mm=2000, rail="jointed")
    ends = [carried_at_the_end(Side(mm, 2000)).filling for mm in (500, 2000)]
    assert value(found, "l") == pytest.approx(sum(ends), rel=1e-2)
    assert value(found, "l") > 1250
    alike = answer("guardrail_post", **POST, rail="jointed")
    assert value(alike, "l") == 1200


def test_a_longer_span_beyond_the_next_post_never_helps_the_last_one() -> None:
    lengths = [
        value(answer("guardrail_post", post="end", **POST, spacing_beyond_mm=beyond), "l")
        for beyond in (100, 600, 1200, 1800, 2400, 4800, 6000)
    ]
    assert lengths == sorted(lengths)
    assert lengths[0] == lengths[2] == 600
