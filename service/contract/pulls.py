"""What a request says of pulls on site: the gauge with its calibration, the fastener, and each pull."""

import re
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Any

from marshmallow import ValidationError

from service.contract.codes import refusal
from service.contract.coherence import Disagreement, Rule, same_names
from service.contract.fields import UNKNOWN, Choice, Day, Flag, Items, Number, Part, Text, Whole, Word
from service.contract.quantities import bridge_foot, embedment
from service.contract.request_schema import RequestSchema
from service.contract.statement import AnswerSchema, number, one_of, part, string
from service.contract.terms import BASE_MATERIALS, DIGEST, HOLES, LARGEST_KN, STATES
from service.contract.terms import READINGS as READINGS
from service.contract.verification_codes import BaseMaterial, TestedMaterial

BASE_MATERIAL_FAILURES = ("pull_out", "concrete_cone", "splitting", "unit_pull_out", "moved")
FAILURES = (*BASE_MATERIAL_FAILURES, "steel", "none")
FAILURE_WORDS = (
    "pull_out, concrete_cone, splitting, unit_pull_out (a brick or block came out) or moved (stopped because it moved "
    "or the load dropped): the base material failed; steel: the fastener broke or yielded; none: the pull was stopped "
    "before anything failed or moved"
)
CAST = TestedMaterial.CONCRETE.value
"""Cast, and nobody said of what concrete: all that tests could say of it before they had the words of a member."""
MOST_PULLS = 100
MOST_POINTS = 50
LEAST_ACCURACY_PERCENT, LEAST_ACCURACY_KN = 0.1, 0.001
"""No gauge on a site is nearer to the truth (common practice, no source)."""


class Digest(Text):
    """The name of a content: `sha256:` and 64 hexadecimal digits."""

    def __init__(self, description: str, **rest: Any) -> None:
        super().__init__(description, longest=71, pattern=DIGEST, **rest)

    def read(self, value: Any) -> str:
        """Take a digest."""
        text = super().read(value)
        if not re.fullmatch(DIGEST, text):
            raise ValidationError(refusal("not_allowed", "must be sha256: and 64 hexadecimal digits, in lower case"))
        return text


def reading(unit: str, **least: float) -> Number:
    """Describe a reading of a gauge, above 0 where the least is not said otherwise, as of a pull."""
    what, most = {
        "kN": ("Reading of a gauge in kN.", LARGEST_KN),
        "kg": ("Reading of a gauge in kg, as a mass that hangs.", 1_000_000),
        "lb": ("Reading of a gauge in pounds, as a mass that hangs.", 2_000_000),
        "bar": ("Reading of a pressure gauge.", 5_000),
    }[unit]
    return Number(what, unit, maximum=most, absent="the gauge reads in another unit", **(least or {"above": 0}))


class CalibrationPoint(RequestSchema):
    """A point of a calibration: what the gauge shows, in one unit, and the load at it."""

    reading_kn = reading("kN", minimum=0)
    reading_kg = reading("kg", minimum=0)
    reading_lb = reading("lb", minimum=0)
    reading_bar = reading("bar", minimum=0)
    load_kn = Number("Load at the reading.", "kN", minimum=0, maximum=LARGEST_KN, required=True)


class Gauge(RequestSchema):
    """The gauge of the puller, and who vouches for it."""

    certificate = Text("Number of the calibration certificate.", longest=100, required=True)
    calibrated_on = Day("Day of the calibration; pulls before it are refused.", absent="not compared")
    valid_until = Day("Last day on which the calibration holds.", required=True)
    points = Items(
        Part(CalibrationPoint, "One point."),
        "Points of the calibration, rising, all in the unit of the readings; in between the load is linear, and a "
        "reading outside is refused. Required where the gauge reads in bar.",
        fewest=2,
        most=MOST_POINTS,
        absent="the gauge shows the load itself, in kN, kg or lb",
    )
    accuracy_percent = Number(
        "Accuracy that the certificate or the maker states, ± in per cent of the load shown. Every load is taken at "
        "the side that costs more. No gauge is off by nothing: 0 is refused.",
        "%",
        minimum=LEAST_ACCURACY_PERCENT,
        maximum=20,
        absent="not stated so; where accuracy_kn is not stated either, what the rulebook takes for an unknown gauge",
    )
    accuracy_kn = Number(
        "The same in kN, as where it is stated of full scale: 2 % of 25 kN is 0.5 kN. Beside accuracy_percent both "
        "count.",
        "kN",
        minimum=LEAST_ACCURACY_KN,
        maximum=LARGEST_KN,
        absent="not stated so; where accuracy_percent is not either, what the rulebook takes for an unknown gauge",
    )


class PulledFastener(RequestSchema):
    """The fastener that is pulled, as the rulebook names it."""

    family = Word("Family, as listed at /v1/families.", required=True)
    size = Text("Size of the family, for example M12.", longest=20, required=True)
    embedment_mm = embedment("Effective embedment depth h_ef; one that the rulebook lists for the size.", required=True)


class PullToFailure(RequestSchema):
    """One pull of an allowable-resistance test; exactly one reading, in the unit of all the others."""

    name = Text("Name or number of the pulled fastener; no two have the same.", longest=40, required=True)
    reading_kn = reading("kN")
    reading_kg = reading("kg")
    reading_lb = reading("lb")
    reading_bar = reading("bar")
    failure = Choice(f"How it ended. {FAILURE_WORDS}.", FAILURES, required=True)
    concrete_state = Choice(
        "State of the concrete where it stood: cracked where a crack ran through the place. Refused in masonry.",
        (*STATES, UNKNOWN),
        absent="unknown, which shows nothing of cracked concrete, like uncracked",
        default=UNKNOWN,
    )
    crack_width_mm = Number(
        "Width of the crack that ran through the place, when it was pulled; refused where there was none.",
        "mm",
        above=0,
        maximum=50,
        absent="not measured, so that the pull shows nothing of cracked concrete",
    )
    edge_mm = Number(
        "Distance to the nearest edge, joint or corner. The resistance holds no nearer to an edge than the pull that "
        "stood farthest: for a fixing near an edge, assess pulls that all stood as near.",
        "mm",
        minimum=0,
        maximum=100_000,
        absent="not measured; the resistance then holds only far from edges and joints",
    )
    spacing_mm = Number(
        "Distance to the next fastener or hole.",
        "mm",
        minimum=0,
        maximum=100_000,
        absent="not measured; the resistance then holds only far from other fasteners",
    )


CURING_OVER = Flag(
    "For bonded fasteners: true where the curing time of the resin, at the temperature that the base material had, was "
    "over before every pull. Nothing hangs on it for others.",
    absent="not known; pulls of bonded fasteners then prove nothing",
)
BRIDGE_FOOT = bridge_foot("Distance from the fastener to the nearest foot of the bridge.", required=True)
"""These two stand in tests of both kinds."""


class AllowableTests(RequestSchema):
    """Pulls to failure in a base material that nobody has data for."""

    reference = Text("The caller's own name for the tests.", longest=200, absent="no name")
    tested_on = Day("Day of the pulls.", required=True)
    base_material = Text(
        "Base material in words, so that somebody else finds it: what it is made of, which wall or slab, which part.",
        longest=200,
        required=True,
    )
    base_material_kind = Choice(
        "What it is made of, in the words of the member of a fixing; concrete: cast, and nobody can say of what "
        "concrete. In masonry cracks do not count as such; in all else they do.",
        (*BASE_MATERIALS, CAST),
        absent=CAST,
        default=CAST,
    )
    thickness_mm = Number(
        "Thickness of the base material where it was least.", "mm", minimum=20, maximum=10_000, required=True
    )
    fastener = Part(PulledFastener, "The fastener that was pulled.", required=True)
    drilling = Word("Drilling method, as site.drilling of a verification has it.", required=True)
    hole = Choice("State of the holes when the fasteners were set.", HOLES, required=True)
    curing_over = CURING_OVER
    gauge = Part(Gauge, "The gauge.", required=True)
    support_distance_mm = BRIDGE_FOOT
    pulls = Items(
        Part(PullToFailure, "One pull."), "Every pull, also those that went wrong.", fewest=1, most=MOST_PULLS,
        required=True,
    )  # fmt: skip

    @staticmethod
    def rules() -> tuple[Rule, ...]:
        """Rules across fields."""
        return (
            one_reading_a_pull, calibration_fits, names_of_pulls_differ, cracks_fit,
        )  # fmt: skip


class SiteTest(RequestSchema):
    """Tests whose resistance a verification is to use; it is computed anew from the pulls."""

    id = Digest(
        "Identity that the assessment gave to the tests; it must belong to their content.", absent="not compared"
    )
    tests = Part(AllowableTests, "The tests as they were assessed.", required=True)


def one_reading_a_pull(tests: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find pulls with no reading or several, or in a unit other than the first one's."""
    first = readings(tests["pulls"][0])
    for index, pull in enumerate(tests["pulls"]):
        found = readings(pull)
        if len(found) != 1:
            yield ("pulls", index), _one_reading(found)
        elif len(first) == 1 and found != first:
            words = f"must be read in one unit with the other pulls: {first[0]}"
            yield ("pulls", index, found[0]), refusal("conflict", words)


def calibration_fits(tests: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find a calibration in another unit than the pulls, one that does not rise, or none where one is needed."""
    wanted = readings(tests["pulls"][0])
    if len(wanted) == 1:
        yield from gauge_faults(tests["gauge"], wanted[0])


def gauge_faults(gauge: Mapping[str, Any], wanted: str) -> Iterator[Disagreement]:
    """Find what is wrong with a gauge that is read in a unit.

    Args:
        gauge: The gauge, without nulls.
        wanted: Field of the readings.

    Yields:
        Place and message.
    """
    points: Sequence[Mapping[str, float]] = gauge.get("points", ())
    if not points and wanted == "reading_bar":
        words = "must be given where the gauge reads in bar: a pressure is no load without the calibration of its jack"
        yield ("gauge", "points"), refusal("required", words)
    sound = True
    for index, point in enumerate(points):
        found = readings(point)
        if found != [wanted]:
            sound = False
            words = f"must have {wanted}, the unit of the readings, and no other"
            yield ("gauge", "points", index), refusal("conflict", words)
    for index, (low, high) in enumerate(pairwise(points) if sound else ()):
        if high[wanted] <= low[wanted] or high["load_kn"] <= low["load_kn"]:
            words = "reading and load must both be above those of the point before"
            yield ("gauge", "points", index + 1), refusal("not_rising", words)


def names_of_pulls_differ(tests: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find pulls of one name."""
    yield from same_names(tests["pulls"], "pulls", "pull")


def cracks_fit(tests: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find a crack where none ran, or cracks of concrete in masonry."""
    for index, pull in enumerate(tests["pulls"]):
        if tests.get("base_material_kind") == BaseMaterial.MASONRY:
            for name in ("concrete_state", "crack_width_mm"):
                if name in pull:
                    words = "must be left out in masonry, where cracks do not count as such: leave out cracked walls"
                    yield ("pulls", index, name), refusal("conflict", words)
        elif "crack_width_mm" in pull and pull.get("concrete_state") != "cracked":
            words = "must be left out unless concrete_state is cracked"
            yield ("pulls", index, "crack_width_mm"), refusal("conflict", words, fields=["concrete_state"])


def readings(entry: Mapping[str, Any]) -> list[str]:
    """Name the readings that an entry has.

    Args:
        entry: A pull or a point, without nulls.

    Returns:
        Their fields.
    """
    return [name for name in READINGS if name in entry]


def _one_reading(found: Sequence[str]) -> str:
    """Say that one reading is needed."""
    if found:
        return refusal("conflict", f"must have one reading only, found {', '.join(found)}", fields=list(found))
    return refusal("required", f"must have a reading: one of {', '.join(READINGS)}", fields=list(READINGS))


class SiteTestReach(AnswerSchema):
    """Where a resistance from pulls on site holds."""

    family = string("Family that was pulled.")
    size = string("Size that was pulled.")
    embedment_mm = number("Effective embedment that was pulled.", "mm", minimum=0)
    base_material = string("Base material in the words of the tests.")
    drilling = string("Drilling method.")
    hole = one_of("State of the holes.", HOLES)
    concrete_state = one_of(
        "Concrete that it holds in. uncracked: in uncracked concrete only; cracked: in cracked and uncracked concrete, "
        "as every pull stood in a crack; not_concrete: masonry, where cracks do not count as such.",
        ("uncracked", "cracked", "not_concrete"),
    )
    crack_width_mm = number(
        "Width of the narrowest crack that a pull stood in; null: it does not hold in cracked concrete.",
        "mm",
        minimum=0,
        nullable=True,
        of="crack_mm",
    )
    edge_min_mm = number("Least distance to an edge.", "mm", minimum=0, of="edge_mm")
    edge_min_under_shear_mm = number(
        "Least distance to an edge where a load case shears the fasteners.", "mm", minimum=0, of="shear_edge_mm"
    )
    spacing_min_mm = number("Least spacing of the fasteners.", "mm", minimum=0, of="spacing_mm")
    thickness_min_mm = number("Least thickness of the base material.", "mm", minimum=0, of="thickness_mm")


class SiteTestOrigin(AnswerSchema):
    """Pulls on site that a resistance comes from."""

    id = string(
        "Identity of the tests: `sha256:` and the SHA-256, in hexadecimal, of the RFC 8785 form of the tests as they "
        "were given, without what is null in them.",
        pattern=DIGEST,
    )
    origin = one_of("Where the resistance comes from: pulls on site, not an assessment.", ("site_test",))
    reference = string("The caller's own name for the tests; null: none.", nullable=True)
    number_of_tests = Whole("Pulls that ended in failure of the base material.", minimum=0, required=True, of="number")
    number_of_pulls = Whole("All pulls.", minimum=0, required=True)
    tested_on = Day("Day of the pulls.", required=True, of="reach.tested_on")
    valid_until = Day(
        "Last day on which the resistance may be used for new work.", required=True, of="reach.valid_until"
    )
    characteristic_resistance_kn = number(
        "Characteristic resistance of one fastener, before what the steel of the verified fixing caps it to; null: the "
        "pulls give none.",
        "kN",
        nullable=True,
        of="characteristic_n",
    )
    partial_factor = number("Partial factor to the design resistance.", "1", minimum=0)
    reach = part(SiteTestReach, "Where it holds.")
