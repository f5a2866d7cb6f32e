"""More concrete never lowers a concrete resistance, all else equal.

Source: EN 1992-4:2018, its equations (from memory). Where its own formula falls as a quantity grows, the case is left
out here and listed:

- bond, spacing: psi_g of close bonded fasteners falls faster than their area grows; likewise psi_g of blow-out;
- bond, embedment: near edges s_cr,Np = 3 h_ef grows with the depth, and with it the area that the edges take;
- blow-out, embedment: a deeper head stands nearer the far face, which cuts its area;
- any mode, spacing: fasteners that no longer touch are verified apart, and the part nearest an edge may then
  govern;
- concrete edge, distance to that edge, near a corner: in a thin member the area hardly grows with c_1 any more, while
  psi_s,V, alpha and beta fall;
- narrow members (three or more near edges): h'_ef and c'_1 jump between the rules for them.

Actions pass through the centre of the fasteners, so that tensions and shears don't depend on the stiffness of the
concrete; a utilisation under the same action that doesn't rise is a resistance that doesn't fall.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from hypothesis import assume, given
from hypothesis import strategies as st

from tests.property.variations import (
    CONCRETE_MODES,
    EDGES,
    PROPERTY,
    ROUNDED,
    SEEDS,
    Request,
    changed,
    check,
    evenly_loaded,
    in_member,
    near_edges,
    utilisations,
    with_family,
)
from tests.shipped import shipped_rules

if TYPE_CHECKING:
    from collections.abc import Mapping

    from service.rulebook import Rulebook

CLASSES = ("C20/25", "C25/30", "C30/37", "C35/45", "C40/50", "C45/55", "C50/60")


def assert_no_mode_is_worse(
    before: Mapping[str, Any], after: Mapping[str, Any], leaving_out: frozenset[str] = frozenset()
) -> None:
    less, more = utilisations(before), utilisations(after)
    for key in less.keys() & more.keys():
        if key[1] in CONCRETE_MODES and not {key[1], f"{key[1]} {key[2]}"} & leaving_out:
            assert more[key] <= less[key] * (1 + ROUNDED), key


def modes_of_parts(answer: Mapping[str, Any], count: int) -> frozenset[str]:
    """Modes in which a part of the group governs, checked as a group of its own."""
    modes = {"concrete_cone", "splitting", "pry_out"}
    return frozenset(c["mode"] for c in answer["checks"] if c["mode"] in modes and len(c["fastener_numbers"]) < count)


def rows_that_part(before: Mapping[str, Any], after: Mapping[str, Any]) -> frozenset[str]:
    """Edge failure where wider spacing parts the row nearest an edge, and the part at a corner governs alone."""
    edges = [c for c in before["checks"] if c["mode"] == "concrete_edge"]
    rows = {(c["load_case"], c["edge"]): len(c["fastener_numbers"]) for c in edges}
    return frozenset(
        c["mode"]
        for c in after["checks"]
        if c["mode"] == "concrete_edge" and len(c["fastener_numbers"]) < rows.get((c["load_case"], c["edge"]), 0)
    )


def edges_in_reach(request: Request) -> int:
    size = shipped_rules().families[request["fastener"]["family"]]["sizes"][request["fastener"]["size"]]
    row = size["embedments"][str(request["fastener"]["embedment_mm"])]
    reach = max(10.0 * row["depth"]["effective_mm"], 60.0 * size["geometry"]["nominal_diameter_mm"])
    return near_edges(request, reach)


@PROPERTY
@given(seed=SEEDS, start=st.sampled_from(CLASSES[:-1]), steps=st.integers(1, 6))
def test_more_strength(seed: int, start: str, steps: int) -> None:
    request = evenly_loaded(seed)
    request["member"].pop("strength_mpa", None)
    end = CLASSES[min(CLASSES.index(start) + steps, len(CLASSES) - 1)]
    weaker, stronger = (check(in_member(request, strength_class=name)) for name in (start, end))
    assert_no_mode_is_worse(weaker, stronger)


@PROPERTY
@given(seed=SEEDS, more=st.floats(1.0, 300.0))
def test_more_thickness(seed: int, more: float) -> None:
    request = evenly_loaded(seed)
    assume(edges_in_reach(request) < 3)
    thicker = in_member(request, thickness_mm=request["member"]["thickness_mm"] + more)
    assert_no_mode_is_worse(check(request), check(thicker))


@PROPERTY
@given(seed=SEEDS, edge=st.sampled_from(EDGES), more=st.floats(1.0, 400.0))
def test_more_edge_distance(seed: int, edge: str, more: float) -> None:
    request = evenly_loaded(seed)
    assume(request["member"]["edges"][edge] is not None)
    assume(edges_in_reach(request) < 3)
    farther = changed(request, lambda r: r["member"]["edges"].update({edge: r["member"]["edges"][edge] + more}))
    corner = {f"concrete_edge {edge.removesuffix('_mm')}"} if edges_in_reach(request) > 1 else set()
    assert_no_mode_is_worse(check(request), check(farther), frozenset(corner))


@PROPERTY
@given(seed=SEEDS, axis=st.sampled_from(["x", "y"]), factor=st.floats(1.01, 2.5))
def test_more_spacing(seed: int, axis: str, factor: float) -> None:
    """Edges move along, so that every edge distance stays."""
    request = evenly_loaded(seed)
    assume(edges_in_reach(request) < 3)
    name = f"{axis}_mm"
    values = [p[name] for p in request["positions"]]
    assume(max(values) > min(values))
    middle = sum(values) / len(values)
    places = [middle + factor * (v - middle) for v in values]

    def spread(other: Request) -> None:
        for place, value in zip(other["positions"], places, strict=True):
            place[name] = value
        edges = other["member"]["edges"]
        for edge, grown in (
            (f"{axis}_minus_mm", min(values) - min(places)),
            (f"{axis}_plus_mm", max(places) - max(values)),
        ):
            if edges[edge] is not None:
                edges[edge] += grown
        width = "width_mm" if axis == "x" else "depth_mm"
        other["fixture"][width] += 2 * (max(places) - max(values) + min(values) - min(places))

    wider = changed(request, spread)
    before, after = check(request), check(wider)
    apart = modes_of_parts(after, len(values)) | rows_that_part(before, after)
    assert_no_mode_is_worse(before, after, frozenset({"bond", "blow_out"}) | apart)


@PROPERTY
@given(seed=SEEDS, factor=st.floats(1.01, 2.0))
def test_more_embedment(seed: int, factor: float) -> None:
    """The cone grows with the depth (s_cr,N = 3 h_ef, c_cr,N = 1.5 h_ef); what an assessment gives apart stays."""
    request = evenly_loaded(seed)
    chosen = request["fastener"]
    family = shipped_rules().families[chosen["family"]]
    assume(family["design_method"] == "full")
    assume(edges_in_reach(request) < 3)
    name = str(chosen["embedment_mm"])
    row = family["sizes"][chosen["size"]]["embedments"][name]
    pry_out = row["concrete"]["pry_out_factor"]

    def of_depth(depth: float) -> Rulebook:
        def deepen(other: dict[str, Any]) -> None:
            changing = other["sizes"][chosen["size"]]["embedments"][name]
            changing["depth"]["effective_mm"] = depth
            changing["concrete"] |= {
                "cone_spacing_mm": 3.0 * depth,
                "cone_edge_mm": 1.5 * depth,
                "pry_out_factor": pry_out,
                "shear_length_mm": None,
            }

        return with_family(chosen["family"], deepen)

    h = row["depth"]["effective_mm"]
    request["member"]["thickness_mm"] = max(request["member"]["thickness_mm"], round(3 * h))
    shallow, deep = check(request, of_depth(h)), check(request, of_depth(h * factor))
    leaving_out = {"blow_out"} | ({"bond", "pry_out", "splitting"} if family["mechanism"] == "bonded" else set())
    assert_no_mode_is_worse(shallow, deep, frozenset(leaving_out))
