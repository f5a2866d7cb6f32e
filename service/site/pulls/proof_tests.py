"""How many fasteners to pull on site, how hard, and what a failure asks for.

The counts and factors are the company's choice within BS 8539; they come from the caller, never from here.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from service.contract.site_tests import NextStep

TWICE = 2.0
"""A failure at least doubles the sample, whatever the rulebook says (BS 8539, from memory)."""
_SHARE_DENOMINATOR = 10**9  # 0.05 becomes 1/20, so that 5 % of 140 is 7 and not 8


@dataclass(frozen=True)
class SampleRule:
    """A share of the fasteners, at least so many.

    Attributes:
        share: Share of the fasteners to pull, above 0 and at most 1.
        minimum: Fewest fasteners to pull, at least 1.

    Raises:
        ValueError: If a figure is out of its range.
    """

    share: float
    minimum: int

    def __post_init__(self) -> None:
        if not 0.0 < self.share <= 1.0:
            raise ValueError(f"share must be above 0 and at most 1, found {self.share}")
        if self.minimum < 1:
            raise ValueError(f"minimum must be at least 1, found {self.minimum}")


@dataclass(frozen=True)
class ProofScheme:
    """One way to prove the quality of installation.

    Attributes:
        load_factor: Proof load over the service action, above 1.
        sample: How many fasteners to pull at first.
        after_one_failure: How many to pull in all once a single one has failed.
        times_first: Fewest in all after a failure, over the number drawn at first; at least 2.

    Raises:
        ValueError: If the load factor is not above 1, or a failure would not double the sample.
    """

    load_factor: float
    sample: SampleRule
    after_one_failure: SampleRule
    times_first: float = TWICE

    def __post_init__(self) -> None:
        if not self.load_factor > 1.0:
            raise ValueError(f"load_factor must be above 1, found {self.load_factor}")
        if not self.times_first >= TWICE:
            raise ValueError(f"times_first must be at least {TWICE:g}, found {self.times_first}")


@dataclass(frozen=True)
class Progress:
    """How far the pulls of a lot have come.

    Attributes:
        fasteners: Number of fasteners of one kind in one area, at least 1.
        first: How many were drawn at first, at most all of them.
        pulled: How many of those that are wanted by now held the proof load or failed.
        failed: How many fasteners did not hold it, drawn or not.
        replaced: Whether each failed or harmed fastener, if any, was replaced, and its replacement held the proof load.
        cause_found: Whether the cause of the failure is known.

    Raises:
        ValueError: If the numbers don't fit together.
    """

    fasteners: int
    first: int
    pulled: int
    failed: int
    replaced: bool
    cause_found: bool

    def __post_init__(self) -> None:
        if not (1 <= self.first <= self.fasteners and 0 <= self.pulled <= self.fasteners and self.failed >= 0):
            raise ValueError(
                f"expected first and pulled within the {self.fasteners} fasteners, found {self.first}, {self.pulled}, "
                f"and failed at least 0, found {self.failed}"
            )


def proof_load(service_action_n: float, scheme: ProofScheme) -> float:
    """Load to hold in a proof test.

    BS 8539:2012+A1:2021, 9.3 and Annex B (from memory).

    Args:
        service_action_n: Characteristic action on one fastener in service (N), above 0.
        scheme: Proof scheme.

    Returns:
        Proof load (N).

    Raises:
        ValueError: If the action is not above 0 or not finite.
    """
    if not 0.0 < service_action_n < math.inf:
        raise ValueError(f"service_action_n must be above 0 and finite, found {service_action_n}")
    return scheme.load_factor * service_action_n


def number_to_pull(fasteners: int, rule: SampleRule) -> int:
    """How many fasteners to pull.

    BS 8539:2012+A1:2021, 9.3 and Annex B (from memory).

    Args:
        fasteners: Number of fasteners of one kind in one area, at least 1 (no unit).
        rule: Share and minimum.

    Returns:
        Number of fasteners to pull, rounded up, never more than there are.

    Raises:
        ValueError: If there is no fastener.
    """
    if fasteners < 1:
        raise ValueError(f"fasteners must be at least 1, found {fasteners}")
    share = Fraction(rule.share).limit_denominator(_SHARE_DENOMINATOR)
    return min(fasteners, max(rule.minimum, math.ceil(share * fasteners)))


def number_after_one_failure(fasteners: int, first: int, scheme: ProofScheme) -> int:
    """How many fasteners of the lot to have pulled in all once one has failed; its replacement comes besides.

    BS 8539:2012+A1:2021, 9.3 and Annex B (from memory).

    Args:
        fasteners: Number of fasteners of one kind in one area, at least 1 (no unit).
        first: How many were drawn at first (no unit).
        scheme: Proof scheme.

    Returns:
        At least twice as many as at first, never more than there are.
    """
    wanted = max(number_to_pull(fasteners, scheme.after_one_failure), math.ceil(scheme.times_first * first))
    return min(fasteners, wanted)


def next_step(progress: Progress, scheme: ProofScheme, *, within_resistance: bool) -> NextStep:
    """What the pulls so far ask for: none failed, one failed, more failed.

    BS 8539:2012+A1:2021, 9.3 and Annex B (from memory).

    Args:
        progress: How far the pulls have come.
        scheme: Proof scheme.
        within_resistance: Whether the fastener holds the action by its assessment, as far as that has a figure.

    Returns:
        Go on, accept, find the cause and pull more, pull all and reconsider; or design anew, as no pull makes up for
        a resistance that is too low.
    """
    if progress.failed > 1:
        return NextStep.TEST_ALL_AND_RECONSIDER
    if progress.failed == 1:
        enough = progress.pulled >= number_after_one_failure(progress.fasteners, progress.first, scheme)
        settled = enough and progress.replaced and progress.cause_found
        if settled and not within_resistance:
            return NextStep.DESIGN_ANEW
        return NextStep.ACCEPT if settled else NextStep.INVESTIGATE_AND_EXTEND
    if not within_resistance:
        return NextStep.DESIGN_ANEW
    settled = progress.pulled >= progress.first and progress.replaced
    return NextStep.ACCEPT if settled else NextStep.CONTINUE
