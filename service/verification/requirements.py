"""Limits that are met or not, with no utilisation: approval, assessment, distances, thicknesses, use."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from itertools import combinations
from typing import Any

from service.contract import wanted
from service.contract.verification_codes import (
    ApprovalStatus,
    AskedCode,
    ConcreteState,
    Consequence,
    Edge,
    HoleState,
    Importance,
    RequirementCode,
    ToppingKind,
)
from service.contract.verification_codes.requirements import NEAR_EDGES, NEAR_PAIRS
from service.engine.en1992_1_1 import ALPHA_CC_MIN, design_strength_mpa
from service.engine.en1992_4.lever_arm import bearing_strength_mpa
from service.engine.model import Fixing, Hold, Member, Point
from service.engine.results import CaseResult
from service.rulebook import Rulebook
from service.rulebook.suspensions import Suspension
from service.verification.assumptions import WEAKEST_COVERED, Strength, Use
from service.verification.frost import FREEZING_C, freezes
from service.verification.hole_depth import (
    HEAD_RESTS_ON_FIXTURE,
    hole_leaves_member,
    least_behind_mm,
    needed_hole_mm,
    tip_mm,
)
from service.verification.selection import Selection, in_period
from service.verification.site_reduction import SiteReduction, figures_of_floor
from service.verification.tolerance import keeps_mm, reaches_mm
from service.words import Quantity, Statement, Term, Value, Verbatim

IMPACT_DRIVER, BY_FEEL = "impact_driver_set", "by_feel"
LONG_TERM = "concrete_long_term"
TIGHTENED_AGAINST_CONCRETE = ("torque_controlled_expansion", "undercut")
"""Mechanisms that their torque expands or seats: assessed on concrete, and on no topping, whose strength nobody knows.

To them the torque is a target; to all others it is the most that they may get.

Nut and washer cannot lie on the concrete under a topping that stays. Common practice, no source.
"""
MOST_ENTRIES = 20
"""How many pairs that stand too close are told, and fasteners at an edge, the closest first."""
APPROVED_USES: Mapping[str, RequirementCode] = {
    "redundant": RequirementCode.APPROVED_USE_REDUNDANT,
    "non_structural": RequirementCode.APPROVED_USE_NON_STRUCTURAL,
    "temporary": RequirementCode.APPROVED_USE_TEMPORARY,
    "dry_internal": RequirementCode.APPROVED_USE_DRY_INTERNAL,
}


@dataclass(frozen=True, slots=True)
class Requirement:
    """One limit with its figures, and whether it is met.

    ``decisive`` marks limits below which the assessment gives no resistance, so that no check can be made.
    """

    code: AskedCode
    met: bool
    figures: Mapping[str, Value] = field(default_factory=dict)
    rule: str | None = None
    clause: str | None = None
    decisive: bool = False

    @property
    def statement(self) -> Statement:
        """What is said of it."""
        return Statement(self.code, self.figures)

    @property
    def given(self) -> float | str | None:
        """The figure that was given; None where there is none, or several."""
        return self.code.says.given_of(self.figures)

    @property
    def limit(self) -> float | str | None:
        """The figure that is allowed; None where there is none, or several."""
        return self.code.says.limit_of(self.figures)

    @property
    def unit(self) -> str | None:
        """Unit of both; None where they have none."""
        return self.code.says.unit


def site_above_floor(site: SiteReduction) -> Iterator[Requirement]:
    """Whether enough is known of the site for anything to be fixed there; nothing where it is."""
    if site.below_floor:
        rule = "rulebook#/site_reduction/floor"
        yield Requirement(RequirementCode.SITE_ABOVE_FLOOR, False, figures_of_floor(site), rule)


def not_suspended(selection: Selection, rulebook: Rulebook) -> Iterator[Requirement]:
    """What is suspended for new work, whatever the approval of the version says; nothing where nothing is."""
    for suspension in rulebook.suspensions:
        if suspension.version == rulebook.version or suspension.concerns(selection.family_id, selection.size_name):
            yield Requirement(RequirementCode.NOT_SUSPENDED, False, figures_of_suspension(suspension))


def figures_of_suspension(suspension: Suspension) -> dict[str, Value]:
    """What is said of a suspension: the version, or the family and the size, since when, and why."""
    return {
        "version": suspension.version,
        "family": suspension.family,
        "size": suspension.size,
        "since": suspension.since,
        "reason": suspension.reason,
    }


def approval(selection: Selection, use: Use, assessed_on: date) -> Iterator[Requirement]:
    """What the company's approval asks for on a day."""
    size_level = selection.size.get("approval")
    given: Mapping[str, Any] = size_level if size_level is not None else selection.family["approval"]
    path = selection.size_path("approval") if size_level is not None else selection.path("approval")
    status = ApprovalStatus(given["status"])
    yield Requirement(
        RequirementCode.APPROVAL_STATUS,
        status in (ApprovalStatus.APPROVED, ApprovalStatus.RESTRICTED),
        {"status": status, "reason": given["reason"], "replacement": given["replacement"]},
        f"{path}/status",
    )
    yield Requirement(
        RequirementCode.APPROVAL_IN_FORCE,
        in_period(assessed_on, given["from"], given["until"]),
        {"day": assessed_on.isoformat(), "start": given["from"], "until": given["until"]},
        path,
    )
    for use_approved in given["uses"] or ():
        met, figures = _use_holds(use_approved, use)
        yield Requirement(APPROVED_USES[use_approved], met, figures, f"{path}/uses")


def _use_holds(approved: str, use: Use) -> tuple[bool, dict[str, Value]]:
    """Whether a use that an approval is for is shown, and what is taken of it."""
    if approved == "redundant":
        return use.redundant, {"redundancy": use.sharing.counts_as}
    if approved == "non_structural":
        importance = _importance(use)
        return importance is Importance.NON_STRUCTURAL, {"importance": importance}
    if approved == "dry_internal":
        return use.exposure == "dry_internal", {"exposure": use.exposure}
    # The request cannot say that a fixing is temporary, so a temporary-only approval is never shown to hold.
    return False, {}


def _importance(use: Use) -> Importance:
    """What depends on the fixing; what nobody has said of people counts as if they did."""
    if use.structural:
        return Importance.STRUCTURAL
    if use.consequence is None:
        return Importance.PEOPLE_MAY_DEPEND
    return Importance.PEOPLE_DEPEND if use.consequence else Importance.NON_STRUCTURAL


def use_not_excluded(selection: Selection, use: Use) -> Iterator[Requirement]:
    """Whether the rulebook excludes a family from what the fixing is for; nothing where it excludes it from nothing."""
    excluded = tuple(Consequence(each) for each in selection.family.get("uses_excluded", ()))
    if excluded:
        met = use.consequence is not None and not set(use.consequence) & set(excluded)
        here = (Consequence.NOT_KNOWN,) if use.consequence is None else use.consequence or (Consequence.NOBODY_HURT,)
        figures: dict[str, Value] = {"excluded": excluded, "consequence": here}
        yield Requirement(RequirementCode.USE_NOT_EXCLUDED, met, figures, selection.path("uses_excluded"))


def assessed_cover(
    selection: Selection, embedment_mm: float, strength: Strength, cracked: bool, use: Use
) -> Iterator[Requirement]:
    """What the assessment has to cover."""
    covers = selection.family["assessment"]["covers"]
    path = selection.path("assessment", "covers")
    depths = tuple(float(row["depth"]["effective_mm"]) for row in selection.size["embedments"].values())
    yield Requirement(
        RequirementCode.EMBEDMENT_ASSESSED,
        selection.row is not None,
        {"embedment_mm": embedment_mm, "assessed_mm": depths, "size": selection.size_name},
        selection.size_path("embedments"),
        decisive=True,
    )
    least, most = covers["strength_min_mpa"], covers["strength_max_mpa"]
    yield Requirement(
        RequirementCode.STRENGTH_COVERED,
        least <= strength.f_ck_mpa <= most,
        {"strength_mpa": strength.f_ck_mpa, "strength_min_mpa": least, "strength_max_mpa": most},
        path,
        decisive=True,
    )
    if not strength.known:
        taken: dict[str, Value] = {"strength_class": strength.name}
        yield Requirement(RequirementCode.STRENGTH_SHOWN, False, taken, "rulebook#/unknown/strength_class")
    state = ConcreteState.CRACKED if cracked else ConcreteState.UNCRACKED
    yield Requirement(
        RequirementCode.STATE_COVERED,
        bool(covers[state]) and _state_has_figures(selection, state),
        {"state": state, "covered": tuple(each for each in ConcreteState if covers[each])},
        f"{path}/{state}",
        decisive=True,
    )
    if selection.family["mechanism"] != "headed_fastener":
        yield Requirement(
            RequirementCode.HOLE_COVERED,
            use.hole in covers["hole_conditions"],
            {"hole": HoleState(use.hole), "covered": tuple(HoleState(hole) for hole in covers["hole_conditions"])},
            f"{path}/hole_conditions",
            decisive=True,
        )
    if covers["redundant_use_only"]:
        said = {"redundancy": use.sharing.counts_as, **use.sharing.figures}
        yield Requirement(RequirementCode.REDUNDANT_USE, use.redundant, said, f"{path}/redundant_use_only")
    yield from _temperature(selection, state, use)


def hole_not_frozen(selection: Selection, use: Use) -> Iterator[Requirement]:
    """Whether resin is kept out of a wet hole that freezes; nothing where it is, or nobody says how cold it gets."""
    if freezes(selection, use.hole, use.coldest_until_cured_c):
        figures: dict[str, Value] = {
            "hole": HoleState(use.hole),
            "coldest_c": use.coldest_until_cured_c,
            "freezing_c": FREEZING_C,
        }
        path = selection.path("assessment", "covers", "hole_conditions")
        yield Requirement(RequirementCode.HOLE_NOT_FROZEN, False, figures, path, decisive=True)


def tightened_on_concrete(
    selection: Selection, fixture: wanted.Fixture, topping: wanted.Topping | None, hold: Hold
) -> Iterator[Requirement]:
    """Whether what its torque expands is tightened against concrete; nothing where it is, or no torque expands it.

    Off the concrete a nut and washer on it are what it is tightened against; with a head of its own it has no thread
    for them. The collar of a ring or hook bears on the concrete itself.

    Args:
        selection: Family, size and embedment.
        fixture: The fixture as the request has it, without what of a topping stays under it.
        topping: What lies on the concrete, None where nothing does.
        hold: What the fastener holds.

    Yields:
        The requirement where it is not met.
    """
    if selection.mechanism not in TIGHTENED_AGAINST_CONCRETE:
        return
    figures: dict[str, Value]
    if topping is not None and not topping.comes_off:
        kind = ToppingKind(topping.kind)
        figures = {"topping": kind, "thickness_mm": topping.thickness_mm, "stand_off_mm": None}
    else:
        in_the_open = hold == "bare" or (hold == "plate" and fixture.stand_off_mm > 0.0)
        clamped = fixture.washer_clamped and selection.family["form"] not in HEAD_RESTS_ON_FIXTURE
        if not in_the_open or clamped:
            return
        figures = {"topping": None, "thickness_mm": None, "stand_off_mm": fixture.stand_off_mm}
    path = selection.size_path("setting", "installation_torque_nm")
    yield Requirement(RequirementCode.TIGHTENED_ON_CONCRETE, False, figures, path)


def resin_cures(selection: Selection, use: Use) -> Iterator[Requirement]:
    """Whether the assessment has times for the coldest; nothing where it has, no resin holds, or nobody says."""
    table: Sequence[Mapping[str, Any]] = selection.family["installation"]["working_and_curing"]
    if not table or use.coldest_until_cured_c is None:
        return
    least, most = float(table[0]["temperature_min_c"]), float(table[-1]["temperature_max_c"])
    if not least <= use.coldest_until_cured_c <= most:
        figures: dict[str, Value] = {
            "coldest_c": use.coldest_until_cured_c, "temperature_min_c": least, "temperature_max_c": most,
        }  # fmt: skip
        path = selection.path("installation", "working_and_curing")
        yield Requirement(RequirementCode.RESIN_CURES, False, figures, path, decisive=True)


def _state_has_figures(selection: Selection, state: str) -> bool:
    row = selection.row
    if row is None or row["concrete"] is None:
        return True
    return row["concrete"][f"{state}_factor"] is not None


def _temperature(selection: Selection, state: ConcreteState, use: Use) -> Iterator[Requirement]:
    bond = selection.size["bond"]
    if bond is None or use.temperature_range == WEAKEST_COVERED:
        return
    by_range = (bond["characteristic_mpa"].get(state) or {}).get(use.hole) or {}
    figures: dict[str, Value] = {
        "range": use.temperature_range,
        "covered": tuple(by_range),
        "state": state,
        "hole": HoleState(use.hole),
    }
    yield Requirement(
        RequirementCode.TEMPERATURE_RANGE_COVERED,
        by_range.get(use.temperature_range) is not None,
        figures,
        selection.size_path("bond", "characteristic_mpa"),
        decisive=True,
    )


@dataclass(frozen=True, slots=True)
class LeastSpacing:
    """How far apart fasteners have to be (mm), and the figure that says so."""

    spacing_mm: float
    rule: str | None


def least_spacing(selection: Selection, edge_mm: float) -> LeastSpacing:
    """The least spacing of the assessment, or of a label, at an edge distance (mm).

    Args:
        selection: Family, size and embedment.
        edge_mm: Distance to the nearest edge (mm).

    Returns:
        The spacing; none where the embedment is not assessed.
    """
    row = selection.row
    if row is None:
        return LeastSpacing(0.0, None)
    limits, simple = row["limits"], row["simplified"]
    if simple is not None:
        least = max(float(simple["spacing_mm"]), float(limits["spacing_min_mm"]))
        return LeastSpacing(least, selection.row_path("simplified", "spacing_mm"))
    # Nearer an edge than the closest fasteners may be, the other pair of the assessment counts.
    far = reaches_mm(edge_mm, limits["spacing_min_edge_mm"])
    name = "spacing_min_mm" if far else "edge_min_spacing_mm"
    return LeastSpacing(float(limits[name]), selection.row_path("limits", name))


def member_thickness(selection: Selection, member: Member) -> Iterator[Requirement]:
    """Least thickness of the member that the assessment asks for."""
    if selection.row is not None:
        rule = selection.row_path("limits", "member_thickness_min_mm")
        least = selection.row["limits"]["member_thickness_min_mm"]
        yield _at_least(RequirementCode.MEMBER_THICKNESS, member.thickness_mm, least, rule)


def distances(selection: Selection, member: Member, positions: Sequence[Point]) -> Iterator[Requirement]:
    """Least thickness, edge distance and spacing of the assessment."""
    row = selection.row
    if row is None:
        return
    yield from member_thickness(selection, member)
    limits, path = row["limits"], ("limits",)
    edge = min(member.nearest_mm(tuple(positions)))
    spacing = smallest_spacing(positions)
    least_edge, edge_rule = limits["edge_min_mm"], selection.row_path(*path, "edge_min_mm")
    least_apart, spacing_rule = limits["spacing_min_mm"], selection.row_path(*path, "spacing_min_mm")
    if row["simplified"] is not None:
        # A family known from its label carries its load at this spacing and edge distance and gives nothing below.
        simple = row["simplified"]
        least_edge, edge_rule = max(simple["edge_mm"], least_edge), selection.row_path("simplified", "edge_mm")
        least_apart = max(simple["spacing_mm"], least_apart)
        spacing_rule = selection.row_path("simplified", "spacing_mm")
    too_near = near_edges(member, positions, least_edge)
    yield _at_least(RequirementCode.EDGE_DISTANCE, edge, least_edge, edge_rule, too_near)
    too_close = near_pairs(positions, least_apart)
    yield _at_least(RequirementCode.SPACING, spacing, least_apart, spacing_rule, too_close)
    if row["simplified"] is None:
        yield _edge_with_spacing(selection, member, positions, edge, spacing)


def near_edges(member: Member, positions: Sequence[Point], least_mm: float) -> dict[str, Value]:
    """Each edge that fasteners are nearer to than a least distance, with each of them, as figures.

    Args:
        member: The concrete.
        positions: The fasteners (mm).
        least_mm: The least distance (mm).

    Returns:
        A list for each figure, an entry a fastener at an edge, the nearest of an edge first; None where every edge is
        far enough.
    """
    found: list[tuple[float | str, ...]] = []
    of_edges = member.nearest_mm(positions)
    if reaches_mm(min(of_edges), least_mm):
        return _none_of(NEAR_EDGES)
    for index, (edge, nearest) in enumerate(zip(Edge, of_edges, strict=True)):
        if not reaches_mm(nearest, least_mm):
            numbered = enumerate(member.distances_mm(positions, index), start=1)
            nearer = [(distance, number) for number, distance in numbered if not reaches_mm(distance, least_mm)]
            found += ((edge, number, distance) for distance, number in sorted(nearer)[:MOST_ENTRIES])
    return _by_name(NEAR_EDGES, found)


def near_pairs(positions: Sequence[Point], least_mm: float) -> dict[str, Value]:
    """Each pair of fasteners that stand closer than a least distance, the closest first, as figures.

    Args:
        positions: The fasteners (mm).
        least_mm: The least distance (mm).

    Returns:
        A list for each figure, an entry a pair; None where all are far enough apart.
    """
    if reaches_mm(smallest_spacing(positions), least_mm):
        return _none_of(NEAR_PAIRS)
    numbered = combinations(enumerate(positions, start=1), 2)
    apart = sorted((math.dist(a, b), i, j) for (i, a), (j, b) in numbered)
    found = [(i, j, distance) for distance, i, j in apart[:MOST_ENTRIES] if not reaches_mm(distance, least_mm)]
    return _by_name(NEAR_PAIRS, found)


def _by_name(figures: Sequence[Quantity | Term | Verbatim], found: Sequence[Sequence[float | str]]) -> dict[str, Value]:
    """Entries as one list for each figure."""
    return {figure.name: tuple(entry[k] for entry in found) for k, figure in enumerate(figures)}


def _none_of(figures: Sequence[Quantity | Term | Verbatim]) -> dict[str, Value]:
    return dict.fromkeys([figure.name for figure in figures])


def _edge_with_spacing(
    selection: Selection, member: Member, positions: Sequence[Point], edge_mm: float, spacing_mm: float
) -> Requirement:
    # The assessment gives two pairs; between them it gives nothing, so one pair has to hold whole.
    limits = (selection.row or {})["limits"]
    by_edge = reaches_mm(edge_mm, limits["edge_min_mm"]) and reaches_mm(spacing_mm, limits["edge_min_spacing_mm"])
    by_spacing = reaches_mm(spacing_mm, limits["spacing_min_mm"]) and reaches_mm(edge_mm, limits["spacing_min_edge_mm"])
    edge_covered = spacing_covered = None
    if reaches_mm(spacing_mm, limits["edge_min_spacing_mm"]):
        edge_covered = limits["edge_min_mm"]
    elif reaches_mm(spacing_mm, limits["spacing_min_mm"]):
        edge_covered = limits["spacing_min_edge_mm"]
    if reaches_mm(edge_mm, limits["spacing_min_edge_mm"]):
        spacing_covered = limits["spacing_min_mm"]
    elif reaches_mm(edge_mm, limits["edge_min_mm"]):
        spacing_covered = limits["edge_min_spacing_mm"]
    figures: dict[str, Value] = {
        "edge_mm": _in_reach(edge_mm),
        "spacing_mm": _in_reach(spacing_mm),
        "edge_min_mm": limits["edge_min_mm"],
        "edge_min_spacing_mm": limits["edge_min_spacing_mm"],
        "spacing_min_mm": limits["spacing_min_mm"],
        "spacing_min_edge_mm": limits["spacing_min_edge_mm"],
        "edge_covered_mm": edge_covered,
        "spacing_covered_mm": spacing_covered,
    }
    # Where no distance is covered with what there is, each is told that is nearer than both pairs ask.
    met = by_edge or by_spacing
    farthest = max(limits["edge_min_mm"], limits["spacing_min_edge_mm"]) if edge_covered is None else edge_covered
    widest = max(limits["spacing_min_mm"], limits["edge_min_spacing_mm"])
    widest = widest if spacing_covered is None else spacing_covered
    figures |= _none_of(NEAR_EDGES) if met else near_edges(member, positions, farthest)
    figures |= _none_of(NEAR_PAIRS) if met else near_pairs(positions, widest)
    rule = selection.row_path("limits")
    return Requirement(RequirementCode.EDGE_WITH_SPACING, met, figures, rule, decisive=True)


def _in_reach(distance_mm: float) -> float | None:
    return distance_mm if math.isfinite(distance_mm) else None


def _at_least(
    code: RequirementCode, given_mm: float, limit_mm: float, rule: str, more: Mapping[str, Value] | None = None
) -> Requirement:
    given, limit = code.says.given, code.says.limit
    figures: dict[str, Value] = {str(given): _in_reach(given_mm), str(limit): limit_mm, **(more or {})}
    return Requirement(code, reaches_mm(given_mm, limit_mm), figures, rule, decisive=True)


def smallest_spacing(positions: Sequence[Point]) -> float:
    """Smallest centre distance of two fasteners (mm), infinite for a single one."""
    return min((math.dist(a, b) for a, b in combinations(positions, 2)), default=math.inf)


def surroundings(selection: Selection, use: Use, drilling: str) -> Iterator[Requirement]:
    """Exposure, overhead use and drilling method."""
    allowed = tuple(selection.family["exposures"])
    yield Requirement(
        RequirementCode.EXPOSURE_ALLOWED,
        use.exposure in allowed,
        {"exposure": use.exposure, "allowed": allowed},
        selection.path("exposures"),
    )
    covers = selection.family["assessment"]["covers"]
    if use.overhead and not covers["overhead"]:
        path = selection.path("assessment", "covers", "overhead")
        yield Requirement(RequirementCode.OVERHEAD_ALLOWED, False, rule=path)
    methods = tuple(selection.family["installation"]["drilling_methods"])
    if methods and drilling != "unknown":
        yield Requirement(
            RequirementCode.DRILLING_METHOD,
            drilling in methods,
            {"drilling": drilling, "assessed": methods},
            selection.path("installation", "drilling_methods"),
        )


def left_to_feel(mechanism: str, torque_control: str | None) -> bool:
    """Say whether tightening by feel, where it was answered, takes the place of the torque of the assessment.

    To a rod in resin and a screw the torque is the most that they may get: the site reduction counts that hands
    differ. What its torque expands or seats is set by nothing else: too loose it holds nothing, and no one sees it. A
    torque is read there whatever was answered, and the reduction stays. Common practice, no source.

    Args:
        mechanism: What makes it hold.
        torque_control: How the site tightens, as it was answered.

    Returns:
        False too where something else was answered.
    """
    return torque_control == BY_FEEL and mechanism not in TIGHTENED_AGAINST_CONCRETE


def tightening(selection: Selection, site: wanted.Site) -> Iterator[Requirement]:
    """Whether the impact driver that the site says may tighten the fastener; nothing where it says another tool.

    Args:
        selection: Family, size and embedment.
        site: The ``site`` part of a request.

    Yields:
        One requirement, where an impact driver is to tighten what is set into concrete.
    """
    if site.value("torque_control") != IMPACT_DRIVER or selection.family["mechanism"] == "headed_fastener":
        return
    setting = selection.size["setting"]
    most, torque = setting["impact_driver_torque_max_nm"], setting["installation_torque_nm"]
    yield Requirement(
        RequirementCode.IMPACT_DRIVER_ALLOWED,
        most is not None,
        {"impact_driver_torque_max_nm": most, "torque_nm": torque},
        selection.size_path("setting", "impact_driver_torque_max_nm"),
    )


def hole_through_member(
    selection: Selection,
    length_mm: float | None,
    fixture: wanted.Fixture,
    member: Member,
    built_hole_mm: float | None = None,
) -> Iterator[Requirement]:
    """Whether enough of the member is left behind the hole that a head on the fixture makes deeper than assessed.

    A fixture whose thickness is not known is taken as thin: the less favourable. A hole that was measured is as deep as
    it is, and never less deep than what stands in it.

    Args:
        selection: Family, size and embedment.
        length_mm: The length that is fitted (mm), None where none is chosen.
        fixture: The fixture.
        member: The concrete.
        built_hole_mm: Depth of the hole (mm) as earlier as-built checks found it, None where none has.

    Yields:
        One requirement, where the hole is deeper than the assessment's own.
    """
    row, form = selection.row, selection.family["form"]
    if row is None or length_mm is None:
        return
    clamped = fixture.clamped_mm
    taken = fixture.gap_mm if clamped is None else clamped
    hole_mm = needed_hole_mm(form, row, length_mm, taken)
    least = least_behind_mm(row)
    if hole_mm is None or least is None:
        return
    if built_hole_mm is not None:
        hole_mm = min(hole_mm, max(built_hole_mm, tip_mm(form, row, length_mm, taken)))
    if keeps_mm(hole_mm, float(row["depth"]["hole_mm"])):
        return
    yield Requirement(
        RequirementCode.HOLE_LEAVES_MEMBER,
        hole_leaves_member(row, member.thickness_mm, hole_mm),
        {
            "length_mm": length_mm,
            "clamped_mm": clamped,
            "hole_depth_mm": hole_mm,
            "thickness_mm": member.thickness_mm,
            "left_mm": member.thickness_mm - hole_mm,
            "left_min_mm": least,
        },
        selection.row_path("limits", "member_thickness_min_mm"),
        decisive=True,
    )


def holes_in_fixture(
    selection: Selection, fixture: wanted.Fixture, positions: Sequence[Point], rule: Mapping[str, Any]
) -> Iterator[Requirement]:
    """Distance of each clearance hole to the edge of the fixture, by the rulebook's rule for plates."""
    hole = selection.size["geometry"]["clearance_hole_mm"]
    if hole is None or not fixture.plate:
        return
    drilled = hole if fixture.hole_diameter_mm is None else fixture.hole_diameter_mm
    least = float(rule["hole_edge_distance_factor"]) * float(drilled)
    x0, x1, y0, y1 = fixture.outline_mm
    nearest = min(min(x - x0, x1 - x, y - y0, y1 - y) for x, y in positions)
    yield Requirement(
        RequirementCode.HOLE_EDGE_DISTANCE,
        reaches_mm(nearest, least),
        {"hole_edge_mm": nearest, "hole_edge_min_mm": least},
        "rulebook#/fixture/hole_edge_distance_factor",
    )


def rulebook_in_force(document: Mapping[str, Any], assessed_on: date) -> Requirement:
    """The rulebook has to be in force on the day, also where a request names it."""
    start, until = document["effective_from"], document["effective_until"]
    return Requirement(
        RequirementCode.RULEBOOK_IN_FORCE,
        in_period(assessed_on, start, until),
        {"version": document["version"], "day": assessed_on.isoformat(), "start": start, "until": until},
        "rulebook#/effective_from",
    )


def contact(
    fixing: Fixing, results: Iterable[CaseResult], rulebook: Rulebook, bears_mpa: float
) -> Iterator[Requirement]:
    """Whether concrete or grout bears the fixture: the mean pressure under its compressed part; nothing where it does.

    The largest pressure under a rigid plate stands at its edge and evens out; the mean is held against the design
    strength, without the gain of partial loading, which asks for reinforcement that nobody knows of.

    Args:
        fixing: The fixing.
        results: Its load cases.
        rulebook: The rulebook, whose national choice of alpha_cc counts; the lowest where it makes none.
        bears_mpa: The most that the evidence lets the base material bear (MPa).

    Yields:
        The requirement where it is not met (MPa).
    """
    pressed = [result.forces.contact for result in results if result.forces is not None]
    mean = max((contact.mean_mpa for contact in pressed if contact is not None), default=0.0)
    most = pressure_max_mpa(fixing, rulebook, bears_mpa)
    if mean > most:
        figures: dict[str, Value] = {"pressure_mpa": mean, "pressure_max_mpa": most}
        chosen = rulebook.document["partial_factors"].get(LONG_TERM)
        rule = None if chosen is None else f"rulebook#/partial_factors/{LONG_TERM}"
        yield Requirement(RequirementCode.CONTACT_PRESSURE, False, figures, rule, "EN 1992-1-1, 3.1.6")


def pressure_max_mpa(fixing: Fixing, rulebook: Rulebook, bears_mpa: float) -> float:
    """Mean pressure that concrete or grout bears: its design strength, or what is known (MPa). EN 1992-1-1, 3.1.6."""
    chosen = rulebook.document["partial_factors"].get(LONG_TERM)
    alpha_cc = ALPHA_CC_MIN if chosen is None else float(chosen)
    return min(design_strength_mpa(bearing_strength_mpa(fixing), fixing.factors.concrete, alpha_cc), bears_mpa)


def open_ends(member: Member, anywhere: float | None) -> Iterator[Requirement]:
    """Whether edges that are not given, and that count at any distance, would let the fixing pass.

    Args:
        member: The concrete.
        anywhere: What the fixing comes to by such edges (no unit); None where there are none.

    Yields:
        The requirement where it is not met: what passes only as nobody says where the member ends does not pass.
    """
    if anywhere is not None and anywhere > 1.0:
        missing = tuple(edge for edge, distance in zip(Edge, member.edges_mm, strict=True) if math.isinf(distance))
        figures: dict[str, Value] = {"edges": missing, "utilisation": anywhere, "utilisation_max": 1.0}
        yield Requirement(RequirementCode.OPEN_ENDS, False, figures, clause="7.2.2.5")
