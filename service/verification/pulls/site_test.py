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
from datetime import date
from typing import Any

from service.engine.model import LoadCase, Member, PartialFactors, Point
from service.rulebook import Rulebook
from service.rulebook.canonical import canonical
from service.verification.assumptions import WEAKEST_COVERED, Use
from service.verification.pulls.gauge import loads_n
from service.verification.pulls.reach import CRACKED, Reach, reach_of, state_reached, young_enough
from service.verification.pulls.requirements import RULES as RULES
from service.verification.pulls.requirements import requirements_of_pulls
from service.verification.pulls.statistics import Pull, Statistics, statistics_of, steel_n, steel_shear_n, warmth_factor
from service.verification.refusal import Refusal, RefusedRequest
from service.verification.requirements import TOLERANCE_MM, Requirement, smallest_spacing
from service.verification.selection import UNKNOWN, Selection, select


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
    pulls = tuple(
        Pull(pull["name"], load, pull["failure"], _crack_mm(pull))
        for pull, load in zip(tests["pulls"], loads, strict=True)
    )
    number = sum(pull.failed for pull in pulls)
    enough = number >= rules["allowable_tests"]["number_min"]
    statistics = statistics_of(pulls, selection, rules) if enough else None
    return SiteTest(
        id=content_id(tests),
        reference=tests.get("reference"),
        selection=selection,
        pulls=pulls,
        requirements=tuple(requirements_of_pulls(tests, selection, rules, pulls, statistics)),
        statistics=statistics,
        partial_factor=float(rules["allowable_tests"]["partial_factor"]),
        reach=reach_of(tests, selection, rules, pulls),
    )


def _crack_mm(pull: Mapping[str, Any]) -> float:
    # A crack that nobody measured is no crack of the width that a pull in cracked concrete needs.
    return float(pull.get("crack_width_mm") or 0.0) if pull.get("concrete_state") == CRACKED else 0.0


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


def resistance_n(test: SiteTest, count: int, shears: bool, factors: PartialFactors, temperature_range: str) -> float:
    """Characteristic resistance of one fastener to its resultant (N): that of the pulls, nowhere above the steel's.

    The steel has other partial factors, so that its resistance is scaled to compare design resistances.

    Args:
        test: Tests that give a resistance.
        count: Number of fasteners.
        shears: Whether any load case shears the fasteners.
        factors: Partial factors of the steel.
        temperature_range: Range of the use, in which resin may hold less than on the day of the pulls.

    Returns:
        The resistance (N).

    Raises:
        ValueError: When the tests give none, or the resin is not assessed in the range.
    """
    warm = warmth_factor(test.selection, temperature_range)
    if test.characteristic_n is None or warm is None:
        raise ValueError("these tests give no resistance")
    gamma = test.partial_factor
    found = min(test.characteristic_n * warm, steel_n(test.selection) * gamma / max(gamma, factors.steel_tension))
    if not shears:
        return found
    return min(found, steel_shear_n(test.selection, count) * gamma / max(gamma, factors.steel_shear))


def fixed_of(request: Mapping[str, Any], selection: Selection, drilling: str, use: Use, assessed_on: date) -> Fixed:
    """What a verification request says of its fixing.

    Args:
        request: The request, with a ``site_test``.
        selection: What it chose.
        drilling: Drilling method of the request, or unknown.
        use: Use of the fixing as taken.
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
        hole=use.hole,
        temperature_range=use.temperature_range,
        assessed_on=assessed_on,
        stated_id=request["site_test"].get("id"),
        state=request["member"].get("state") or UNKNOWN,
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
    temperature_range: str
    assessed_on: date
    stated_id: str | None
    state: str
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
    yield state_reached(reach, fixed.state)
    if fixed.stated_id is not None:
        yield Requirement(
            "site_test_id", fixed.stated_id == test.id,
            "the id of the tests belongs to their content: nothing was changed in them since they were assessed",
            fixed.stated_id, test.id, None, None, decisive=True,
        )  # fmt: skip
    yield young_enough(reach, fixed.assessed_on)
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
    if fixed.selection.size["bond"] is not None:
        yield _warmth(fixed)
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


def _warmth(fixed: Fixed) -> Requirement:
    factor = warmth_factor(fixed.selection, fixed.temperature_range)
    words = "the resin is assessed in the temperature range, which tells what it loses there"
    if factor is not None:
        words += f": the pulls were made on a cool day, so {factor:.3g} of what they give counts"
    range_words = "not known" if fixed.temperature_range == WEAKEST_COVERED else fixed.temperature_range
    rule = fixed.selection.size_path("bond", "characteristic_mpa")
    return Requirement(
        "site_test_temperature", factor is not None, words, range_words, "assessed", None, rule, decisive=True
    )


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
    words = "every edge is as far away as it was in the tests"
    yield _at_least("site_test_edge", edge, reach.edge_mm, f"{words}{_unmeasured(reach, 'edge')}")
    if sheared:
        yield _at_least(
            "site_test_shear_edge", edge, reach.shear_edge_mm,
            "pulls show nothing of shear towards an edge, so every edge is out of its reach",
            f"{RULES}/reach/shear_edge_factor",
        )  # fmt: skip
    yield _at_least(
        "site_test_spacing", smallest_spacing(positions), reach.spacing_mm,
        "single pulls show nothing of neighbours that pull at the same time, so the fasteners stand apart"
        + _unmeasured(reach, "spacing"),
        f"{RULES}/reach/spacing_factor",
    )  # fmt: skip


def _unmeasured(reach: Reach, what: str) -> str:
    if what not in reach.not_measured:
        return ""
    return f"; its {what} was not measured at every pull, so that it counts only out of reach: measure it and say it"


def _equal(code: str, words: str, found: str, tested: str) -> Requirement:
    return Requirement(code, found == tested, words, found, tested, None, None, decisive=True)


def _at_least(code: str, found_mm: float, least_mm: float, words: str, rule: str | None = None) -> Requirement:
    shown = found_mm if math.isfinite(found_mm) else "out of reach"
    met = found_mm >= least_mm - TOLERANCE_MM
    return Requirement(code, met, f"{words}: at least {least_mm:g} mm", shown, least_mm, "mm", rule, decisive=True)
