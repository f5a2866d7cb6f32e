"""Plan of pulls to failure: how many, how far apart, and where to stop; for where nobody has data."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

from service.contract.site_test_codes import PlanRequirementCode, SiteTestCautionCode
from service.contract.wanted import PulledFastener, made
from service.engine.tolerance_factor import tolerance_factor
from service.rulebook import Rulebook
from service.site.pulls.loads_shown import PlanGauge, load_with_reading, to_be_shown
from service.site.pulls.pulling import Pulling, feet_far_enough, pulling_of, shown_fastener
from service.verification.pulls.fastener import pulled_fastener
from service.verification.pulls.requirements import RULES, for_mechanism
from service.verification.requirements import Requirement
from service.verification.selection import Selection
from service.verification.statements import rounded, shown_requirement
from service.words import Statement

MORE_PULLS = (0, 1, 2, 3, 5, 10, 20)
DEFAULT_VARIATION = 0.15


class PlannedFailures:
    """Pulls to failure, as a plan request has them."""

    def __init__(self, placed: tuple[str, Mapping[str, Any]], rulebook: Rulebook) -> None:
        self._place, self._given = placed
        self._rules = rulebook.factors["site-tests"]
        fastener = made(PulledFastener, self._given["fastener"])
        self._selection: Selection = pulled_fastener(fastener, rulebook, self._place)
        self._pulling: Pulling = pulling_of(self._selection, float(self._given["fastener"]["embedment_mm"]), rulebook)
        self._planned = int(self._given.get("pulls", self._rules["allowable_tests"]["number_min"]))

    def cautions(self) -> Iterator[Statement]:
        """What to beware of."""
        yield Statement(SiteTestCautionCode.NOT_IN_THE_LINE_OF_THE_PULL)
        if self._pulling.label_only:
            yield Statement(SiteTestCautionCode.LABEL_ONLY)

    def _requirements(self) -> Iterator[Requirement]:
        least = int(self._rules["allowable_tests"]["number_min"])
        yield Requirement(
            PlanRequirementCode.ENOUGH_PULLS_PLANNED,
            self._planned >= least,
            {"planned": self._planned, "planned_min": least},
            f"{RULES}/allowable_tests/number_min",
        )
        yield for_mechanism(self._selection.family["mechanism"], self._rules)
        yield from feet_far_enough(
            self._given.get("support_distance_mm"), self._pulling.support_allowable_mm, "support_factor_allowable"
        )

    def shown(self, gauge: PlanGauge) -> dict[str, Any]:
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
            "stop_at": load_with_reading(limit, gauge, f"{self._place}/fastener", reached=False)
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

    def _steps(self, apart_mm: float, gauge: PlanGauge) -> Iterator[str]:
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
            most = to_be_shown(limit, gauge, reached=False)
            yield (
                f"Stop where the gauge shows {most}: beyond, the fastener itself is harmed. A pull that is stopped is "
                "a lower bound and no failure; it does not count among the least number."
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
