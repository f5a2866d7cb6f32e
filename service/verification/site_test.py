"""A resistance from pulls on site: what the pulls are worth, and where that holds.

The method of EN 1992-4 is for concrete. In a base material that nobody has data for, pulls to failure at the place
itself give a characteristic resistance of one fastener, as a lower fractile with its confidence; the rulebook says how
many pulls, how much scatter, what factor, and how far the result reaches. A verification recomputes it from the pulls.
"""

from __future__ import annotations

import hashlib
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from service.engine import failure_loads
from service.engine.en1992_4 import steel_shear, steel_tension
from service.engine.model import LoadCase, Member, PartialFactors, Point
from service.engine.tolerance_factor import tolerance_factor
from service.rulebook import Rulebook
from service.rulebook.canonical import canonical
from service.verification.fixing import N_PER_KN
from service.verification.gauge import loads_n
from service.verification.refusal import Refusal, RefusedRequest
from service.verification.requirements import TOLERANCE_MM, Requirement, smallest_spacing
from service.verification.selection import UNKNOWN, Selection, select

RULES = "factors/site-tests#"
BASE_MATERIAL_FAILURES = ("pull_out", "concrete_cone", "splitting", "unit_pull_out")
OTHER_ENDS = ("steel", "none")
NORMAL, LOG_NORMAL, LESSER = "normal", "log_normal", "lesser_of_both"


@dataclass(frozen=True, slots=True)
class Pull:
    """One pull: its load (N) and how it ended."""

    name: str
    load_n: float
    failure: str

    @property
    def failed(self) -> bool:
        """Whether the base material failed; else the load is a lower bound of what it holds."""
        return self.failure in BASE_MATERIAL_FAILURES


@dataclass(frozen=True, slots=True)
class Statistics:
    """How the failure loads became a characteristic resistance (N)."""

    spread: failure_loads.Spread
    tolerance_factor: float
    normal_n: float
    log_normal_n: float
    distribution: str
    variation_factor: float
    mechanism_factor: float
    before_cap_n: float
    steel_n: float

    @property
    def characteristic_n(self) -> float:
        """Characteristic resistance, never above that of the steel or of the label (N)."""
        return min(self.before_cap_n, self.steel_n)


@dataclass(frozen=True, slots=True)
class Reach:
    """Where and for how long the resistance holds (mm)."""

    family: str
    size: str
    embedment_mm: float
    base_material: str
    drilling: str
    hole: str
    edge_mm: float
    shear_edge_mm: float
    spacing_mm: float
    thickness_mm: float
    tested_on: date
    valid_until: date


@dataclass(frozen=True, slots=True)
class SiteTest:
    """Allowable-resistance tests, and what follows from them; ``statistics`` is None where nothing does."""

    id: str
    reference: str | None
    selection: Selection
    pulls: tuple[Pull, ...]
    requirements: tuple[Requirement, ...]
    statistics: Statistics | None
    partial_factor: float
    reach: Reach

    @property
    def number(self) -> int:
        """How many pulls ended in failure of the base material."""
        return sum(pull.failed for pull in self.pulls)

    @property
    def characteristic_n(self) -> float | None:
        """Characteristic resistance of one fastener (N), None where the pulls give none."""
        met = all(requirement.met for requirement in self.requirements)
        return self.statistics.characteristic_n if self.statistics is not None and met else None


def content_id(tests: Mapping[str, Any]) -> str:
    """``sha256:`` and the SHA-256 of the RFC 8785 form of the tests; what is null in them counts as left out."""
    return f"sha256:{hashlib.sha256(canonical(given(tests))).hexdigest()}"


def given(value: Any) -> Any:
    """Leave out what is null, which in a request means the same as leaving it out."""
    if isinstance(value, Mapping):
        return {name: given(inner) for name, inner in value.items() if inner is not None}
    return [given(item) for item in value] if isinstance(value, Sequence) and not isinstance(value, str) else value


def read_site_test(tests: Mapping[str, Any], rulebook: Rulebook, place: str) -> SiteTest:
    """What allowable-resistance tests are worth under a rulebook.

    Args:
        tests: The tests of a request.
        rulebook: The rulebook.
        place: Where they stand in the request, as a JSON pointer.

    Returns:
        The resistance with its reach, or what keeps the pulls from giving one.

    Raises:
        RefusedRequest: For a family, size or embedment that the rulebook has not, or a gauge that proves nothing.
    """
    rules = rulebook.factors["site-tests"]
    selection = selected(tests, rulebook, place)
    _check_drilling(tests["drilling"], rulebook, f"{place}/drilling")
    loads = loads_n(tests, place)
    pulls = tuple(Pull(pull["name"], load, pull["failure"]) for pull, load in zip(tests["pulls"], loads, strict=True))
    number = sum(pull.failed for pull in pulls)
    enough = number >= rules["allowable_tests"]["number_min"]
    statistics = statistics_of(pulls, selection, rules) if enough else None
    return SiteTest(
        id=content_id(tests),
        reference=tests.get("reference"),
        selection=selection,
        pulls=pulls,
        requirements=tuple(_requirements(tests, selection, rules, number, statistics)),
        statistics=statistics,
        partial_factor=float(rules["allowable_tests"]["partial_factor"]),
        reach=_reach(tests, rules["reach"]),
    )


def _check_drilling(drilling: str, rulebook: Rulebook, place: str) -> None:
    # Unknown would be the same as unknown: whoever sets the fixing has to know how the holes of the tests were made.
    known = [
        name for name in rulebook.factors["site-conditions"]["conditions"]["drilling"]["values"] if name != UNKNOWN
    ]
    if drilling not in known:
        raise RefusedRequest(Refusal(place, "not_allowed", f"must be one of {', '.join(known)}"))


def selected(tests: Mapping[str, Any], rulebook: Rulebook, place: str) -> Selection:
    """The pulled fastener in the rulebook.

    Args:
        tests: Tests or a lot of a request, with a ``fastener``.
        rulebook: The rulebook.
        place: Where they stand in the request, as a JSON pointer.

    Returns:
        Family, size and embedment.

    Raises:
        RefusedRequest: For one that the rulebook has not, with those it has.
    """
    try:
        selection = select(tests, rulebook)
    except RefusedRequest as refused:
        moved = (Refusal(place + e.pointer.removeprefix("#"), e.code, e.detail) for e in refused.errors)
        raise RefusedRequest(*moved) from None
    if selection.row is None:
        known = ", ".join(selection.size["embedments"])
        words = f"{selection.family_id} {selection.size_name} has no such embedment; it has {known} mm"
        raise RefusedRequest(Refusal(f"{place}/fastener/embedment_mm", "not_allowed", words))
    return selection


def statistics_of(pulls: Sequence[Pull], selection: Selection, rules: Mapping[str, Any]) -> Statistics:
    """The characteristic resistance that failure loads show.

    ISO 16269-6:2014 for the fractile; which distribution, content, confidence and scatter is the rulebook's.

    Args:
        pulls: The pulls, at least two of them to failure of the base material.
        selection: The pulled fastener.
        rules: The rulebook's rules of site tests.

    Returns:
        The characteristic resistance and how it came about (N).
    """
    asked = rules["allowable_tests"]
    failures = [pull.load_n for pull in pulls if pull.failed]
    bounds = [pull.load_n for pull in pulls if not pull.failed]
    k = tolerance_factor(len(failures), float(asked["content"]), float(asked["confidence"]))
    found = {
        NORMAL: failure_loads.normal_fractile(failures, bounds, k),
        LOG_NORMAL: failure_loads.log_normal_fractile(failures, bounds, k),
    }
    wanted = asked["distribution"]
    distribution = min(found, key=lambda name: found[name]) if wanted == LESSER else wanted
    spread = failure_loads.spread(failures, bounds)
    scatter = failure_loads.variation_factor(
        spread.variation, float(asked["variation_free"]), float(asked["variation_slope"])
    )
    mechanism = rules["mechanisms"].get(selection.family["mechanism"])
    factor = 0.0 if mechanism is None else float(mechanism["factor"])
    return Statistics(
        spread=spread,
        tolerance_factor=k,
        normal_n=found[NORMAL],
        log_normal_n=found[LOG_NORMAL],
        distribution=distribution,
        variation_factor=scatter,
        mechanism_factor=factor,
        before_cap_n=found[distribution] * scatter * factor,
        steel_n=steel_n(selection),
    )


def label_n(selection: Selection) -> float:
    """What the label of a fastener states (N), infinite where its assessment gives the full figures."""
    simplified = (selection.row or {}).get("simplified")
    return math.inf if simplified is None else float(simplified["resistance_kn"]) * N_PER_KN


def steel_n(selection: Selection) -> float:
    """Most that the fastener itself bears in tension: N_Rk,s, and no more than its label states (N)."""
    steel, geometry = selection.size["steel"], selection.size["geometry"]
    if steel is None:
        return label_n(selection)
    if steel["tension_kn"] is not None:
        return min(label_n(selection), float(steel["tension_kn"]) * N_PER_KN)
    area, strength = float(geometry["stress_area_mm2"]), float(steel["tensile_strength_mpa"])
    return min(label_n(selection), steel_tension.steel_resistance(area, strength))


def steel_shear_n(selection: Selection, count: int) -> float:
    """Most that one fastener of a group itself bears in shear: k7·V0_Rk,s, and no more than its label states (N)."""
    steel, geometry = selection.size["steel"], selection.size["geometry"]
    if steel is None:
        return label_n(selection)
    alone = (
        float(steel["shear_kn"]) * N_PER_KN
        if steel["shear_kn"] is not None
        else steel_shear.steel_resistance(float(geometry["stress_area_mm2"]), float(steel["tensile_strength_mpa"]))
    )
    factor = steel_shear.group_factor(steel["shear_group_factor"], count, bool(steel["ductile"]))
    return min(label_n(selection), factor * alone)


def _requirements(
    tests: Mapping[str, Any],
    selection: Selection,
    rules: Mapping[str, Any],
    number: int,
    statistics: Statistics | None,
) -> Iterator[Requirement]:
    asked, loading = rules["allowable_tests"], rules["loading"]
    mechanism = selection.family["mechanism"]
    yield Requirement(
        "site_test_mechanism", mechanism in rules["mechanisms"],
        f"a resistance may come from site tests for: {', '.join(sorted(rules['mechanisms']))}",
        mechanism, ", ".join(sorted(rules["mechanisms"])), None, f"{RULES}/mechanisms", decisive=True,
    )  # fmt: skip
    least = int(asked["number_min"])
    yield Requirement(
        "site_test_number", number >= least,
        f"at least {least} pulls ended in failure of the base material; pulls stopped before, or ended by the steel, "
        "are lower bounds and do not count",
        number, least, None, f"{RULES}/allowable_tests/number_min", decisive=True,
    )  # fmt: skip
    support = float(loading["support_factor_allowable"]) * float(tests["fastener"]["embedment_mm"])
    yield Requirement(
        "site_test_support", tests["support_distance_mm"] >= support - TOLERANCE_MM,
        f"the feet of the bridge stood at least {support:g} mm from the fastener, so that they did not hold down what "
        "would have broken out",
        tests["support_distance_mm"], support, "mm", f"{RULES}/loading/support_factor_allowable", decisive=True,
    )  # fmt: skip
    if statistics is not None:
        yield from _of_scatter(statistics, asked)


def _of_scatter(statistics: Statistics, asked: Mapping[str, Any]) -> Iterator[Requirement]:
    most = float(asked["variation_max"])
    yield Requirement(
        "site_test_scatter", statistics.spread.variation <= most,
        "the failure loads scatter little enough to stand for one base material and one way of setting; where they "
        "do not, find out why, part what differs, and pull anew",
        statistics.spread.variation, most, None, f"{RULES}/allowable_tests/variation_max", decisive=True,
    )  # fmt: skip
    if statistics.spread.variation <= most:
        yield Requirement(
            "site_test_above_zero", statistics.characteristic_n > 0.0,
            "the lower limit of the failure loads lies above 0",
            statistics.before_cap_n / N_PER_KN, 0.0, "kN", None, decisive=True,
        )  # fmt: skip


def _reach(tests: Mapping[str, Any], rules: Mapping[str, Any]) -> Reach:
    fastener = tests["fastener"]
    depth = float(fastener["embedment_mm"])
    edges = [float(pull["edge_mm"]) for pull in tests["pulls"] if pull.get("edge_mm") is not None]
    spacings = [float(pull["spacing_mm"]) for pull in tests["pulls"] if pull.get("spacing_mm") is not None]
    edge = min(edges) if edges else float(rules["edge_factor"]) * depth
    tested_on = date.fromisoformat(tests["tested_on"])
    return Reach(
        family=fastener["family"],
        size=fastener["size"],
        embedment_mm=depth,
        base_material=tests["base_material"],
        drilling=tests["drilling"],
        hole=tests["hole"],
        edge_mm=edge,
        shear_edge_mm=max(edge, float(rules["shear_edge_factor"]) * depth),
        spacing_mm=max([float(rules["spacing_factor"]) * depth, *([min(spacings)] if spacings else [])]),
        thickness_mm=float(tests["thickness_mm"]),
        tested_on=tested_on,
        valid_until=tested_on + timedelta(days=int(rules["age_max_days"])),
    )


def same_words(a: str, b: str) -> bool:
    """Whether two texts are the same but for capitals and white space."""
    return a.split() == b.split() or " ".join(a.split()).casefold() == " ".join(b.split()).casefold()


def of_request(request: Mapping[str, Any], rulebook: Rulebook) -> SiteTest | None:
    """The tests that a verification request brings with it, None where it brings none."""
    given_test = request.get("site_test")
    return None if given_test is None else read_site_test(given_test["tests"], rulebook, "#/site_test/tests")


def sheared(load_cases: Sequence[LoadCase]) -> bool:
    """Whether any load case shears or turns the fixture."""
    return any(case.shear_x_n or case.shear_y_n or case.torsion_nmm for case in load_cases)


def resistance_n(test: SiteTest, count: int, shears: bool, factors: PartialFactors) -> float:
    """Characteristic resistance of one fastener to its resultant (N): that of the pulls, nowhere above the steel's.

    The steel has other partial factors, so that its resistance is scaled to compare design resistances.

    Args:
        test: Tests that give a resistance.
        count: Number of fasteners.
        shears: Whether any load case shears the fasteners.
        factors: Partial factors of the steel.

    Returns:
        The resistance (N).

    Raises:
        ValueError: When the tests give none.
    """
    if test.characteristic_n is None:
        raise ValueError("these tests give no resistance")
    gamma = test.partial_factor
    found = min(test.characteristic_n, steel_n(test.selection) * gamma / max(gamma, factors.steel_tension))
    if not shears:
        return found
    return min(found, steel_shear_n(test.selection, count) * gamma / max(gamma, factors.steel_shear))


def fixed_of(request: Mapping[str, Any], selection: Selection, drilling: str, hole: str, assessed_on: date) -> Fixed:
    """What a verification request says of its fixing.

    Args:
        request: The request, with a ``site_test``.
        selection: What it chose.
        drilling: Drilling method of the request, or unknown.
        hole: State of the hole as taken.
        assessed_on: Day of the assessment.

    Returns:
        What is held against the reach of the tests.
    """
    fixture = request["fixture"]
    grout = (fixture.get("grout") or {}).get("thickness_mm") or 0.0
    return Fixed(
        selection=selection,
        embedment_mm=float(request["fastener"]["embedment_mm"]),
        base_material=request.get("base_material") or "not given",
        drilling=drilling,
        hole=hole,
        assessed_on=assessed_on,
        stated_id=request["site_test"].get("id"),
        raised=(fixture.get("stand_off_mm") or 0.0) > 0.0 or grout > 0.0,
    )


@dataclass(frozen=True, slots=True)
class Fixed:
    """What a verification says of its fixing, to be held against the reach of tests."""

    selection: Selection
    embedment_mm: float
    base_material: str
    drilling: str
    hole: str
    assessed_on: date
    stated_id: str | None
    raised: bool


def reaches_fixing(test: SiteTest, fixed: Fixed) -> Iterator[Requirement]:
    """Whether the tests are those that were meant, and were made on the like of the fixing.

    Args:
        test: The tests.
        fixed: The fixing.

    Yields:
        What has to be so, beside distances.
    """
    yield from test.requirements
    reach = test.reach
    if fixed.stated_id is not None:
        yield Requirement(
            "site_test_id", fixed.stated_id == test.id,
            "the id of the tests belongs to their content: nothing was changed in them since they were assessed",
            fixed.stated_id, test.id, None, None, decisive=True,
        )  # fmt: skip
    period = f"{reach.tested_on.isoformat()} to {reach.valid_until.isoformat()}"
    yield Requirement(
        "site_test_age", reach.tested_on <= fixed.assessed_on <= reach.valid_until,
        f"tests of {reach.tested_on.isoformat()} hold until {reach.valid_until.isoformat()}",
        fixed.assessed_on.isoformat(), period, None, f"{RULES}/reach/age_max_days", decisive=True,
    )  # fmt: skip
    same = (reach.family, reach.size) == (fixed.selection.family_id, fixed.selection.size_name)
    pulled = f"{reach.family} {reach.size}, embedment {reach.embedment_mm:g} mm"
    set_here = f"{fixed.selection.family_id} {fixed.selection.size_name}, embedment {fixed.embedment_mm:g} mm"
    yield Requirement(
        "site_test_fastener", same and math.isclose(reach.embedment_mm, fixed.embedment_mm, abs_tol=TOLERANCE_MM),
        "the fastener is the one that was pulled: family, size and embedment",
        set_here, pulled, None, None, decisive=True,
    )  # fmt: skip
    yield _equal(
        "site_test_drilling", "the holes are drilled as they were for the tests", fixed.drilling, reach.drilling
    )
    yield _equal("site_test_hole", "the holes are in the state that they had in the tests", fixed.hole, reach.hole)
    yield Requirement(
        "site_test_base_material", same_words(fixed.base_material, reach.base_material),
        "the base material is the one that was tested, in the same words; another wall is another material",
        fixed.base_material, reach.base_material, None, None, decisive=True,
    )  # fmt: skip
    yield Requirement(
        "site_test_contact", not fixed.raised,
        "the fixture stands on the base material itself: pulls show nothing of bending over a stand-off or grout",
        "stand-off or grout" if fixed.raised else "in contact", "in contact", None, None, decisive=True,
    )  # fmt: skip


def reaches_place(test: SiteTest, member: Member, positions: Sequence[Point], sheared: bool) -> Iterator[Requirement]:
    """Whether the fixing keeps the distances that the tests had.

    Args:
        test: The tests.
        member: The base material that holds the fixing (mm).
        positions: Positions of the fasteners (mm).
        sheared: Whether any load case shears the fasteners.

    Yields:
        Thickness, edge distance and spacing (mm).
    """
    reach = test.reach
    yield _at_least(
        "site_test_thickness",
        member.thickness_mm,
        reach.thickness_mm,
        "the base material is as thick as it was in the tests",
    )
    edge = min(member.nearest_mm(positions))
    yield _at_least("site_test_edge", edge, reach.edge_mm, "every edge is as far away as it was in the tests")
    if sheared:
        yield _at_least(
            "site_test_shear_edge", edge, reach.shear_edge_mm,
            "pulls show nothing of shear towards an edge, so every edge is out of its reach",
            f"{RULES}/reach/shear_edge_factor",
        )  # fmt: skip
    yield _at_least(
        "site_test_spacing", smallest_spacing(positions), reach.spacing_mm,
        "single pulls show nothing of neighbours that pull at the same time, so the fasteners stand apart",
        f"{RULES}/reach/spacing_factor",
    )  # fmt: skip


def _equal(code: str, words: str, found: str, tested: str) -> Requirement:
    return Requirement(code, found == tested, words, found, tested, None, None, decisive=True)


def _at_least(code: str, found_mm: float, least_mm: float, words: str, rule: str | None = None) -> Requirement:
    shown = found_mm if math.isfinite(found_mm) else "out of reach"
    met = found_mm >= least_mm - TOLERANCE_MM
    return Requirement(code, met, f"{words}: at least {least_mm:g} mm", shown, least_mm, "mm", rule, decisive=True)
