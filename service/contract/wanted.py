"""What a request wants, as frozen objects made once from the request as read.

A default that is simply zero, false or empty is stated here and nowhere else. Where leaving a field out means an
assumption, the value is None: it is known to be left out. Null, left out and the word "unknown" are one thing, but for
the material of a member. The objects have the fields of the statement that the request was read by, and no others;
lengths are in mm.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cache
from types import NoneType, UnionType
from typing import (
    Annotated,
    Any,
    Final,
    Literal,
    NamedTuple,
    TypeAlias,
    TypeVar,
    Union,
    get_args,
    get_origin,
    get_type_hints,
)

from service.contract.fields import UNKNOWN
from service.contract.terms import DETAILS, HOLES_OF_OLD, READINGS, RECORDED_KINDS
from service.contract.verification_codes import BaseMaterial
from service.engine.en1990 import Kind as ActionKind
from service.engine.model import Clearance, EdgeReinforcement, Profile

Wanted = TypeVar("Wanted")
Make: TypeAlias = Callable[[Any], Any]

Known: TypeAlias = Annotated[str | None, UNKNOWN]
"""A word that a request may call unknown, which is then None."""

DESIGN, CHARACTERISTIC = RECORDED_KINDS
SUMMARY, FULL = DETAILS
MOST_CHOICES: Final = 5
"""How many choices a sizing gives, where the request does not say."""


class Position(NamedTuple):
    """Where a fastener stands in the concrete surface."""

    x_mm: float
    y_mm: float


@dataclass(frozen=True, slots=True)
class Centre:
    """Centre of the fixture."""

    x_mm: float = 0.0
    y_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Neighbour:
    """A fastener of another fixing nearby, or an old hole; None is not known."""

    x_mm: float
    y_mm: float
    state: Known = None
    family: str | None = None
    size: str | None = None
    embedment_mm: float | None = None
    hole_diameter_mm: float | None = None
    hole_depth_mm: float | None = None

    @property
    def point(self) -> tuple[float, float]:
        """Where it stands (mm)."""
        return self.x_mm, self.y_mm

    @property
    def is_hole(self) -> bool:
        """Whether it is a hole without a fastener."""
        return self.state in HOLES_OF_OLD

    @property
    def may_be_loaded(self) -> bool:
        """Whether it is loaded, or nobody knows."""
        return self.state in {None, "loaded"}


@dataclass(frozen=True, slots=True)
class PulledFastener:
    """A fastener as the rulebook names it."""

    family: str
    size: str
    embedment_mm: float


@dataclass(frozen=True, slots=True)
class Fastener(PulledFastener):
    """The fastener to be verified, with its length where the request wants one."""

    length_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Edges:
    """Where the member ends; None is out of reach."""

    x_minus_mm: float | None = None
    x_plus_mm: float | None = None
    y_minus_mm: float | None = None
    y_plus_mm: float | None = None

    @property
    def all_mm(self) -> tuple[float | None, float | None, float | None, float | None]:
        """Every edge, in the order of their names."""
        return self.x_minus_mm, self.x_plus_mm, self.y_minus_mm, self.y_plus_mm


@dataclass(frozen=True, slots=True)
class Reinforcement:
    """Reinforcement near the fixing."""

    spacing_mm: float | None = None
    diameter_mm: float | None = None
    edge: EdgeReinforcement = "none"
    stirrup_spacing_mm: float | None = None
    cracks_held_to_0_3_mm: bool = False

    @property
    def counts(self) -> bool:
        """Whether a resistance may rest on it: bars that stand apart, close stirrups, or bars that hold cracks."""
        stirrups = self.edge == "edge_bar_with_stirrups" and self.stirrup_spacing_mm is not None
        return self.spacing_mm is not None or stirrups or self.cracks_held_to_0_3_mm


@dataclass(frozen=True, slots=True)
class Topping:
    """What lies on the concrete where the fixture stands."""

    kind: str
    thickness_mm: float
    comes_off: bool = False


@dataclass(frozen=True, slots=True)
class Member:
    """What holds the fixing; its reinforcement is None where nobody knows it.

    Its material is None where nothing is said of it: to call it unknown says that it may be anything.
    """

    thickness_mm: float
    material: str | None = None
    topping: Topping | None = None
    strength_class: Known = None
    strength_mpa: float | None = None
    strength_most_mpa: float | None = None
    state: Known = None
    edges: Edges = Edges()
    reinforcement: Reinforcement | None = None

    @property
    def of_the_method(self) -> bool:
        """Whether it is solid normal-weight concrete, as the method covers, or taken to be as nothing is said."""
        return self.material in {None, BaseMaterial.NORMAL_WEIGHT_CONCRETE}

    @property
    def counts_on_bars(self) -> bool:
        """Whether something was told of its reinforcement that a resistance may rest on."""
        return self.reinforcement is not None and self.reinforcement.counts

    @property
    def topping_left_mm(self) -> float:
        """What of the topping stays between fixture and concrete (mm)."""
        return 0.0 if self.topping is None or self.topping.comes_off else self.topping.thickness_mm


@dataclass(frozen=True, slots=True)
class AttachedSection:
    """What stands on the fixture."""

    width_mm: float
    depth_mm: float
    profile: Profile | None = None


@dataclass(frozen=True, slots=True)
class Grout:
    """Levelling layer between fixture and concrete, of no thickness where there is none."""

    thickness_mm: float = 0.0
    strength_mpa: float | None = None


@dataclass(frozen=True, slots=True)
class Fixture:
    """The plate, bracket or foot that is held."""

    width_mm: float
    depth_mm: float
    plate: bool = True
    centre: Centre = Centre()
    thickness_mm: float | None = None
    yield_mpa: float | None = None
    attached_section: AttachedSection | None = None
    clearance: Clearance | None = None
    hole_diameter_mm: float | None = None
    washer_thickness_mm: float | None = None
    stand_off_mm: float = 0.0
    grout: Grout = Grout()
    rotation: str | None = None
    washer_clamped: bool = False

    @property
    def raised(self) -> bool:
        """Whether it stands off the base material, in the open or on grout."""
        return self.gap_mm > 0.0

    @property
    def counts_on_washers(self) -> bool:
        """Whether its fasteners bend over a shorter length, as a washer clamps each to the concrete."""
        return self.raised and self.washer_clamped

    @property
    def counts_on_rotation_held(self) -> bool:
        """Whether its fasteners bend less, as it is held against rotation."""
        return self.raised and self.plate and self.rotation == "held"

    @property
    def counts_on_section(self) -> bool:
        """Whether it is checked as a plate, by the outline of what stands on it."""
        return self.plate and self.attached_section is not None

    @property
    def gap_mm(self) -> float:
        """Grout and stand-off together: how far it is from the concrete (mm)."""
        return self.stand_off_mm + self.grout.thickness_mm

    @property
    def clamped_mm(self) -> float | None:
        """Fixture, grout and stand-off together (mm), None where the fixture's thickness is not known."""
        if self.thickness_mm is None:
            return None
        return self.thickness_mm + self.gap_mm

    @property
    def outline_mm(self) -> tuple[float, float, float, float]:
        """Where it ends: x from, x to, y from, y to (mm)."""
        x, y, half_x, half_y = self.centre.x_mm, self.centre.y_mm, self.width_mm / 2.0, self.depth_mm / 2.0
        return x - half_x, x + half_x, y - half_y, y + half_y


@dataclass(frozen=True, slots=True)
class Components:
    """Forces and moments on the fixture."""

    normal_kn: float = 0.0
    shear_x_kn: float = 0.0
    shear_y_kn: float = 0.0
    moment_x_knm: float = 0.0
    moment_y_knm: float = 0.0
    torsion_knm: float = 0.0

    @property
    def all(self) -> tuple[float, float, float, float, float, float]:
        """All of them, in the order of their names."""
        return (
            self.normal_kn,
            self.shear_x_kn,
            self.shear_y_kn,
            self.moment_x_knm,
            self.moment_y_knm,
            self.torsion_knm,
        )

    @property
    def turns(self) -> bool:
        """Whether there is a moment."""
        return bool(self.moment_x_knm or self.moment_y_knm or self.torsion_knm)

    @property
    def shears(self) -> bool:
        """Whether there is a shear force."""
        return bool(self.shear_x_kn or self.shear_y_kn)


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadCase(Components):
    """One complete situation of actions on the fixture; characteristic only in a record."""

    name: str
    kind: str = DESIGN
    permanent_share: float | None = None
    sustained_share: float | None = None

    @property
    def factored(self) -> bool:
        """Whether its values are design values already; else they are characteristic ones."""
        return self.kind == DESIGN


@dataclass(frozen=True, slots=True, kw_only=True)
class Action(Components):
    """One characteristic action, to be combined with the others."""

    name: str
    kind: ActionKind
    source: str | None = None
    excludes: tuple[str, ...] = ()
    psi_0: float | None = None
    psi_1: float | None = None
    psi_2: float | None = None
    sustained_share: float | None = None
    holding_down: bool | None = None


@dataclass(frozen=True, slots=True)
class Redundancy:
    """Fixing points that share a load, and who has shown that the others carry the share of one that fails."""

    points: int
    fasteners_per_point: int = 1
    bridging_shown_by: Known = None


@dataclass(frozen=True, slots=True)
class Use:
    """What the fixing is for and what surrounds it."""

    situation: str | None = None
    redundancy: Redundancy | None = None
    redundant: bool | None = None
    """Only a record of old says it; the contract takes no new request that does."""
    structural: bool | None = None
    consequence: tuple[str, ...] | None = None
    overhead: bool | None = None
    exposure: Known = None
    temperature_range: Known = None
    hole: Known = None
    coldest_until_cured_c: float | None = None


@dataclass(frozen=True, slots=True)
class ToldInput:
    """What a load model was told of one of its inputs, or took."""

    input: str
    number: float | None = None
    word: str | None = None
    taken: bool = False


@dataclass(frozen=True, slots=True)
class LoadsFrom:
    """A load model that load cases came from, and the codes of its cautions."""

    load_model: str
    cautions: tuple[str, ...]
    told: tuple[ToldInput, ...] = ()

    @property
    def words(self) -> dict[str, str]:
        """The words that it was told or took, by input."""
        return {one.input: one.word for one in self.told if one.word is not None}

    @property
    def numbers(self) -> dict[str, float]:
        """The numbers that it was told or took, by input."""
        return {one.input: one.number for one in self.told if one.number is not None}


@dataclass(frozen=True, slots=True)
class Site:
    """How sure the site can be: the conditions that the request names, each with its value or unknown."""

    conditions: Mapping[str, str] = field(default_factory=dict)

    @classmethod
    def of(cls, given: Mapping[str, str | None] | None) -> Site:
        """Make it of the ``site`` part of a request; None where there is none."""
        return cls({name: value or UNKNOWN for name, value in (given or {}).items()})

    def value(self, condition: str) -> str:
        """The value of a condition; unknown where the request names none."""
        return self.conditions.get(condition, UNKNOWN)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What a gauge shows, in one of its units."""

    reading_kn: float | None = None
    reading_kg: float | None = None
    reading_lb: float | None = None
    reading_bar: float | None = None

    @property
    def unit(self) -> str:
        """The field that it is given in."""
        return next(name for name in READINGS if getattr(self, name) is not None)

    def in_unit(self, name: str) -> float:
        """The reading that is given in a field."""
        return float(getattr(self, name))


@dataclass(frozen=True, slots=True, kw_only=True)
class CalibrationPoint(Reading):
    """A point of a calibration."""

    load_kn: float


@dataclass(frozen=True, slots=True)
class Gauge:
    """The gauge of the puller; without points it shows the load itself."""

    certificate: str
    valid_until: date
    calibrated_on: date | None = None
    points: tuple[CalibrationPoint, ...] = ()
    accuracy_percent: float | None = None
    accuracy_kn: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PullToFailure(Reading):
    """One pull of an allowable-resistance test."""

    name: str
    failure: str
    concrete_state: str | None = None
    crack_width_mm: float | None = None
    edge_mm: float | None = None
    spacing_mm: float | None = None


@dataclass(frozen=True, slots=True)
class AllowableTests:
    """Pulls to failure in a base material that nobody has data for."""

    tested_on: date
    base_material: str
    thickness_mm: float
    fastener: PulledFastener
    drilling: str
    hole: str
    gauge: Gauge
    support_distance_mm: float
    pulls: tuple[PullToFailure, ...]
    reference: str | None = None
    base_material_kind: str | None = None
    curing_over: bool | None = None


@dataclass(frozen=True, slots=True)
class SiteTest:
    """Tests whose resistance a verification is to use, and the id that the request gives them."""

    tests: AllowableTests
    id: str | None = None


@dataclass(frozen=True, slots=True)
class AbortedHole:
    """A hole that was begun for the fixing and not used."""

    x_mm: float
    y_mm: float
    depth_mm: float
    diameter_mm: float | None = None
    refilled: bool = False

    def as_neighbour(self) -> Neighbour:
        """The same as a hole near the fasteners."""
        return Neighbour(
            self.x_mm,
            self.y_mm,
            "filled_hole" if self.refilled else "open_hole",
            hole_diameter_mm=self.diameter_mm,
            hole_depth_mm=self.depth_mm,
        )


@dataclass(frozen=True, slots=True)
class OtherLength:
    """A fastener of another length than the rest."""

    number: int
    length_mm: float


@dataclass(frozen=True, slots=True)
class MovedFrom:
    """Where a fastener was first verified, that stands or is to stand elsewhere."""

    number: int
    x_mm: float
    y_mm: float


@dataclass(frozen=True, slots=True)
class LoadMoved:
    """How far a load moved with its fixture from where it was first verified."""

    x_mm: float
    y_mm: float


@dataclass(frozen=True, slots=True)
class Built:
    """What earlier as-built checks found, as far as verifications and sheets go by it."""

    embedment_mm: float | None = None
    hole_depth_mm: float | None = None
    missing_numbers: tuple[int, ...] = ()
    aborted_holes: tuple[AbortedHole, ...] = ()
    to_set_numbers: tuple[int, ...] = ()
    moved_from: tuple[MovedFrom, ...] = ()
    other_lengths: tuple[OtherLength, ...] = ()
    load_moved: LoadMoved = LoadMoved(0.0, 0.0)
    measured: tuple[str, ...] = ()

    @property
    def other_lengths_mm(self) -> tuple[float, ...]:
        """Each length once that a fastener has beside that of the rest (mm), the shortest first."""
        return tuple(sorted({other.length_mm for other in self.other_lengths}))

    def numbers(self, standing: int) -> tuple[int, ...]:
        """Number the fasteners as the first sheet did.

        Args:
            standing: How many stand.

        Returns:
            Their numbers, in the order of positions.
        """
        every = range(1, standing + len(self.missing_numbers) + 1)
        return tuple(number for number in every if number not in self.missing_numbers)


@dataclass(frozen=True, slots=True)
class Job:
    """Which job a fixing belongs to; a sheet leaves a line for what is not told."""

    structure: str | None = None
    drawing: str | None = None
    revision: str | None = None
    issued_by: str | None = None
    call: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Fixing:
    """What a verification and a sizing both need; its day is resolved."""

    assessed_on: date
    rulebook: str | None = None
    fixing_reference: str | None = None
    job: Job = Job()
    member: Member
    fixture: Fixture
    neighbours: tuple[Neighbour, ...] | None = None
    load_cases: tuple[LoadCase, ...] = ()
    actions: tuple[Action, ...] = ()
    loads_from: tuple[LoadsFrom, ...] = ()
    use: Use = Use()
    site: Site = Site()
    detail: str = SUMMARY

    @property
    def traced(self) -> bool:
        """Whether each check is to carry its trace."""
        return self.detail == FULL

    @property
    def fewest_fasteners(self) -> int:
        """How many fasteners the fixing has at least."""
        raise NotImplementedError

    @property
    def standing_fixture(self) -> Fixture:
        """The fixture as it stands off the concrete: what of the topping stays under it counts as stand-off."""
        return standing(self.fixture, self.member)


@dataclass(frozen=True, slots=True, kw_only=True)
class Verification(Fixing):
    """A fixing to be verified."""

    came_from_record: str | None = None
    fastener: Fastener
    positions: tuple[Position, ...]
    built: Built = Built()
    site_test: SiteTest | None = None
    base_material: str | None = None

    @property
    def fewest_fasteners(self) -> int:
        """How many fasteners it has."""
        return len(self.positions)

    @property
    def in_masonry(self) -> bool:
        """Whether pulls in masonry show what holds it: there are joints, and nothing of what concrete has."""
        test = self.site_test
        return BaseMaterial.MASONRY in (self.member.material, None if test is None else test.tests.base_material_kind)


@dataclass(frozen=True, slots=True)
class PatternAxis:
    """Rows of fasteners along one axis, evenly spaced; without spacings there is a single row."""

    counts: tuple[int, ...]
    spacings_mm: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Pattern:
    """Grids to try, about the fixture's centre."""

    x: PatternAxis
    y: PatternAxis


@dataclass(frozen=True, slots=True)
class Limits:
    """What a choice must keep; None does not filter."""

    utilisation: float = 1.0
    mechanisms: tuple[str, ...] | None = None
    families: tuple[str, ...] | None = None
    removable: bool | None = None
    setting: str | None = None
    hole_depth_mm: float | None = None
    hole_diameter_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Sizing(Fixing):
    """Actions and surroundings for which a fixing is wanted: where the holes are, or which grids to try."""

    positions: tuple[Position, ...] | None = None
    pattern: Pattern | None = None
    limits: Limits = Limits()
    max_choices: int = MOST_CHOICES

    @property
    def fewest_fasteners(self) -> int:
        """How many fasteners the smallest layout has."""
        if self.pattern is None:
            return len(self.positions or ())
        return min(self.pattern.x.counts) * min(self.pattern.y.counts)


def standing(fixture: Fixture, member: Member) -> Fixture:
    """Count what of a topping stays under a fixture as stand-off (mm): it bears nothing."""
    left_mm = member.topping_left_mm
    return replace(fixture, stand_off_mm=fixture.stand_off_mm + left_mm) if left_mm else fixture


def standing_in(request: Mapping[str, Any]) -> Fixture:
    """Give the fixture of a request that has not become an object, as it stands off the concrete."""
    return standing(made(Fixture, request["fixture"]), made(Member, request["member"]))


def made(kind: Callable[..., Wanted], given: Mapping[str, Any]) -> Wanted:
    """Make an object of a request.

    Args:
        kind: Its class.
        given: The object as read by its statement; of a whole request the day is resolved.

    Returns:
        The object, what is null or unknown left out.
    """
    values, makers = {}, _makers(kind)
    for name, value in given.items():
        if value is not None and name in makers and (value := makers[name](value)) is not None:
            values[name] = value
    return kind(**values)


@cache
def _makers(kind: Callable[..., Any]) -> Mapping[str, Make]:
    return {name: _make(hint) for name, hint in get_type_hints(kind, include_extras=True).items()}


def _make(hint: Any) -> Make:
    """What makes the value of a field from what was read; it makes None of what counts as left out."""
    origin, inside = get_origin(hint), get_args(hint)
    if origin is Annotated:
        return lambda value: None if value == UNKNOWN else value
    if origin in {Union, UnionType}:
        (kind,) = (each for each in inside if each is not NoneType)
        return _make(kind)
    if origin is tuple:
        make = _make(inside[0])
        return lambda values: tuple(make(value) for value in values)
    if hint is date:
        return date.fromisoformat
    if hint is Site:
        return Site.of
    if hint is float:
        return _number
    if origin is Literal or hint in {str, bool, int}:
        return _itself
    return lambda given: None if given == UNKNOWN else made(hint, given)


def _number(value: float) -> float:
    # Adding zero makes zero of minus zero.
    return float(value) + 0.0


def _itself(value: Any) -> Any:
    return value
