"""What to pull on site: proof tests of lots, and allowable-resistance tests where nobody has data."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import chain
from typing import Any

from service.engine.tolerance_factor import tolerance_factor
from service.rulebook import Rulebook
from service.site.pulls.proof_tests import (
    TWICE,
    ProofScheme,
    SampleRule,
    number_after_one_failure,
    number_to_pull,
    proof_load,
)
from service.site.pulls.pulling import (
    Pulling,
    at_least,
    at_most,
    below_steel,
    counted,
    feet_far_enough,
    gauge_of_plan,
    load_with_reading,
    on_gauge,
    pulling_of,
    shown_cautions,
    shown_fastener,
)
from service.site.pulls.sampling import Drawn, PartOfLot, Sample, draw
from service.verification.answer import rounded, rulebook_identity, shown_requirement
from service.verification.cautions import Caution
from service.verification.fixing import N_PER_KN
from service.verification.pulls.fastener import pulled_fastener
from service.verification.pulls.gauge import Gauge
from service.verification.pulls.requirements import RULES
from service.verification.requirements import Requirement
from service.verification.selection import Selection

STANDARDS = (
    {"code": "BS 8539", "edition": "2012+A1:2021", "used_for": "proof tests: how many, how hard, what a failure means"},
    {"code": "ISO 16269-6", "edition": "2014", "used_for": "one-sided tolerance factors of pulls to failure"},
)
MORE_PULLS = (0, 1, 2, 3, 5, 10, 20)
DEFAULT_VARIATION = 0.15
PROOF_WORDS = Caution(
    "proof_is_no_resistance",
    "A proof test shows that fasteners of a lot were set soundly. It gives no resistance and replaces no design.",
)
LINE_WORDS = Caution(
    "not_in_the_line_of_the_pull",
    "A fastener, a bridge or a hose may let go at once: keep everybody out of the line of the pull, and the ground "
    "below a soffit clear. Only a competent person pulls.",
)
MEMORY_WORDS = Caution(
    "basis_from_memory",
    "Numbers and steps of proof tests were written from knowledge of BS 8539 and have not been checked against its "
    "text.",
)
LABEL_WORDS = Caution(
    "label_only",
    "The fastener is known from its label. A hook or an eye opens, and plastic gives way, long before a bolt of the "
    "same size: it is not pulled beyond what the label states, unless its maker agrees.",
)


@dataclass(frozen=True, slots=True)
class Scheme:
    """A scheme of the rulebook: its name, its title, and its figures."""

    name: str
    title: str
    figures: ProofScheme


def scheme_of(rules: Mapping[str, Any], name: str | None) -> Scheme:
    """Read a scheme of proof tests.

    Args:
        rules: The rulebook's rules of site tests.
        name: The scheme, None for the default.

    Returns:
        The scheme.
    """
    proof = rules["proof_tests"]
    chosen = name or proof["default_scheme"]
    given, after = proof["schemes"][chosen], proof["after_one_failure"]
    figures = ProofScheme(
        float(given["load_factor"]),
        SampleRule(float(given["share"]), int(given["number_min"])),
        SampleRule(float(after["share"]), int(after["number_min"])),
        float(after.get("times_first_min", TWICE)),
    )
    return Scheme(chosen, given["title"], figures)


def sample_of(lot: Mapping[str, Any], scheme: ProofScheme) -> Sample:
    """Which fasteners of a lot the plan draws.

    Args:
        lot: A lot with ``name``, ``number``, ``seed`` and, where it has them, ``parts``; of a plan or an assessment.
        scheme: Proof scheme.

    Returns:
        The fasteners to pull at first, at least one of each part, and the further ones of a failure.
    """
    parts = tuple(
        PartOfLot(p["name"], p["first"], p["last"], bool(p.get("worst", False))) for p in lot.get("parts", ())
    )
    first = max(number_to_pull(lot["number"], scheme.sample), len(parts))
    in_all = number_after_one_failure(lot["number"], first, scheme)
    return draw(lot["seed"], lot["name"], lot["number"], parts, first, in_all)


def plan(request: Mapping[str, Any], rulebook: Rulebook) -> dict[str, Any]:
    """Plan site tests.

    Args:
        request: A plan request, its ``assessed_on`` resolved to a day, without nulls.
        rulebook: The rulebook.

    Returns:
        The answer of the contract.

    Raises:
        RefusedRequest: For a fastener that the rulebook has not, or a gauge that does not cover the loads.
    """
    gauge = gauge_of_plan(request.get("gauge"), request["assessed_on"])
    lots = [_Lot(lot, rulebook, f"#/lots/{i}") for i, lot in enumerate(request.get("lots", ()))]
    tests = [_Allowable(item, rulebook) for item in _placed(request.get("allowable_resistance", ()))]
    cautions = chain(*(lot.cautions() for lot in lots), *(test.cautions() for test in tests))
    return {
        "lots": [lot.shown(gauge) for lot in lots],
        "allowable_resistance": [test.shown(gauge) for test in tests],
        "cautions": shown_cautions(rulebook, cautions),
        "standards": [dict(standard) for standard in STANDARDS],
        "rulebook": rulebook_identity(rulebook),
        "assessed_on": request["assessed_on"],
    }


def _placed(items: Sequence[Mapping[str, Any]]) -> Iterator[tuple[str, Mapping[str, Any]]]:
    return ((f"#/allowable_resistance/{index}", item) for index, item in enumerate(items))


class _Lot:
    """A lot to be proven."""

    def __init__(self, given: Mapping[str, Any], rulebook: Rulebook, place: str) -> None:
        self._given, self._place = given, place
        self._rules = rulebook.factors["site-tests"]
        self._scheme = scheme_of(self._rules, given.get("scheme"))
        self._selection = pulled_fastener(given, rulebook, place)
        self._pulling = pulling_of(self._selection, float(given["fastener"]["embedment_mm"]), rulebook)
        self._load_n = proof_load(float(given["service_action_kn"]) * N_PER_KN, self._scheme.figures)
        self._sample = sample_of(given, self._scheme.figures)

    def cautions(self) -> Iterator[Caution]:
        """What to beware of."""
        yield from (PROOF_WORDS, LINE_WORDS, MEMORY_WORDS)
        if self._pulling.label_only:
            yield LABEL_WORDS
        asked = number_to_pull(self._given["number"], self._scheme.figures.sample)
        drawn = len(self._sample.first)
        if drawn > asked:
            yield Caution(
                "number_raised",
                f"Lot {self._given['name']}: the rule asks for {counted(asked, 'pull')}; {drawn} are drawn, so that "
                "each part of the lot has one.",
            )

    def _requirements(self) -> Iterator[Requirement]:
        softer = "take the scheme more_softer, or have an engineer decide"
        yield from below_steel(self._pulling, self._load_n, softer)
        yield from feet_far_enough(
            self._given.get("support_distance_mm"), self._pulling.support_proof_mm, "support_factor_proof"
        )

    def shown(self, gauge: Gauge | None) -> dict[str, Any]:
        """The lot in the answer."""
        given, requirements = self._given, tuple(self._requirements())
        ready = all(requirement.met for requirement in requirements)
        sample = self._sample if ready else Sample((), ())
        limit = self._pulling.limit_n
        return {
            "name": given["name"],
            "ready": ready,
            "fastener": shown_fastener(self._selection, self._pulling.embedment_mm),
            "base_material": given["base_material"],
            "number": given["number"],
            "scheme": self._scheme.name,
            "scheme_title": self._scheme.title,
            "load_factor": rounded(self._scheme.figures.load_factor),
            "service_action_kn": rounded(float(given["service_action_kn"])),
            "proof_load": load_with_reading(self._load_n, gauge, f"{self._place}/service_action_kn") if ready else None,
            "hold_minutes": rounded(self._pulling.hold_minutes),
            "movement_max_mm": rounded(self._pulling.movement_mm),
            "limit_kn": None if limit is None else rounded(limit / N_PER_KN),
            "support_distance_min_mm": rounded(self._pulling.support_proof_mm),
            "number_to_pull": len(sample.first),
            "chosen": [shown_drawn(one) for one in sample.first],
            "after_one_failure": {
                "number_in_all": len(sample.first) + len(sample.further),
                "further": [shown_drawn(one) for one in sample.further],
                "replacements": 1 if ready else 0,
            },
            "for_assessment": self._for_assessment(),
            "requirements": [shown_requirement(requirement) for requirement in requirements],
            "steps": list(self._steps(gauge)) if ready else [],
        }

    def _for_assessment(self) -> dict[str, Any]:
        """What the assessment asks of the lot, as it asks for it."""
        given = self._given
        fastener = {name: given["fastener"][name] for name in ("family", "size", "embedment_mm")}
        parts = [{"worst": False, **piece} for piece in given["parts"]] if "parts" in given else None
        return {
            "name": given["name"],
            "fastener": fastener,
            "number": given["number"],
            "service_action_kn": given["service_action_kn"],
            "scheme": self._scheme.name,
            "seed": given["seed"],
            "parts": parts,
            "support_distance_mm": given.get("support_distance_mm"),
        }

    def _steps(self, gauge: Gauge | None) -> Iterator[str]:
        pulling, total, first = self._pulling, self._given["number"], len(self._sample.first)
        if first == total:
            yield "Pull every one of the lot, in the order drawn." if total > 1 else "Pull the one fastener of the lot."
        else:
            yield (
                f"Pull the {counted(first, 'drawn fastener')} of the {total}, no others: whoever set them does not "
                "choose. They were drawn over the parts of the lot, those under the worst conditions first; the same "
                "seed draws the same ones. Where one cannot be reached, the engineer says which one stands in for it."
            )
        if pulling.cures:
            yield (
                "Pull no bonded fastener before its curing time is over, at the temperature that the base material "
                "has: a pull before harms the bond, and nobody sees it."
            )
        yield (
            f"Set the feet of the bridge at least {pulling.support_proof_mm:g} mm from the fastener, square to it, and "
            "pull in its axis."
        )
        limit = (
            ""
            if pulling.limit_n is None
            else f", and never beyond {at_most(pulling.limit_n)}{on_gauge(pulling.limit_n, gauge, reached=False)}"
        )
        wanted = f"{at_least(self._load_n)}{on_gauge(self._load_n, gauge, reached=True)}"
        yield (
            f"Bring the load up steadily to {wanted} and hold it for {counted(pulling.hold_minutes, 'minute')}. It is "
            f"held when the reading does not sink, the fastener moves no more than {pulling.movement_mm:g} mm, and "
            "nothing cracks. Read the movement: without it a pull does not count."
        )
        yield (
            f"Do not pull harder than the reading asks{limit}: a proof test is no test to failure, and the fastener is "
            "to stay in use. One that was pulled beyond is replaced, and the new one is pulled."
        )
        yield "Tighten each pulled fastener again as its assessment says, and write down number, reading and movement."
        yield self._after_one()
        yield (
            "If more than one fails: stop, and let nobody load a fastener of the lot. The engineer who designed the "
            f"fixing decides what comes next; before any is used, all {total} of the lot are pulled."
            if total > 1
            else "If its replacement fails too: stop, and let nobody load it. The engineer who designed the fixing "
            "decides what comes next."
        )

    def _after_one(self) -> str:
        further = len(self._sample.further)
        first, in_all = len(self._sample.first), len(self._sample.first) + further
        more = (
            f"Pull the {counted(further, 'further fastener')}, in the order drawn, so that {in_all} instead of {first} "
            f"{'are' if in_all > 1 else 'is'} pulled"
            if further
            else "There is no other fastener of the lot left to pull"
        )
        return (
            "If one fails: stop, and tell the engineer; nothing of the lot is loaded. Find out why it failed and write "
            "the cause down. Set a new fastener in a new place, as far from the failed hole as its assessment says, "
            "and pull that one too; where the fixture leaves no new place, the engineer decides. "
            f"{more}. The lot stands only with the cause found, the replacement held, and no "
            "second failure; whether the cause is confined to the one is for the engineer to agree."
        )


def shown_drawn(drawn: Drawn) -> dict[str, Any]:
    """A drawn fastener as answers show it."""
    return {"number": drawn.number, "name": str(drawn.number), "part": drawn.part}


class _Allowable:
    """Pulls to failure that are planned."""

    def __init__(self, placed: tuple[str, Mapping[str, Any]], rulebook: Rulebook) -> None:
        self._place, self._given = placed
        self._rules = rulebook.factors["site-tests"]
        self._selection: Selection = pulled_fastener(self._given, rulebook, self._place)
        self._pulling: Pulling = pulling_of(self._selection, float(self._given["fastener"]["embedment_mm"]), rulebook)
        self._planned = int(self._given.get("pulls", self._rules["allowable_tests"]["number_min"]))

    def cautions(self) -> Iterator[Caution]:
        """What to beware of."""
        yield LINE_WORDS
        if self._pulling.label_only:
            yield LABEL_WORDS

    def _requirements(self) -> Iterator[Requirement]:
        least = int(self._rules["allowable_tests"]["number_min"])
        yield Requirement(
            "enough_pulls_planned", self._planned >= least,
            f"at least {least} pulls to failure of the base material, or there is no resistance; plan some more for "
            "those that the steel or the bridge ends",
            self._planned, least, None, f"{RULES}/allowable_tests/number_min",
        )  # fmt: skip
        mechanisms = sorted(self._rules["mechanisms"])
        mechanism = self._selection.family["mechanism"]
        yield Requirement(
            "site_test_mechanism", mechanism in mechanisms,
            f"a resistance may come from site tests for: {', '.join(mechanisms)}",
            mechanism, ", ".join(mechanisms), None, f"{RULES}/mechanisms",
        )  # fmt: skip
        yield from feet_far_enough(
            self._given.get("support_distance_mm"), self._pulling.support_allowable_mm, "support_factor_allowable"
        )

    def shown(self, gauge: Gauge | None) -> dict[str, Any]:
        """The planned pulls in the answer."""
        given, pulling = self._given, self._pulling
        requirements = tuple(self._requirements())
        ready = all(requirement.met for requirement in requirements)
        limit = pulling.limit_n
        apart = float(self._rules["reach"]["spacing_factor"]) * pulling.embedment_mm
        known = ready and limit is not None
        return {
            "name": given["name"],
            "ready": ready,
            "fastener": shown_fastener(self._selection, pulling.embedment_mm),
            "base_material": given["base_material"],
            "pulls": self._planned,
            "stop_at": load_with_reading(limit, gauge, f"{self._place}/fastener")
            if known and limit is not None
            else None,
            "support_distance_min_mm": rounded(pulling.support_allowable_mm),
            "apart_min_mm": rounded(apart),
            "more_pulls": list(self._more()) if ready else [],
            "requirements": [shown_requirement(requirement) for requirement in requirements],
            "steps": list(self._steps(apart, gauge)) if ready else [],
        }

    def _more(self) -> Iterator[dict[str, Any]]:
        asked = self._rules["allowable_tests"]
        variation = float(self._given.get("expected_variation", DEFAULT_VARIATION))
        for more in MORE_PULLS:
            count = self._planned + more
            k = tolerance_factor(count, float(asked["content"]), float(asked["confidence"]))
            yield {
                "pulls": count,
                "tolerance_factor": rounded(k),
                "expected_share_of_mean": rounded(max(0.0, min(1.0 - k * variation, _log_normal_share(k, variation)))),
            }

    def _steps(self, apart_mm: float, gauge: Gauge | None) -> Iterator[str]:
        pulling, limit = self._pulling, self._pulling.limit_n
        yield (
            "Set new fasteners for the tests, with the drill, the bit and the people of the work to come, in the same "
            "base material, and where it looks weakest: old joints, damp, patches. They are sacrificed: none stays in "
            "use."
        )
        yield self._of_cracks()
        if pulling.cures:
            yield (
                "Pull no bonded fastener before its curing time is over, at the temperature that the base material "
                "has; say so with the pulls, or they prove nothing."
            )
        yield (
            f"Keep them {apart_mm:g} mm or more from each other, from other fasteners and holes, and from where "
            "fixings are to stand afterwards; what a pull breaks out is lost as base material. Where fixings will "
            "stand near an edge or a joint, set every test fastener as near to one, and measure it: the resistance "
            "reaches no nearer than the farthest of them stood."
        )
        yield (
            f"Set the feet of the bridge at least {pulling.support_allowable_mm:g} mm from the fastener, so that they "
            "do not hold down what is to break out."
        )
        yield (
            "Bring the load up steadily until the base material fails, and write down the highest reading and what "
            "failed."
        )
        if limit is not None:
            most = f"{at_most(limit)}{on_gauge(limit, gauge, reached=False)}"
            yield (
                f"Stop at {most}: beyond, the fastener itself is harmed. A pull that is stopped is a lower bound and "
                "no failure; it does not count among the least number."
            )
        yield (
            "Write down every pull, also those that went wrong: none is dropped, and an odd one is explained or stays. "
            "What the pulls are worth, the assessment says; whether they are used, the engineer."
        )

    def _of_cracks(self) -> str:
        width = self._rules["allowable_tests"].get("crack_width_min_mm")
        words = (
            "In concrete, look for a crack at each place and write down whether one runs through it. Pulls beside "
            "cracks give a resistance in uncracked concrete only"
        )
        if width is None:
            return f"{words}; under this rulebook no pulls stand for cracked concrete."
        return (
            f"{words}. Where the concrete may crack, or nobody knows, set every fastener in a crack of at least "
            f"{float(width):g} mm, and measure its width."
        )


def _log_normal_share(k: float, variation: float) -> float:
    deviation = math.sqrt(math.log1p(variation * variation))
    return math.exp(-k * deviation - deviation * deviation / 2.0)
