"""Pulls of a proof test: each of them judged, and what they leave of a lot to be pulled."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from service.contract.site_test_codes import PlanRequirementCode
from service.contract.verification_codes import PullRequirementCode
from service.site.pulls.pulling import Pulling
from service.site.pulls.sampling import Drawn, Sample
from service.verification.fixing import N_PER_KN
from service.verification.pulls.gauge import Measured
from service.verification.pulls.requirements import RELATIVE_TOLERANCE
from service.verification.requirements import Requirement
from service.words import Audience, catalogue

HELD, FAILED, DAMAGED, NOT_COUNTED = "held", "failed", "damaged", "not_counted"


@dataclass(frozen=True, slots=True)
class JudgedPull:
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


class PullsOfLot:
    """The pulls of a lot, and what they leave to be done."""

    def __init__(self, pulls: Sequence[JudgedPull], sample: Sample, lot: Mapping[str, Any]) -> None:
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

    def _held_anew(self, pull: JudgedPull) -> bool:
        replacement = self._replacements.get(pull.name)
        if replacement is None:
            return False
        return replacement.result == HELD or (replacement.harmed and self._held_anew(replacement))


def _part_of(number: int, lot: Mapping[str, Any]) -> str | None:
    return next((p["name"] for p in lot.get("parts", ()) if p["first"] <= number <= p["last"]), None)


@dataclass(frozen=True, slots=True)
class ProofJudge:
    """Judges pulls one by one: the proof load (N), limits of the fastener, what was drawn, what the tests need."""

    proof_n: float
    pulling: Pulling
    drawn: frozenset[int] | set[int]
    requirements: tuple[Requirement, ...]

    def of_whole_lot(self, number: int) -> ProofJudge:
        """The same where every fastener of the lot is wanted."""
        return ProofJudge(self.proof_n, self.pulling, set(range(1, number + 1)), self.requirements)

    def pull(self, pull: Mapping[str, Any], load: Measured, number: int | None) -> JudgedPull:
        """Judge a pull: it held the least, and may have been harmed by the most, that its reading may stand for."""
        result, text = self._result(pull, load, number)
        harmed = self._beyond(load) and result != FAILED and not self.pulling.beyond_steel(load.least_n)
        return JudgedPull(pull["name"], number, pull.get("replaces"), load.least_n, result, text, harmed)

    def _beyond(self, load: Measured) -> bool:
        limit = self.pulling.limit_n
        return limit is not None and load.most_n > limit * (1.0 + RELATIVE_TOLERANCE)

    def _result(self, pull: Mapping[str, Any], load: Measured, number: int | None) -> tuple[str, str]:
        moved, allowed = pull.get("movement_mm"), self.pulling.movement_mm
        if pull["failure"] != "none":
            return FAILED, f"failed: {pull['failure'].replace('_', ' ')}; replace it"
        if moved is not None and float(moved) > allowed:
            return FAILED, f"failed: moved {moved:g} mm, more than {allowed:g} mm; replace it"
        if "replaces" not in pull and number not in self.drawn:
            return NOT_COUNTED, "does not count: this fastener was not drawn"
        return self._of_load(pull, load)

    def _of_load(self, pull: Mapping[str, Any], load: Measured) -> tuple[str, str]:
        load_n = load.least_n
        ultimate, limit = self.pulling.ultimate_n, self.pulling.limit_n
        if ultimate is not None and self.pulling.beyond_steel(load_n):
            return NOT_COUNTED, (
                f"does not count: {load_n / N_PER_KN:.4g} kN is more than its steel bears ({ultimate / N_PER_KN:.4g} "
                "kN), so the reading cannot be right. Look at what was written down, its unit and its point, and give "
                "the reading again; nothing is condemned before. Where it stands as it is, have the gauge looked at, "
                "and the engineer decides on the fastener"
            )
        unmet = [requirement.code for requirement in self.requirements if not requirement.met]
        if PlanRequirementCode.FEET_FAR_ENOUGH in unmet:
            return NOT_COUNTED, "does not count: the feet of the bridge stood too near and held the base material down"
        if PullRequirementCode.SITE_TEST_CURED in unmet:
            return NOT_COUNTED, "does not count: nobody says that its resin had cured"
        if load_n < self.proof_n * (1.0 - RELATIVE_TOLERANCE):
            return NOT_COUNTED, f"does not count: {load_n / N_PER_KN:.4g} kN is below the proof load; pull it again"
        if float(pull["held_minutes"]) < self.pulling.hold_minutes:
            return NOT_COUNTED, f"does not count: held for less than {self.pulling.hold_minutes:g} min; pull it again"
        if pull.get("movement_mm") is None:
            return NOT_COUNTED, "does not count: its movement was not read; pull it again and read it"
        if limit is not None and self._beyond(load):
            limit_words = catalogue(Audience.CREW).name(self.pulling.limit_kind)
            return DAMAGED, (
                f"held, and was harmed: {load.most_n / N_PER_KN:.4g} kN is beyond {limit / N_PER_KN:.4g} kN, "
                f"{limit_words}; replace it and pull the new one, which then counts"
            )
        return HELD, "held the proof load"
