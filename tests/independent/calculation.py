"""The independent check: a verification of the static method (method.md), start to end, apart from the engine.

`calculate` takes what the API takes and gives utilisations, forces and the class of the verdict. Utilisations have
the site reduction in them. Points where the design notes are open are marked "reading" here and in the modules.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from tests.independent import areas, arrangement, plate, pressed, shear, tension
from tests.independent.inputs import EDGES, read_actions, read_fixing

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from tests.independent.inputs import Action, Fixing, Near
    from tests.independent.plate import AxialForces
    from tests.independent.shear import ShearForces
    from tests.independent.tension import Joined

TOLERANCE = 1e-9
RINGS_AND_HOOKS = frozenset({"sleeve_eyebolt", "sleeve_hook"})
HEADS = frozenset({"hexagon_head_screw", "frame_fixing", "sleeve_hexagon_bolt"})


@dataclass(frozen=True)
class Check:
    """One utilisation."""

    mode: str
    load_case: str
    combination: str
    fasteners: tuple[int, ...]
    edge: str | None
    utilisation: float


@dataclass(frozen=True)
class Forces:
    """Forces of one action."""

    load_case: str
    combination: str
    axial: AxialForces
    shear: ShearForces


STIFFNESS = {"fixture_stays_elastic", "fixture_stiff_enough", "fixture_shown_stiff"}


def without_plate(answer: Mapping[str, Any]) -> str:
    """The verdict of an answer but for the stiffness of its plate.

    This calculation takes the plate as rigid; how far it bends is held against beams on springs,
    tests/engine/test_plate_stiffness.py.
    """
    unmet = {one["code"] for one in answer["requirements"] if not one["met"]}
    over = any(check["utilisation"] > 1.0 for check in answer["checks"])
    beside = answer["verdict"] == "not_verified" and unmet and not unmet - STIFFNESS and not over
    return "verified" if beside else str(answer["verdict"])


@dataclass
class Outcome:
    """The answer of the independent check."""

    checks: list[Check] = field(default_factory=list)
    forces: list[Forces] = field(default_factory=list)
    unmet: set[str] = field(default_factory=set)
    no_resistance: set[str] = field(default_factory=set)
    outside: set[str] = field(default_factory=set)

    @property
    def verdict(self) -> str:
        """Class of the verdict."""
        if self.no_resistance:  # reading: no resistance to speak of comes before the limits of the method
            return "not_verified"
        if self.outside:
            return "outside_scope"
        failed = bool(self.unmet) or any(c.utilisation > 1.0 + TOLERANCE for c in self.checks)
        return "not_verified" if failed else "verified"

    def worst(self) -> dict[tuple[str, str], float]:
        """Largest utilisation by mode and load case."""
        found: dict[tuple[str, str], float] = {}
        for check in self.checks:
            key = (check.mode, check.load_case)
            found[key] = max(found.get(key, 0.0), check.utilisation)
        return found


def calculate(
    request: Mapping[str, Any],
    family: Mapping[str, Any],
    rulebook: Mapping[str, Any],
    factors: Mapping[str, Mapping[str, Any]],
) -> Outcome:
    """Verify a fixing.

    Args:
        request: Body of a verification request.
        family: The family's file.
        rulebook: The rulebook's main file.
        factors: The factor files by id.

    Returns:
        Utilisations, forces, unmet requirements and limits of the method.
    """
    fixing = read_fixing(request, family, rulebook, factors)
    actions = read_actions(request, rulebook)
    outcome = Outcome(unmet=set(_unmet(fixing)), no_resistance=set(_no_resistance(fixing)))
    outcome.outside |= set(_outside(fixing, actions))
    for action in actions:
        axial, sheared, arm = _forces(fixing, action)
        outcome.forces.append(Forces(action.load_case, action.combination, axial, sheared))
        # EN 1992-1-1, 3.1.6: alpha_cc 0.85, the lowest of the national choices
        gamma_c = fixing.partial_factors["concrete"][fixing.situation]
        if axial.mean_pressure > 0.85 * fixing.bed_strength / gamma_c and axial.in_balance:
            outcome.unmet.add("contact_pressure")
        if _too_low_for_nuts(fixing, axial):
            outcome.unmet.add("room_for_nuts")
        if not (axial.in_balance and sheared.in_balance):
            outcome.outside.add("no_equilibrium")
        if min(axial.tension) < 0 and not family["assessment"]["covers"]["stand_off_compression"]:
            outcome.outside.add("stand_off_compression")
        if not outcome.outside and not outcome.no_resistance:
            try:
                outcome.checks += _Case(fixing, action, axial, sheared, arm).checks()
            except areas.NoConcreteError:
                outcome.outside.add("neighbours_take_concrete")
    if outcome.outside or outcome.no_resistance:
        outcome.checks = []
    elif tension.smallest_edge(fixing, range(len(fixing.points))) <= fixing.reach and _leaves_open(request):
        ended = calculate(_with_far_ends(request), family, rulebook, factors)
        if any(used > 1.0 and used > outcome.worst().get(key, 0.0) for key, used in ended.worst().items()):
            outcome.unmet.add("open_ends")
        if "neighbours_take_concrete" in ended.outside:
            outcome.outside, outcome.checks = ended.outside, []
    return outcome


EDGE_FIELDS = ("x_minus_mm", "x_plus_mm", "y_minus_mm", "y_plus_mm")
FARTHEST = 8000.0
"""Reading: an edge that nobody tells of, and that would govern this far off (mm) beside one in reach, counts."""


def _leaves_open(request: Mapping[str, Any]) -> bool:
    edges = request["member"].get("edges") or {}
    return any(edges.get(name) is None for name in EDGE_FIELDS)


def _with_far_ends(request: Mapping[str, Any]) -> dict[str, Any]:
    edges = dict(request["member"]["edges"])
    for name in EDGE_FIELDS:
        if edges.get(name) is None:
            way = 1.0 if "plus" in name else -1.0
            edges[name] = FARTHEST + max(way * place[f"{name[0]}_mm"] for place in request["positions"])
    return {**request, "member": {**request["member"], "edges": edges}}


def _forces(fixing: Fixing, action: Action) -> tuple[AxialForces, ShearForces, float | None]:
    sheared = shear.elastic(fixing, action)
    arm = shear.lever_arm(fixing, action, straight=sheared.straight)
    if shear.has_contact(fixing):
        return plate.forces_in_contact(fixing, action), sheared, arm
    assert arm is not None
    # bending is nil at the fixture when it can rotate, half the arm below it when it is held
    height = shear.height_of_shear(fixing) - (arm / 2.0 if fixing.rotation == "held" else 0.0)
    return plate.forces_off_the_concrete(fixing, action, height), sheared, arm


# --- requirements and limits -------------------------------------------------------------------------------------


def _no_resistance(fixing: Fixing) -> Iterator[str]:
    """Where the assessment gives no resistance."""
    covers, limits = fixing.family["assessment"]["covers"], fixing.row["limits"]
    if not covers["cracked" if fixing.cracked else "uncracked"]:
        yield "state"
    if not covers["strength_min_mpa"] <= fixing.strength <= covers["strength_max_mpa"]:
        yield "strength"
    if fixing.hole not in covers["hole_conditions"]:
        yield "hole"
    if fixing.size["bond"] and fixing.temperature_range not in covers["temperature_ranges"]:
        yield "temperature"
    if fixing.thickness < limits["member_thickness_min_mm"] - TOLERANCE:
        yield "thickness"
    yield from _spacing_and_edge(fixing)
    if _behind_the_hole(fixing) < fixing.row["limits"]["member_thickness_min_mm"] - _hole(fixing) - TOLERANCE:
        yield "behind_the_hole"


def _hole(fixing: Fixing) -> float:
    return float(fixing.row["depth"]["hole_mm"] or 0.0)


def _washer(fixing: Fixing) -> float:
    """What a washer over a wide or filled hole takes of a length: by thick washers of ISO 6340, from memory."""
    holes = fixing.size["geometry"]["clearance_hole_mm"] is not None and fixing.family["form"] not in RINGS_AND_HOOKS
    if not holes or fixing.clearance == "normal":
        return 0.0
    thick = {6: 3.0, 10: 4.0, 12: 5.0, 20: 6.0, 24: 8.0, 30: 10.0}
    return min((each for thread, each in thick.items() if fixing.diameter <= thread), default=fixing.diameter / 2)


def _behind_the_hole(fixing: Fixing) -> float:
    """What is left of the member where a head lies on the fixture: what the fixture lacks, the hole is deeper.

    From memory of assessments: the longest fixture of a length is what brings its end to the nominal embedment.
    """
    if fixing.family["form"] not in {"frame_fixing", "hexagon_head_screw", "sleeve_hexagon_bolt"}:
        return fixing.thickness - _hole(fixing)
    clamped = (fixing.fixture_thickness or 0.0) + fixing.grout + fixing.stand_off
    fitting = [
        bolt["length_mm"]
        for bolt in fixing.row["lengths"]
        if fixing.length == bolt["length_mm"]
        or (fixing.length is None and bolt["fixture_thickness_max_mm"] >= clamped + _washer(fixing))
    ]
    deeper = max(min(fitting, default=0.0) - clamped - fixing.row["depth"]["nominal_mm"], 0.0)
    return fixing.thickness - _hole(fixing) - float(deeper)


def _spacing_and_edge(fixing: Fixing) -> Iterator[str]:
    """c_min goes with one spacing, s_min with one edge distance.

    Reading: no interpolation between the two pairs; smallest edge distance and smallest spacing of the whole fixing.
    """
    limits = fixing.row["limits"]
    c = tension.smallest_edge(fixing, range(len(fixing.points)))
    s = min((math.dist(a, b) for i, a in enumerate(fixing.points) for b in fixing.points[:i]), default=math.inf)
    simple = fixing.row["simplified"]
    if simple is not None and (s < simple["spacing_mm"] - TOLERANCE or c < simple["edge_mm"] - TOLERANCE):
        yield "simplified_distances"
    if s < limits["spacing_min_mm"] - TOLERANCE:
        yield "spacing"
    if c < limits["edge_min_mm"] - TOLERANCE:
        yield "edge"
    first = s >= (limits["edge_min_spacing_mm"] or 0.0) - TOLERANCE
    second = c >= (limits["spacing_min_edge_mm"] or 0.0) - TOLERANCE
    if not (first or second):
        yield "pair"


def _too_low_for_nuts(fixing: Fixing, axial: AxialForces) -> bool:
    """Whether nuts stand in the gap and do not fit: 1.2·d each with its washer, from memory of ISO 4032 and 7089."""
    family, gap = fixing.family, fixing.stand_off
    if gap == 0 or family["form"] in {*RINGS_AND_HOOKS, *HEADS} or family["mechanism"] == "headed_fastener":
        return False
    on_concrete = 1 if fixing.washer_clamped else 0
    expands = family["mechanism"] in ("torque_controlled_expansion", "undercut")
    under_plate = 1 if min(axial.tension) < 0 or (on_concrete and expands) else 0
    return gap < (on_concrete + under_plate) * 1.2 * fixing.diameter - TOLERANCE


def _unmet(fixing: Fixing) -> Iterator[str]:
    """Requirements that are not about resistance."""
    family, covers = fixing.family, fixing.family["assessment"]["covers"]
    # What its torque expands is tightened against a nut on the concrete, for which a bolt with a head has no thread.
    expands = family["mechanism"] in ("torque_controlled_expansion", "undercut")
    nutted = fixing.washer_clamped and family["form"] != "sleeve_hexagon_bolt"
    if expands and fixing.stand_off > 0 and not nutted and family["form"] not in RINGS_AND_HOOKS:
        yield "tightened_on_concrete"
    if fixing.site_factor < fixing.site_floor - TOLERANCE:
        yield "site"
    if fixing.exposure not in family["exposures"]:
        yield "exposure"
    if fixing.overhead and not covers["overhead"]:
        yield "overhead"
    # reading: nobody having said what comes of it for people is as bad as all of it
    excluded = set(family.get("uses_excluded") or ())
    if excluded and (fixing.consequence is None or excluded & set(fixing.consequence)):
        yield "uses_excluded"
    if covers["redundant_use_only"] and (not fixing.redundant or fixing.structural):
        yield "redundant_use_only"
    methods = family["installation"]["drilling_methods"]
    if methods and fixing.drilling not in {"unknown", *methods}:
        yield "drilling"
    driven = fixing.torque_control == "impact_driver_set" and family["mechanism"] != "headed_fastener"
    if driven and fixing.size["setting"]["impact_driver_torque_max_nm"] is None:
        yield "impact_driver"
    clamped = (fixing.fixture_thickness or 0.0) + fixing.grout + fixing.stand_off + _washer(fixing)
    lengths = [b for b in fixing.row["lengths"] if fixing.length in {None, b["length_mm"]}]
    if not any(b["fixture_thickness_max_mm"] is None or b["fixture_thickness_max_mm"] >= clamped for b in lengths):
        yield "length"
    for approval in (family["approval"], fixing.size["approval"]):
        if approval is not None:
            yield from _approval(fixing, approval)


def _approval(fixing: Fixing, approval: Mapping[str, Any]) -> Iterator[str]:
    if approval["status"] in {"suspended", "withdrawn"}:
        yield "approval"
    if not (approval["from"] or "") <= fixing.assessed_on <= (approval["until"] or "9999"):
        yield "approval_dates"
    allowed = {
        "redundant": fixing.redundant, "non_structural": not fixing.structural and fixing.consequence == (),
        "dry_internal": fixing.exposure == "dry_internal", "temporary": False,
    }  # fmt: skip
    # reading: every use that is listed must hold, not only one of them
    if approval["uses"] is not None and not all(allowed[use] for use in approval["uses"]):
        yield "approval_uses"


def _outside(fixing: Fixing, actions: Sequence[Action]) -> Iterator[str]:
    """Limits of the method."""
    if fixing.family["form"] in RINGS_AND_HOOKS:
        # What hangs in a ring or hook only pulls it: nothing shares, presses or tilts without a plate.
        if len(fixing.points) > 1 or any(a.normal < 0 or a.moment_x or a.moment_y for a in actions):
            yield "without_plate"
        # reading: what lies under a ring that is pulled sideways lifts it by half its thickness; a tape tells 0.5 mm
        sideways = any(a.shear_x or a.shear_y or a.torsion for a in actions)
        lifted = sideways and (fixing.fixture_thickness or 0.0) / 2.0 > arrangement.TAPE
        if lifted or fixing.stand_off > 0 or fixing.grout > 0:
            yield "simplified_with_lever_arm"
        return
    if fixing.family["design_method"] == "simplified":
        arms = [shear.lever_arm(fixing, action, straight=False) for action in actions]
        if not shear.has_contact(fixing) or any(arm is not None for arm in arms):
            yield "simplified_with_lever_arm"
        return
    if len(fixing.points) > 9:
        yield "too_many_fasteners"
        return
    near = tension.smallest_edge(fixing, range(len(fixing.points))) <= fixing.reach
    if near and arrangement.longest_row(fixing.points) > 6:
        yield "long_row_near_edge"
    if fixing.embedment < (30 if fixing.redundant and fixing.exposure == "dry_internal" else 40) or fixing.diameter < 6:
        yield "too_small"
    if fixing.size["steel"]["tensile_strength_mpa"] > 1000:
        yield "steel_strength"


# --- checks of one action ----------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Case:
    fixing: Fixing
    action: Action
    axial: AxialForces
    shear: ShearForces
    arm: float | None

    def checks(self) -> Iterator[Check]:
        if self.fixing.family["design_method"] == "simplified":
            yield from self._simplified()
            return
        steel_n = [n / self._steel_tension_design() for n in map(self._pull, self._everyone)]
        steel_v = [self.shear.size(i) / self._steel_shear_design() for i in self._everyone]
        concrete_n = list(self._concrete_tension())
        concrete_v = list(self._concrete_shear())
        if max(steel_n) > 0:
            yield self._check("steel_tension", max(steel_n), self._everyone)
        yield from concrete_n
        most = max(map(self._pressure, self._everyone))
        if self.arm is not None and most > 0:
            yield self._check("steel_compression", most / self._buckling_design(), self._everyone)
        if max(steel_v) > 0:
            yield self._check("steel_shear", max(steel_v), self._everyone)
        yield from concrete_v
        if max(steel_v) > 0 and self.arm is not None:
            yield self._lever_arm(steel_n)
        else:
            both = [math.hypot(n, v) for n, v in zip(steel_n, steel_v, strict=True) if n > 0 and v > 0]
            if both:
                yield self._check("interaction_steel", max(both), self._everyone)
        if concrete_n and concrete_v:
            site = self.fixing.site_factor
            n, v = (max(c.utilisation for c in checks) * site for checks in (concrete_n, concrete_v))
            together = max(n, v, min((n**1.5 + v**1.5) ** (2 / 3), (n + v) / 1.2))
            yield self._check("interaction_concrete", together, self._everyone)

    @property
    def _everyone(self) -> range:
        return range(len(self.fixing.points))

    def _pull(self, index: int) -> float:
        return max(0.0, self.axial.tension[index])

    def _check(self, mode: str, utilisation: float, group: Sequence[int], edge: str | None = None) -> Check:
        value = utilisation / self.fixing.site_factor
        return Check(mode, self.action.load_case, self.action.combination, tuple(group), edge, value)

    # partial factors, Table 4.1

    def _gamma_c(self) -> float:
        return float(self.fixing.partial_factors["concrete"][self.fixing.situation])

    def _gamma_tension(self) -> float:
        return self._gamma_c() * float(self.fixing.size["factors"]["installation_factor"][self.fixing.hole])

    def _yield_ratio(self) -> float:
        steel = self.fixing.size["steel"]
        return float(steel["yield_strength_mpa"] / steel["tensile_strength_mpa"])

    def _steel_tension_design(self) -> float:
        steel = self.fixing.size["steel"]
        n = steel["tension_kn"]
        resistance = self.fixing.stress_area * steel["tensile_strength_mpa"] if n is None else n * 1e3
        return float(resistance / self._gamma_steel_tension())

    def _gamma_steel_tension(self) -> float:
        gamma = self.fixing.size["factors"]["gamma_ms_tension"]
        if gamma is None:
            rule = self.fixing.partial_factors["steel_tension"][self.fixing.situation]
            gamma = max(rule["numerator"] / self._yield_ratio(), rule["minimum"])
        return float(gamma)

    def _gamma_shear(self) -> float:
        gamma = self.fixing.size["factors"]["gamma_ms_shear"]
        if gamma is not None:
            return float(gamma)
        rules = self.fixing.partial_factors["steel_shear"]
        rule = rules[self.fixing.situation]
        f_uk = self.fixing.size["steel"]["tensile_strength_mpa"]
        if f_uk <= rules["tensile_strength_max_mpa"] and self._yield_ratio() <= rules["yield_ratio_max"] + TOLERANCE:
            return float(max(rule["numerator"] / self._yield_ratio(), rule["minimum"]))
        return float(rule["otherwise"])

    def _steel_shear_design(self) -> float:
        grout = self.arm is None and shear.grouted(self.fixing)
        return shear.steel_resistance(self.fixing, grout_factor=grout) / self._gamma_shear()

    # modes

    def _lever_arm(self, steel_n: Sequence[float]) -> Check:
        assert self.arm is not None
        held = 2.0 if self.fixing.rotation == "held" else 1.0
        allowed = held * shear.bending_resistance(self.fixing) / self.arm / self._gamma_shear()
        worst = 0.0
        for i in self._everyone:
            axial, more = steel_n[i], 1.0
            if self._pressure(i) > 0:
                design = self._buckling_design()
                axial, more = self._pressure(i) / design, pressed.enlarged(self._pressure(i), design, self._critical())
            worst = max(worst, more * self.shear.size(i) / allowed + axial)
        return self._check("steel_shear_lever_arm", worst, self._everyone)

    def _pressure(self, index: int) -> float:
        return max(0.0, -self.axial.tension[index])

    def _critical(self) -> float:
        assert self.arm is not None
        return pressed.euler(self.fixing.stress_area, self.arm, held=self.fixing.rotation == "held")

    def _buckling_design(self) -> float:
        """What a fastener takes in pressure; reading: by the partial factor of tension, the larger one."""
        yields = float(self.fixing.size["steel"]["yield_strength_mpa"])
        resistance = pressed.buckling(self.fixing.stress_area, yields, self._critical())
        return resistance / self._gamma_steel_tension()

    def _concrete_tension(self) -> Iterator[Check]:
        fixing = self.fixing
        pulled = [i for i in self._everyone if self._pull(i) > 0]
        if not pulled:
            return
        gamma, worst = self._gamma_tension(), max(map(self._pull, pulled))
        for group, joined in self._split(pulled, self._cone_spacing()):
            whole = len(group) == len(pulled) and joined is None  # nothing verified apart has help from pressure
            psi_m = tension.psi_m(fixing, self.axial) if whole else 1.0
            resistance = tension.cone_resistance(fixing, group, self._eccentricity(group, joined), psi_m, joined)
            yield self._check("concrete_cone", self._sum(group, joined) * gamma / resistance, group)
        resistance_p = tension.pull_out_resistance(fixing)
        if resistance_p is not None:
            yield self._check("pull_out", worst * gamma / resistance_p, pulled)
        share = self.action.sustained
        if fixing.size["bond"]:
            for group, joined in self._split(pulled, tension.bond_of(fixing, share).spacing):
                resistance = tension.bond_resistance(fixing, group, self._eccentricity(group, joined), share, joined)
                yield self._check("bond", self._sum(group, joined) * gamma / resistance, group)
        if not tension.splitting_waived(fixing, pulled):
            for group, joined in self._split(pulled, fixing.row["concrete"]["splitting_spacing_mm"]):
                e = self._eccentricity(group, joined)
                resistance = tension.splitting_resistance(fixing, group, e, share, joined)
                yield self._check("splitting", self._sum(group, joined) * gamma / resistance, group)
        if fixing.family["mechanism"] == "headed_fastener":
            yield from self._blow_out(pulled, gamma)

    def _cone_spacing(self) -> float:
        return float(self.fixing.row["concrete"]["cone_spacing_mm"] or 3.0 * self.fixing.embedment)

    def _split(self, pulled: Sequence[int], side: float) -> Iterator[tuple[list[int], Joined]]:
        """Fasteners within this spacing of each other are a group; those beyond are verified apart, only apart.

        Beside fasteners of other fixings also each part of a group, and each group and each one with one of the others
        within the spacing, which pulls as the worst of ours.
        """
        for group in areas.clusters(self.fixing.points, pulled, side):
            parts = areas.parts(self.fixing, group, side) if self.fixing.near else []
            yield from ((some, None) for some in (group, *parts))
            for some in (group, *(part for part in parts if len(part) == 1)):
                yield from ((some, one.at) for one in areas.reached(self.fixing, some, side))

    def _pulls(self, group: Sequence[int], joined: Joined) -> list[float]:
        return [self._pull(i) for i in group] + ([] if joined is None else [max(map(self._pull, self._everyone))])

    def _sum(self, group: Sequence[int], joined: Joined = None) -> float:
        return sum(self._pulls(group, joined))

    def _eccentricity(self, group: Sequence[int], joined: Joined = None) -> tuple[float, float]:
        return tension.eccentricity(self.fixing, group, self._pulls(group, joined), joined)

    def _blow_out(self, pulled: Sequence[int], gamma: float) -> Iterator[Check]:
        """Every pulled row within half the embedment of an edge (reading: not only the nearest one)."""
        fixing = self.fixing
        for edge in EDGES:
            axis = 1 if edge.startswith("x") else 0
            if math.isinf(fixing.edges[edge]):
                continue
            for row in self._rows_that_blow_out(pulled, edge):
                c_1 = min(fixing.distances(i)[edge] for i in row)
                if c_1 > 0.5 * fixing.embedment:
                    continue
                order = sorted(row, key=lambda i: fixing.points[i][axis])
                near = [
                    one
                    for one in areas.reached(fixing, row, 4.0 * c_1)
                    if fixing.distances_of(one.at)[edge] <= 0.5 * fixing.embedment * one.ratio
                ]
                groups = _parts_of_row(fixing, order, axis, 4.0 * c_1)
                for part, joined, taking in self._blown_out(groups, row, near, edge):
                    pulls = [self._pull(i) for i in part]
                    pulls += [] if joined is None else [max(self._pull(i) for i in row)]
                    e = tension.eccentricity(fixing, part, pulls, joined)[axis]
                    resistance = tension.blow_out_resistance(fixing, edge, part, e, taking, joined)
                    yield self._check("blow_out", sum(pulls) * gamma / resistance, part, edge)

    def _blown_out(
        self, groups: Sequence[list[int]], row: Sequence[int], near: Sequence[Near], edge: str
    ) -> Iterator[tuple[list[int], Joined, list[Near]]]:
        """Groups of a row, each with one of the others near it, and runs that lose width; with what takes of them."""
        fixing, axis = self.fixing, 1 if edge.startswith("x") else 0
        reach = 4.0 * min(fixing.distances(i)[edge] for i in row)
        for group in groups:
            yield from ((group, None, taking) for taking in shear.takings(fixing, group, near, axis))
            yield from ((group, one.at, []) for one in near if one in areas.reached(fixing, group, reach))
        for run in areas.runs(fixing.points, row, axis, reach):
            touching = [one for one in near if one in areas.reached(fixing, run, reach)]
            if any(shear.takings(fixing, run, touching, axis)):
                yield from ((run, None, taking) for taking in shear.takings(fixing, run, near, axis))

    def _rows_that_blow_out(self, pulled: Sequence[int], edge: str) -> Iterator[list[int]]:
        fixing, axis = self.fixing, 0 if edge.startswith("x") else 1
        distances = [fixing.distances(i)[edge] for i in self._everyone]
        rows = arrangement.lanes(fixing.points, axis)
        if rows is not None and arrangement.drawn(fixing.points):
            yield from (found for row in rows if (found := [i for i in row if i in pulled]))
            return
        yield arrangement.in_line(fixing.points, pulled, distances)
        if rows is None:
            near = [i for i in pulled if distances[i] <= 0.5 * fixing.embedment]
            yield from [near] if near else []
            return
        ordered = rows if edge.endswith("minus") else rows[::-1]
        yield next(found for row in ordered if (found := [i for i in row if i in pulled]))

    def _concrete_shear(self) -> Iterator[Check]:
        if max(self.shear.size(i) for i in self._everyone) == 0.0:
            return
        fixing, gamma, share = self.fixing, self._gamma_c(), self.action.sustained
        for kind, side in self._pry_out_sides():
            groups = areas.clusters(fixing.points, self._everyone, side)
            if fixing.clearance == "oversize":
                groups = [[i] for i in self._everyone]
            for group in groups:
                hardest = max((self.shear.forces[i] for i in group), key=lambda force: math.hypot(*force))
                if shear.turned_against_each_other(fixing, group, self.shear):
                    for i in group:
                        resistance = shear.pry_out_single(fixing, i, group, share, [kind])
                        yield self._check("pry_out", self.shear.size(i) * gamma / resistance, [i])
                else:
                    parts = areas.parts(fixing, group, side) if fixing.near else []
                    for some in (group, *parts):
                        others = areas.reached(fixing, some, side) if some is group or len(some) == 1 else []
                        for pushed in (None, *((one.at, hardest) for one in others)):
                            load, resistance = shear.pry_out_group(fixing, some, self.shear, share, [kind], pushed)
                            yield self._check("pry_out", load * gamma / resistance, some)
        if tension.smallest_edge(fixing, self._everyone) > fixing.reach:
            return
        for edge in EDGES:  # one edge in reach and all are checked
            if math.isinf(fixing.edges[edge]):
                continue
            for load_e in shear.row_actions(fixing, edge, self.action, self.shear):
                # reading: what is not pushed is not asked what others leave it either
                if load_e.action(1.0) <= 1e-9 * max(self.shear.size(i) for i in self._everyone):
                    continue
                resistance, c_1 = shear.edge_resistance(fixing, edge, load_e)
                load = load_e.action(c_1)
                yield self._check("concrete_edge", load * gamma / resistance, load_e.fasteners, edge)

    def _pry_out_sides(self) -> Iterator[tuple[str, float]]:
        """The resistances that pry-out may go by, and the spacing within which fasteners share each."""
        yield "cone", self._cone_spacing()
        if self.fixing.size["bond"]:
            yield "bond", tension.bond_of(self.fixing, self.action.sustained).spacing

    def _simplified(self) -> Iterator[Check]:
        data = self.fixing.row["simplified"]
        allowed = data["resistance_kn"] * 1e3 / data["partial_factor"]
        worst = max(math.hypot(self._pull(i), self.shear.size(i)) for i in self._everyone)
        if worst > 0:
            yield self._check("simplified_resultant", worst / allowed, self._everyone)


def _parts_of_row(fixing: Fixing, order: Sequence[int], axis: int, reach: float) -> list[list[int]]:
    """The groups of a row along an edge; a gap of this reach parts it."""
    parts = [[order[0]]]
    for previous, i in pairwise(order):
        if fixing.points[i][axis] - fixing.points[previous][axis] >= reach:
            parts.append([])
        parts[-1].append(i)
    return parts
