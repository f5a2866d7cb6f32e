"""What proof tests show: which pulls held, and what follows for the lot."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from service.rulebook import Rulebook
from service.site.pulls.plans import LINE_WORDS, MEMORY_WORDS, PROOF_WORDS, sample_of, scheme_of, shown_drawn
from service.site.pulls.proof_tests import Progress, next_step, proof_load
from service.site.pulls.proof_words import Found, words_of
from service.site.pulls.pulling import Pulling, below_steel, feet_far_enough, pulling_of, shown_fastener
from service.site.pulls.sampling import Drawn, Sample
from service.verification.answer import rounded, shown_requirement
from service.verification.cautions import Caution
from service.verification.fixing import N_PER_KN
from service.verification.pulls.fastener import pulled_fastener
from service.verification.pulls.gauge import loads_n
from service.verification.pulls.requirements import RELATIVE_TOLERANCE, cured
from service.verification.requirements import Requirement

PLACE = "#/proof"
HELD, FAILED, DAMAGED, NOT_COUNTED = "held", "failed", "damaged", "not_counted"


@dataclass(frozen=True, slots=True)
class Proven:
    """One pull of a proof test: its load (N), whether it held, and why.

    ``number`` is that of the fastener in the lot, None for a replacement and for one that the lot has not; ``replaces``
    names the pull whose fastener was replaced; ``harmed`` says that the pull itself harmed the fastener.
    """

    name: str
    number: int | None
    replaces: str | None
    load_n: float
    result: str
    text: str
    harmed: bool


class Pulls:
    """The pulls of a lot, and what they leave to be done."""

    def __init__(self, pulls: Sequence[Proven], sample: Sample, lot: Mapping[str, Any]) -> None:
        """Sort the pulls by fastener.

        Args:
            pulls: The pulls, judged one by one.
            sample: What the plan draws.
            lot: The proof tests, with the number of the lot.
        """
        self.all = tuple(pulls)
        self.failed = sum(pull.result == FAILED for pull in pulls)
        self._by_number = {pull.number: pull for pull in pulls if pull.number is not None}
        self._replacements = {pull.replaces: pull for pull in pulls if pull.replaces is not None}
        self.wanted = self._wanted(sample, lot)
        self.first = len(sample.first)

    def _wanted(self, sample: Sample, lot: Mapping[str, Any]) -> tuple[Drawn, ...]:
        if self.failed == 0:
            return sample.first
        drawn = (*sample.first, *sample.further)
        if self.failed == 1:
            return drawn
        left = sorted({*range(1, lot["number"] + 1)} - {one.number for one in drawn})
        return (*drawn, *(Drawn(number, _part_of(number, lot)) for number in left))

    @property
    def counted(self) -> int:
        """How many of the wanted ones count."""
        return sum(self._counts(one) for one in self.wanted)

    @property
    def left(self) -> tuple[Drawn, ...]:
        """The wanted ones whose pull is missing, or has to be done again."""
        return tuple(one for one in self.wanted if not self._counts(one) and not self._waits(one))

    @property
    def to_replace(self) -> tuple[str, ...]:
        """Names of the pulls whose fastener needs a replacement that is pulled and holds."""
        gone = (pull for pull in self.all if pull.result == FAILED or pull.harmed)
        return tuple(pull.name for pull in gone if not self._held_anew(pull))

    def _counts(self, one: Drawn) -> bool:
        pull = self._by_number.get(one.number)
        if pull is None:
            return False
        return pull.result in {HELD, FAILED} or (pull.harmed and self._held_anew(pull))

    def _waits(self, one: Drawn) -> bool:
        pull = self._by_number.get(one.number)
        return pull is not None and pull.harmed

    def _held_anew(self, pull: Proven) -> bool:
        replacement = self._replacements.get(pull.name)
        if replacement is None:
            return False
        return replacement.result == HELD or (replacement.harmed and self._held_anew(replacement))


def _part_of(number: int, lot: Mapping[str, Any]) -> str | None:
    return next((p["name"] for p in lot.get("parts", ()) if p["first"] <= number <= p["last"]), None)


def assess_proof(tests: Mapping[str, Any], rulebook: Rulebook) -> tuple[dict[str, Any], tuple[Caution, ...]]:
    """Assess proof tests of a lot.

    Args:
        tests: Proof tests, without nulls.
        rulebook: The rulebook.

    Returns:
        Their part of the answer, and its cautions.

    Raises:
        RefusedRequest: For a fastener that the rulebook has not, or a gauge that proves nothing.
    """
    scheme = scheme_of(rulebook.factors["site-tests"], tests.get("scheme"))
    selection = pulled_fastener(tests, rulebook, PLACE)
    pulling = pulling_of(selection, float(tests["fastener"]["embedment_mm"]), rulebook)
    load_n = proof_load(float(tests["service_action_kn"]) * N_PER_KN, scheme.figures)
    requirements = tuple(_requirements(tests, load_n, pulling))
    sample = sample_of(tests, scheme.figures)
    judge = _Judge(load_n, pulling, {one.number for one in (*sample.first, *sample.further)}, requirements)
    pulls = _judged(tests, judge, sample)
    found_why = tests.get("cause_of_failure")
    progress = Progress(
        fasteners=tests["number"],
        first=pulls.first,
        pulled=pulls.counted,
        failed=pulls.failed,
        replaced=not pulls.to_replace,
        cause_found=found_why is not None,
    )
    step = next_step(progress, scheme.figures)
    unmet = tuple(requirement.detail for requirement in requirements if not requirement.met)
    found = Found(step, progress, len(pulls.wanted), len(pulls.left), pulls.to_replace, unmet)
    others = tuple(pull.name for pull in pulls.all if _is_other(pull, judge, pulls))
    return {
        "next_step": step.value,
        "text": words_of(found),
        "name": tests["name"],
        "fastener": shown_fastener(selection, pulling.embedment_mm),
        "tested_on": tests["tested_on"],
        "scheme": scheme.name,
        "proof_load_kn": rounded(load_n / N_PER_KN),
        "number": tests["number"],
        "number_wanted": len(pulls.wanted),
        "number_counted": pulls.counted,
        "number_failed": pulls.failed,
        "cause_of_failure": found_why,
        "pulls": [
            {"name": p.name, "load_kn": rounded(p.load_n / N_PER_KN), "result": p.result, "text": p.text}
            for p in pulls.all
        ],
        "still_to_pull": [shown_drawn(one) for one in pulls.left],
        "replacements_to_pull": list(pulls.to_replace),
        "not_drawn": list(others),
        "requirements": [shown_requirement(requirement) for requirement in requirements],
    }, tuple(_cautions(pulls, pulling, others))


def _is_other(pull: Proven, judge: _Judge, pulls: Pulls) -> bool:
    wanted = judge.drawn | {one.number for one in pulls.wanted}
    return pull.replaces is None and pull.number not in wanted


def _requirements(tests: Mapping[str, Any], load_n: float, pulling: Pulling) -> Iterator[Requirement]:
    yield from feet_far_enough(tests["support_distance_mm"], pulling.support_proof_mm, "support_factor_proof")
    yield from below_steel(pulling, load_n, "take the scheme more_softer, or have an engineer decide")
    if pulling.cures:
        yield cured(tests)


def _judged(tests: Mapping[str, Any], judge: _Judge, sample: Sample) -> Pulls:
    numbers = [fastener_of(pull, tests["number"]) for pull in tests["pulls"]]
    rows = list(zip(tests["pulls"], loads_n(tests, PLACE), numbers, strict=True))
    pulls = Pulls([judge.pull(*row) for row in rows], sample, tests)
    if pulls.failed < 2:
        return pulls
    # With a second failure every fastener of the lot is asked for, so that none is beside the draw any more.
    of_all = judge.of_whole_lot(tests["number"])
    return Pulls([of_all.pull(*row) for row in rows], sample, tests)


def fastener_of(pull: Mapping[str, Any], lot: int) -> int | None:
    """Number of the pulled fastener in its lot.

    Args:
        pull: A pull of a proof test, without nulls.
        lot: How many fasteners the lot has.

    Returns:
        The number that the name is, None for a replacement and for a name that is no number of the lot.
    """
    name = pull["name"].strip()
    if "replaces" in pull or not (name.isascii() and name.isdecimal()):
        return None
    return int(name) if 1 <= int(name) <= lot else None


@dataclass(frozen=True, slots=True)
class _Judge:
    """Judges pulls one by one: the proof load (N), limits of the fastener, what was drawn, what the tests need."""

    proof_n: float
    pulling: Pulling
    drawn: frozenset[int] | set[int]
    requirements: tuple[Requirement, ...]

    def of_whole_lot(self, number: int) -> _Judge:
        """The same where every fastener of the lot is wanted."""
        return _Judge(self.proof_n, self.pulling, set(range(1, number + 1)), self.requirements)

    def pull(self, pull: Mapping[str, Any], load_n: float, number: int | None) -> Proven:
        """Judge a pull of a load (N)."""
        result, text = self._result(pull, load_n, number)
        limit = self.pulling.limit_n
        harmed = result != FAILED and limit is not None and load_n > limit * (1.0 + RELATIVE_TOLERANCE)
        return Proven(pull["name"], number, pull.get("replaces"), load_n, result, text, harmed)

    def _result(self, pull: Mapping[str, Any], load_n: float, number: int | None) -> tuple[str, str]:
        moved, allowed = pull.get("movement_mm"), self.pulling.movement_mm
        if pull["failure"] != "none":
            return FAILED, f"failed: {pull['failure'].replace('_', ' ')}; replace it"
        if moved is not None and float(moved) > allowed:
            return FAILED, f"failed: moved {moved:g} mm, more than {allowed:g} mm; replace it"
        if "replaces" not in pull and number not in self.drawn:
            return NOT_COUNTED, "does not count: this fastener was not drawn"
        return self._of_load(pull, load_n)

    def _of_load(self, pull: Mapping[str, Any], load_n: float) -> tuple[str, str]:
        ultimate, limit = self.pulling.ultimate_n, self.pulling.limit_n
        if ultimate is not None and load_n > ultimate * (1.0 + RELATIVE_TOLERANCE):
            return NOT_COUNTED, (
                f"does not count: {load_n / N_PER_KN:.4g} kN is more than its steel bears ({ultimate / N_PER_KN:.4g} "
                "kN), so the reading cannot be right; have the gauge looked at, replace the fastener and pull the new "
                "one"
            )
        unmet = [requirement.code for requirement in self.requirements if not requirement.met]
        if "feet_far_enough" in unmet:
            return NOT_COUNTED, "does not count: the feet of the bridge stood too near and held the base material down"
        if "site_test_cured" in unmet:
            return NOT_COUNTED, "does not count: nobody says that its resin had cured"
        if load_n < self.proof_n * (1.0 - RELATIVE_TOLERANCE):
            return NOT_COUNTED, f"does not count: {load_n / N_PER_KN:.4g} kN is below the proof load; pull it again"
        if float(pull["held_minutes"]) < self.pulling.hold_minutes:
            return NOT_COUNTED, f"does not count: held for less than {self.pulling.hold_minutes:g} min; pull it again"
        if pull.get("movement_mm") is None:
            return NOT_COUNTED, "does not count: its movement was not read; pull it again and read it"
        if limit is not None and load_n > limit * (1.0 + RELATIVE_TOLERANCE):
            return DAMAGED, (
                f"held, and was harmed: {load_n / N_PER_KN:.4g} kN is beyond {limit / N_PER_KN:.4g} kN, "
                f"{self.pulling.limit_words}; replace it and pull the new one, which then counts"
            )
        return HELD, "held the proof load"


def _cautions(pulls: Pulls, pulling: Pulling, others: Sequence[str]) -> Iterator[Caution]:
    yield from (PROOF_WORDS, LINE_WORDS, MEMORY_WORDS)
    if others:
        yield Caution(
            "pulls_of_others",
            f"Not drawn by the plan: {', '.join(others)}. They do not count towards the number, while a failure among "
            "them counts as one. The draw follows from name, number, seed and parts of the lot: where these are not "
            "those of the plan, give those.",
        )
    limit = pulling.limit_n
    if limit is not None and any(pull.harmed for pull in pulls.all):
        yield Caution(
            "loaded_beyond_steel",
            f"Pulls went beyond {limit / N_PER_KN:.4g} kN, where the fastener itself comes to harm: replace those "
            "fasteners, whether they held or not, and pull the new ones.",
        )
