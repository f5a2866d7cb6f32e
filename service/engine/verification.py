"""Verification of a fixing: forces, failure modes, and what the method does not cover (EN 1992-4:2018, 6 and 7)."""

from __future__ import annotations

import functools
import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from service.engine import en1992_1_1
from service.engine.arrangement import TAPE_MM, Grid, intended_rows, recognise_grid, touching_groups
from service.engine.codes import Limit, Mode, Note
from service.engine.en1992_4 import (
    blow_out,
    bolt_group,
    bond,
    concrete_cone,
    concrete_edge,
    interaction,
    lever_arm,
    plate_equilibrium,
    plate_stiffness,
    pry_out,
    pull_out,
    shear_distribution,
    simplified,
    splitting,
    steel_compression,
    steel_shear,
    steel_tension,
)
from service.engine.en1992_4.loaded_group import tensioned
from service.engine.en1992_4.neighbours import NoConcreteLeftError
from service.engine.model import EDGE_NAMES, Fixing, LoadCase
from service.engine.results import CaseResult, Check, Contact, Forces, PlateBending, ScopeLimit
from service.engine.scope import limits_of_case, limits_of_fixing, near_edge

SOFT_CONTACT_SHARE = 0.5
"""Share of E_cm at which the sensitivity to the contact stiffness is answered."""

TORSION_NOISE = 1e-9
OF_EDGES = frozenset({Mode.CONCRETE_EDGE, Mode.INTERACTION_CONCRETE})
IN_TENSION = frozenset({Mode.CONCRETE_CONE, Mode.PULL_OUT, Mode.BOND, Mode.SPLITTING, Mode.BLOW_OUT})
"""Modes in tension other than steel, which the interaction takes."""


@dataclass(frozen=True, slots=True)
class _Case:
    """A load case with what is known of it before any check (Nmm)."""

    actions: LoadCase
    torsion_nmm: float
    turned: bool
    path: lever_arm.ShearPath
    shares: _Shares


@dataclass(frozen=True, slots=True)
class _Shares:
    """What of the actions stays for long, α_sus, in tension and for pry-out (no unit)."""

    tension: float
    pry_out: float


Solve = Callable[..., plate_equilibrium.PlateForces]


class Plates:
    """Remembers forces under a plate, and how these bend it, for fasteners that do not differ in what that asks."""

    def __init__(self) -> None:
        self.solve: Solve = functools.cache(plate_equilibrium.solve)
        self.bend: Callable[..., plate_stiffness.Bent] = functools.cache(plate_stiffness.bend)


@dataclass(frozen=True, slots=True)
class _Loaded:
    """A load case with what acts on fasteners and plate under it, before any check."""

    case: _Case
    forces: Forces
    plane: plate_equilibrium.Vector | None
    plate: PlateBending | None


def verify(
    fixing: Fixing, want_trace: bool, for_answer: bool = True, plates: Plates | None = None
) -> tuple[CaseResult, ...]:
    """Verify each load case of a fixing.

    EN 1992-4:2018, sections 6 and 7.

    Args:
        fixing: The fixing as plain data (N, mm, MPa).
        want_trace: Whether the working of each check is wanted.
        for_answer: Whether sensitivity, notes and open readings are wanted too, which decide nothing.
        plates: What is known from like fixings.

    Returns:
        One result a load case, in their order; outside the method it has limits and no checks.
    """
    grid = recognise_grid(fixing.positions) or intended_rows(fixing.positions)
    return tuple(
        not_covered(actions, *loaded)
        if isinstance(loaded, tuple)
        else _verify_case(fixing, grid, loaded, want_trace, for_answer)
        for actions, loaded in zip(fixing.load_cases, _loaded(fixing, grid, plates or Plates()), strict=True)
    )


def plates_bent(fixing: Fixing, plates: Plates) -> list[PlateBending]:
    """How each load case bends the plate, as ``verify`` finds it before any check.

    EN 1992-4:2018, 6.2.1.

    Args:
        fixing: The fixing as plain data (N, mm, MPa).
        plates: What is known from like fixings.

    Returns:
        One for each load case that the method covers so far; none without a plate.
    """
    grid = recognise_grid(fixing.positions) or intended_rows(fixing.positions)
    covered = (loaded for loaded in _loaded(fixing, grid, plates) if isinstance(loaded, _Loaded))
    return [loaded.plate for loaded in covered if loaded.plate is not None]


def with_edges_farther(
    moved: Fixing, changed: Sequence[int], results: Sequence[CaseResult]
) -> list[tuple[Check, ...] | None]:
    """The checks of each load case in a member that has more edges, farther than any that tension feels.

    EN 1992-4:2018, 7.2.2.5 and 7.2.3: such edges come in by their own check, and by that into the interaction.

    Args:
        moved: The fixing in that member, none of those edges nearer than max(10·h_ef, 60·d_nom) (mm).
        changed: Edges to check, as indices into ``EDGE_NAMES``; at the others it stays as it was.
        results: Its load cases as they were verified without those edges, all of them covered by the method.

    Returns:
        The checks, in the order of the load cases; None where neighbours leave no concrete.
    """
    grid = recognise_grid(moved.positions) or intended_rows(moved.positions)
    names = {EDGE_NAMES[edge] for edge in changed}
    found: list[tuple[Check, ...] | None] = []
    for actions, result in zip(moved.load_cases, results, strict=True):
        kept = [check for check in result.checks if check.mode not in OF_EDGES]
        if any(check.mode is Mode.PRY_OUT for check in kept):
            torsion, _ = _torsion(moved, actions)
            shear = (actions.shear_x_n, actions.shear_y_n)
            try:
                edges = concrete_edge.verify(moved, grid, shear, torsion, want_trace=False, edges=changed)
            except NoConcreteLeftError:
                found.append(None)
                continue
            edges.extend(
                check for check in result.checks if check.mode is Mode.CONCRETE_EDGE and check.edge not in names
            )
            pulled = [check for check in kept if check.mode in IN_TENSION]
            sheared = [*(check for check in kept if check.mode is Mode.PRY_OUT), *edges]
            together = interaction.verify_concrete(pulled, sheared, len(moved.positions), want_trace=False)
            kept.extend([*edges, *([] if together is None else [together])])
        found.append(tuple(kept))
    return found


def _loaded(fixing: Fixing, grid: Grid | None, plates: Plates) -> Iterator[_Loaded | tuple[ScopeLimit, ...]]:
    """Each load case before any check, or why the method does not cover it."""
    of_fixing = tuple(limits_of_fixing(fixing, grid))
    for actions in fixing.load_cases:
        case = _prepare(fixing, grid, actions)
        limits = (*of_fixing, *limits_of_case(fixing, grid, actions, case.turned))
        axial = limits[0] if limits else _axial(fixing, case, plates.solve)
        if isinstance(axial, ScopeLimit):
            yield limits or (axial,)
            continue
        forces = Forces(axial.tension_n, _shear(fixing, case), axial.contact)
        if actions.sustained is not None:
            case = replace(case, shares=_sustained_shares(fixing, grid, actions.sustained, forces, plates.solve))
        head = _head_arm_mm(fixing, case)
        plate = plate_stiffness.verify(fixing, forces, head, plates.bend) if fixing.fixture.plate else None
        yield _Loaded(case, forces, axial.plane, plate)


def _verify_case(
    fixing: Fixing, grid: Grid | None, loaded: _Loaded, want_trace: bool, for_answer: bool
) -> CaseResult:
    case, forces = loaded.case, loaded.forces
    try:
        shear = _shear_part(fixing, grid, case, forces, want_trace)
        checks = _checks(fixing, grid, case, forces, shear, want_trace)
    except NoConcreteLeftError:
        return no_concrete_left(case.actions)
    return CaseResult(
        case.actions.name,
        case.actions.combination,
        forces,
        tuple(checks),
        (),
        loaded.plate,
        _soft_contact(fixing, grid, case, forces, loaded.plane, shear, checks) if for_answer else None,
        _notes(fixing, grid, forces, checks) if for_answer else (),
        _readings(fixing, grid, case, forces, checks) if for_answer else (),
    )


def _head_arm_mm(fixing: Fixing, case: _Case) -> float:
    """l_a/alpha_M where the fixture cannot rotate, so that the fastener's head bends it; else 0 (mm): 6.2.2.3."""
    arm = case.path.arm
    held = fixing.fixture.rotation_held
    return arm.arm_mm / lever_arm.restraint_factor(held) if arm is not None and held else 0.0


def not_covered(actions: LoadCase, *limits: ScopeLimit) -> CaseResult:
    """Answer a load case that the method does not cover: limits, and no number."""
    return CaseResult(actions.name, actions.combination, None, (), limits, None, None, (), ())


def no_concrete_left(actions: LoadCase) -> CaseResult:
    """Answer a load case for which neighbours take all the concrete that a check stands on. EN 1992-4:2018, 7.2.1.4."""
    return not_covered(actions, ScopeLimit(Limit.NEIGHBOURS_TAKE_CONCRETE, "7.2.1.4"))


def _prepare(fixing: Fixing, grid: Grid | None, actions: LoadCase) -> _Case:
    torsion, turned = _torsion(fixing, actions)
    path = lever_arm.shear_path(fixing, grid, actions.shear_x_n != 0.0 or turned, actions.shear_y_n != 0.0 or turned)
    return _Case(actions, torsion, turned, path, _Shares(actions.sustained_share, actions.sustained_share))


def _torsion(fixing: Fixing, actions: LoadCase) -> tuple[float, bool]:
    """Torsion about the centre of the fasteners (Nmm), and whether it is more than a tape's reading of their places."""
    centre = shear_distribution.centre(fixing.positions)
    torsion = shear_distribution.torsion_about(centre, actions.torsion_nmm, actions.shear_x_n, actions.shear_y_n)
    reach = max(math.hypot(*point) for point in fixing.positions) + math.hypot(
        fixing.fixture.width_mm, fixing.fixture.depth_mm
    )
    noise = TORSION_NOISE * (abs(actions.torsion_nmm) + math.hypot(actions.shear_x_n, actions.shear_y_n) * reach)
    # What a tape does not tell from shear through the centre turns nothing: it decides no limit and no lever arm.
    turned = abs(torsion) > max(noise, TAPE_MM * math.hypot(actions.shear_x_n, actions.shear_y_n))
    return torsion if turned or (abs(torsion) > noise and len(fixing.positions) > 1) else 0.0, turned


def _sustained_shares(fixing: Fixing, grid: Grid | None, sustained: LoadCase, forces: Forces, solve: Solve) -> _Shares:
    """Largest ratio of a fastener's sustained to total force, at most 1, and 1 where they oppose: 7.2.1.6."""
    # Pry-out stands on shear as well, so the larger of both counts for it.
    case = _prepare(fixing, grid, sustained)
    axial = _axial(fixing, case, solve)
    if isinstance(axial, ScopeLimit):
        return _Shares(1.0, 1.0)
    floor = plate_equilibrium.UNLOADED_SHARE * max(map(abs, forces.tension_n), default=0.0)
    pulled = zip(axial.tension_n, forces.tension_n, strict=True)
    tension = max((_share(stays, whole) for stays, whole in pulled if stays > floor), default=0.0)
    least = plate_equilibrium.UNLOADED_SHARE * max((math.hypot(*shear) for shear in forces.shear_n), default=0.0)
    sheared = zip(_shear(fixing, case), forces.shear_n, strict=True)
    across = max((_share_of_shear(stays, whole) for stays, whole in sheared if math.hypot(*stays) > least), default=0.0)
    return _Shares(tension, max(tension, across))


def _share(stays: float, whole: float) -> float:
    return min(1.0, stays / whole) if whole > 0.0 else 1.0


def _share_of_shear(stays: tuple[float, float], whole: tuple[float, float]) -> float:
    together = stays[0] * whole[0] + stays[1] * whole[1]
    return _share(math.hypot(*stays), math.hypot(*whole)) if together > 0.0 else 1.0


@dataclass(frozen=True, slots=True)
class _Axial:
    """Axial forces of the fasteners (N), the contact, and the strain plane under a plate that bears."""

    tension_n: tuple[float, ...]
    contact: Contact | None
    plane: plate_equilibrium.Vector | None


def _shear(fixing: Fixing, case: _Case) -> tuple[tuple[float, float], ...]:
    actions = case.actions
    if fixing.fixture.clearance == "oversize":
        return ((actions.shear_x_n, actions.shear_y_n),) * len(fixing.positions)
    return shear_distribution.elastic_shear(fixing.positions, actions.shear_x_n, actions.shear_y_n, case.torsion_nmm)


def _axial(
    fixing: Fixing,
    case: _Case,
    solve: Solve,
    stiffness_share: float = 1.0,
    start: plate_equilibrium.Vector | None = None,
) -> _Axial | ScopeLimit:
    actions = case.actions
    if not lever_arm.bears_on_concrete(fixing):
        return _axial_of_bolt_group(fixing, case)
    if actions.normal_n == 0.0 and actions.moment_x_nmm == 0.0 and actions.moment_y_nmm == 0.0:
        return _Axial((0.0,) * len(fixing.positions), None, None)
    modulus = en1992_1_1.secant_modulus_mpa(lever_arm.bearing_strength_mpa(fixing)) * stiffness_share
    try:
        plate = solve(
            fixing.positions,
            fixing.fastener.stress_area_mm2,
            modulus,
            plate_stiffness.plate_over_concrete(fixing),
            actions.normal_n,
            actions.moment_x_nmm,
            actions.moment_y_nmm,
            start,
        )
    except plate_equilibrium.NoEquilibriumError:
        return ScopeLimit(Limit.NO_EQUILIBRIUM, "6.2.1")
    return _Axial(plate.tension_n, plate.contact, plate.plane)


def _axial_of_bolt_group(fixing: Fixing, case: _Case) -> _Axial | ScopeLimit:
    actions, path = case.actions, case.path
    # What is known only from its label has no bending of its own: limits say where it would have to bend.
    lever = None if fixing.fastener.simplified is not None else path.arm
    arm, restraint = (0.0, 0.0) if lever is None else (lever.arm_mm, lever.restraint_mm)
    carried = arm / lever_arm.restraint_factor(fixing.fixture.rotation_held) - restraint
    left_x, left_y = bolt_group.moment_without_bending(
        actions.moment_x_nmm, actions.moment_y_nmm, actions.shear_x_n, actions.shear_y_n, carried
    )
    scale = (
        math.hypot(actions.moment_x_nmm, actions.moment_y_nmm)
        + math.hypot(actions.shear_x_n, actions.shear_y_n) * arm
        + abs(actions.normal_n) * max(1.0, *(math.hypot(*point) for point in fixing.positions))
    )
    try:
        axial = bolt_group.linear_forces(fixing.positions, actions.normal_n, left_x, left_y, scale)
    except bolt_group.BendingOfGroupError:
        return ScopeLimit(Limit.MOMENT_ON_LINE_OF_FASTENERS, "6.2.1")
    largest = max(abs(force) for force in axial)
    floor = max(plate_equilibrium.UNLOADED_SHARE * largest, TORSION_NOISE * scale)
    axial = tuple(force if abs(force) > floor else 0.0 for force in axial)
    fastener = fixing.fastener
    sectioned = fastener.stress_area_mm2 > 0.0 and fastener.yield_strength_mpa > 0.0
    if min(axial) < 0.0 and not (fastener.stand_off_compression and sectioned):
        return ScopeLimit(Limit.STAND_OFF_COMPRESSION, "6.2.1")
    return _Axial(axial, None, None)


@dataclass(frozen=True, slots=True)
class _ShearPart:
    """Checks in shear, which pressure under the fixture does not touch."""

    steel: Check | None
    others: tuple[Check, ...]


def _shear_part(fixing: Fixing, grid: Grid | None, case: _Case, forces: Forces, want_trace: bool) -> _ShearPart:
    if fixing.fastener.simplified is not None or all(shear == (0.0, 0.0) for shear in forces.shear_n):
        return _ShearPart(None, ())
    steel = steel_shear.verify(fixing, forces.shear_n, case.path.grouted, want_trace)
    return _ShearPart(steel, tuple(_shear_checks(fixing, grid, case, forces, want_trace)))


def _checks(
    fixing: Fixing, grid: Grid | None, case: _Case, forces: Forces, shear: _ShearPart, want_trace: bool
) -> list[Check]:
    pulled = any(force > 0.0 for force in forces.tension_n)
    if fixing.fastener.simplified is not None:
        loaded = pulled or any(force != (0.0, 0.0) for force in forces.shear_n)
        return [simplified.verify(fixing, forces.tension_n, forces.shear_n, want_trace)] if loaded else []
    steel_n = steel_tension.verify(fixing, forces.tension_n, want_trace) if pulled else None
    others_n = _tension_checks(fixing, grid, case, forces, want_trace) if pulled else []
    pressed = None
    if case.path.arm is not None and any(force < 0.0 for force in forces.tension_n):
        length = lever_arm.buckling_length(case.path.arm, fixing.fixture.rotation_held)
        pressed = steel_compression.verify(fixing, forces.tension_n, length, want_trace)
    bent = steel_together = None
    if shear.steel is not None and case.path.arm is not None:
        bent = lever_arm.verify(fixing, forces.tension_n, forces.shear_n, case.path.arm, want_trace)
    elif shear.steel is not None and steel_n is not None:
        steel_together = interaction.verify_steel(steel_n, shear.steel, forces.tension_n, forces.shear_n, want_trace)
    together = interaction.verify_concrete(others_n, shear.others, len(fixing.positions), want_trace)
    found = (steel_n, *others_n, pressed, shear.steel, bent, *shear.others, steel_together, together)
    return [check for check in found if check is not None]


def _tension_checks(fixing: Fixing, grid: Grid | None, case: _Case, forces: Forces, want_trace: bool) -> list[Check]:
    tension, share = forces.tension_n, case.shares.tension
    whole = tensioned(fixing, tension, range(len(fixing.positions)))
    if whole is None:
        return []
    checks: list[Check | None] = [concrete_cone.verify(fixing, grid, whole, tension, forces.contact, want_trace)]
    if fixing.fastener.assessed_bond is not None:
        checks.append(bond.verify(fixing, grid, whole, tension, share, want_trace))
    else:
        checks.append(pull_out.verify(fixing, tension, want_trace))
    checks.append(splitting.verify(fixing, whole, tension, share, want_trace))
    checks.extend(blow_out.verify(fixing, grid, tension, want_trace))
    return [check for check in checks if check is not None]


def _shear_checks(fixing: Fixing, grid: Grid | None, case: _Case, forces: Forces, want_trace: bool) -> list[Check]:
    actions = case.actions
    shear = (actions.shear_x_n, actions.shear_y_n)
    if fixing.fixture.clearance == "oversize":
        pried = pry_out.verify_single(fixing, grid, shear, case.shares.pry_out, want_trace)
    else:
        pried = pry_out.verify(fixing, grid, forces.shear_n, case.shares.pry_out, want_trace)
    return [pried, *concrete_edge.verify(fixing, grid, shear, case.torsion_nmm, want_trace)]


def _soft_contact(
    fixing: Fixing,
    grid: Grid | None,
    case: _Case,
    forces: Forces,
    plane: plate_equilibrium.Vector | None,
    shear: _ShearPart,
    checks: Sequence[Check],
) -> float | None:
    if forces.contact is None:
        return max((check.utilisation for check in checks), default=0.0)
    softer = _axial(fixing, case, plate_equilibrium.solve, SOFT_CONTACT_SHARE, plane)
    if isinstance(softer, ScopeLimit):
        return None
    try:
        again = _checks(fixing, grid, case, Forces(softer.tension_n, forces.shear_n, softer.contact), shear, False)
    except NoConcreteLeftError:
        return None
    return max((check.utilisation for check in again), default=0.0)


def _notes(fixing: Fixing, grid: Grid | None, forces: Forces, checks: Sequence[Check]) -> tuple[Note, ...]:
    notes = []
    if (grid is None or not grid.drawn) and fixing.fastener.simplified is None:
        notes.append(Note.ARRANGEMENT_NEAR_EDGE if near_edge(fixing) else Note.ARRANGEMENT_NOT_DRAWN)
    if _beyond_clearance(fixing, grid, forces):
        notes.append(Note.CLEARANCE_HOLES_NEAR_EDGE)
    if fixing.fixture.clearance == "oversize" and len(fixing.positions) > 1:
        notes.append(Note.ONE_FASTENER_TAKES_SHEAR)
    if any(force < 0.0 for force in forces.tension_n):
        notes.append(Note.FASTENER_IN_COMPRESSION)
    modes = {check.mode for check in checks}
    if Mode.CONCRETE_CONE in modes and Mode.SPLITTING not in modes:
        held = fixing.member.cracked and fixing.member.reinforcement.cracks_held
        notes.append(Note.SPLITTING_LEFT_TO_REINFORCEMENT if held else Note.SPLITTING_NOT_NEEDED)
    return tuple(notes)


def _beyond_clearance(fixing: Fixing, grid: Grid | None, forces: Forces) -> bool:
    """Whether shear acts near an edge in clearance holes, in another group than the standard covers with them."""
    if fixing.fixture.clearance == "filled" or fixing.fastener.simplified is not None or not near_edge(fixing):
        return False
    covered = grid is not None and max(len(grid.columns), len(grid.rows)) <= concrete_edge.CLEARANCE_IN_ROW
    return not covered and any(shear != (0.0, 0.0) for shear in forces.shear_n)


def _readings(
    fixing: Fixing, grid: Grid | None, case: _Case, forces: Forces, checks: Sequence[Check]
) -> tuple[str, ...]:
    if fixing.fastener.assessed_cone is None:
        return ()
    pulled = tuple(i for i, force in enumerate(forces.tension_n) if force > 0.0)
    sheared = any(shear != (0.0, 0.0) for shear in forces.shear_n)
    acting = tuple(range(len(fixing.positions))) if sheared else pulled
    found, near = [], near_edge(fixing)
    if _apart(fixing, grid, case, pulled, sheared, checks) or (
        sheared and grid is not None and _row_apart(fixing, grid)
    ):
        found.append("separate_groups")
    if fixing.neighbours:
        found.append("neighbours")
    if sheared and pry_out.turn_against_each_other(fixing.positions, forces.shear_n):
        found.append("pry_out_turning")
    if case.turned and near:
        found.append("edge_torsion")
    if fixing.fastener.assessed_bond is not None and len(acting) > 1:
        found.append("bond_mean_spacing")
    if sheared and near and fixing.fixture.clearance != "filled":
        found.append("clearance_arrangement")
    if (grid is None or not grid.drawn) and near:
        found.append("arrangement_near_edge")
    if _narrow_and_dense(fixing, grid, acting):
        found.append("narrow_shell_spalling")
    if not lever_arm.bears_on_concrete(fixing) and sheared:
        found.append("stand_off_bending")
    return tuple(found)


def _apart(
    fixing: Fixing, grid: Grid | None, case: _Case, pulled: tuple[int, ...], sheared: bool, checks: Sequence[Check]
) -> bool:
    """Whether fasteners are verified apart in a mode, each by its own spacing."""
    if sheared:
        members, cone = tuple(range(len(fixing.positions))), fixing.fastener.cone
        sides = [cone.cone_spacing_mm]
        if fixing.fastener.assessed_bond is not None:
            sides.append(bond.spacing_of(fixing, case.shares.pry_out))
        if any(len(touching_groups(fixing.positions, members, side)) > 1 for side in sides):
            return True
    for check in checks:
        together = set(pulled)
        if check.mode is Mode.BLOW_OUT and check.edge is not None:
            if grid is None or not grid.drawn:
                continue
            bands = grid.columns if EDGE_NAMES.index(check.edge) < 2 else grid.rows
            together &= next(set(band) for band in bands if check.fasteners[0] in band)
        elif check.mode not in {Mode.CONCRETE_CONE, Mode.BOND, Mode.SPLITTING}:
            continue
        if len(check.fasteners) < len(together):
            return True
    return False


def _row_apart(fixing: Fixing, grid: Grid) -> bool:
    nearest = fixing.member.nearest_mm(fixing.positions)
    return any(
        math.isfinite(nearest[edge]) and concrete_edge.parts_of_row(fixing, grid.front_row(edge), edge)
        for edge in range(4)
    )


def _narrow_and_dense(fixing: Fixing, grid: Grid | None, acting: tuple[int, ...]) -> bool:
    if not acting or concrete_cone.reinforcement_stands_apart(fixing.member.reinforcement):
        return False
    nearest = fixing.member.nearest_mm([fixing.positions[i] for i in acting])
    return concrete_cone.geometry_of(fixing, grid, acting, nearest).narrow_by is not None
