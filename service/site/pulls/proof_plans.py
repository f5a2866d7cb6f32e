"""Plan of proof tests: which fasteners of a lot to pull, how hard, and what to do where one fails."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from service.contract.site_test_codes import SiteTestCautionCode
from service.contract.wanted import PulledFastener, made
from service.rulebook import Rulebook
from service.site.pulls.cautions import OF_PROOF
from service.site.pulls.loads_shown import PlanGauge, counted, load_with_reading, to_be_shown
from service.site.pulls.proof_tests import (
    number_to_pull,
    proof_load,
)
from service.site.pulls.pulling import below_steel, feet_far_enough, pulling_of, shown_fastener
from service.site.pulls.sampling import Sample
from service.site.pulls.schemes import sample_of, scheme_of, shown_drawn
from service.site.pulls.single_fastener import within_resistance
from service.verification.fixing import N_PER_KN
from service.verification.pulls.fastener import pulled_fastener
from service.verification.requirements import Requirement
from service.verification.statements import rounded, shown_requirement
from service.words import Statement, Value


class PlannedLot:
    """A lot to be proven, as a plan request has it."""

    def __init__(self, given: Mapping[str, Any], rulebook: Rulebook, place: str) -> None:
        self._given, self._place, self._rulebook = given, place, rulebook
        self._rules = rulebook.factors["site-tests"]
        self._scheme = scheme_of(self._rules, given.get("scheme"))
        self._selection = pulled_fastener(made(PulledFastener, given["fastener"]), rulebook, place)
        self._pulling = pulling_of(self._selection, float(given["fastener"]["embedment_mm"]), rulebook)
        self._load_n = proof_load(float(given["service_action_kn"]) * N_PER_KN, self._scheme.figures)
        self._sample = sample_of(given, self._scheme.figures)

    def cautions(self) -> Iterator[Statement]:
        """What to beware of."""
        yield from OF_PROOF
        if self._pulling.label_only:
            yield Statement(SiteTestCautionCode.LABEL_ONLY)
        asked = number_to_pull(self._given["number"], self._scheme.figures.sample)
        drawn = len(self._sample.first)
        if drawn > asked:
            figures: dict[str, Value] = {"name": self._given["name"], "asked": asked, "drawn": drawn}
            yield Statement(SiteTestCautionCode.NUMBER_RAISED, figures)

    def _requirements(self, gauge: PlanGauge) -> Iterator[Requirement]:
        yield from within_resistance(self._selection, self._given, self._rulebook)
        accuracy = gauge.accuracy
        yield from below_steel(self._pulling, accuracy.most_n(accuracy.to_reach(self._load_n)))
        yield from feet_far_enough(
            self._given.get("support_distance_mm"), self._pulling.support_proof_mm, "support_factor_proof"
        )

    def shown(self, gauge: PlanGauge) -> dict[str, Any]:
        """The lot in the answer."""
        given, requirements = self._given, tuple(self._requirements(gauge))
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
            "proof_load": load_with_reading(
                self._load_n, gauge, f"{self._place}/service_action_kn", reached=True
            )
            if ready
            else None,
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
            "strength_class": given.get("strength_class"),
            "state": given.get("state"),
            "scheme": self._scheme.name,
            "seed": given["seed"],
            "parts": parts,
            "support_distance_mm": given.get("support_distance_mm"),
        }

    def _steps(self, gauge: PlanGauge) -> Iterator[str]:
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
            else f", and never beyond {to_be_shown(pulling.limit_n, gauge, reached=False)}"
        )
        wanted = to_be_shown(self._load_n, gauge, reached=True)
        yield (
            f"Bring the load up steadily until the gauge shows {wanted}, and hold it for "
            f"{counted(pulling.hold_minutes, 'minute')}. It is held when the reading does not sink, the fastener moves "
            f"no more than {pulling.movement_mm:g} mm, and nothing cracks. Read the movement: without it a pull does "
            "not count."
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
