"""What proof tests ask for next, in words for the crew: what to do, and who decides."""

from __future__ import annotations

from dataclasses import dataclass

from service.site.pulls.proof_tests import NextStep, Progress
from service.site.pulls.pulling import counted


@dataclass(frozen=True, slots=True)
class Found:
    """What the pulls of a lot leave to be done.

    ``wanted`` and ``left`` are numbers of fasteners of the lot; ``to_replace`` names pulls whose fastener still needs a
    replacement that is pulled and holds; ``unmet`` says in words what the pulls as a whole lack.
    """

    step: NextStep
    progress: Progress
    wanted: int
    left: int
    to_replace: tuple[str, ...]
    unmet: tuple[str, ...]


def words_of(found: Found) -> str:
    """What comes next.

    Args:
        found: What the pulls leave to be done.

    Returns:
        Sentences for the crew.
    """
    match found.step:
        case NextStep.CONTINUE:
            return _go_on(found)
        case NextStep.ACCEPT:
            return _proven(found)
        case NextStep.INVESTIGATE_AND_EXTEND:
            return _after_one(found)
        case NextStep.TEST_ALL_AND_RECONSIDER:
            return _after_more(found)


def _go_on(found: Found) -> str:
    done = f"{found.progress.pulled} of the {counted(found.wanted, 'drawn fastener')} {_count(found.progress.pulled)}"
    return " ".join([f"{done} so far, none failed.", *_left(found), "Until then the lot is not proven."])


def _proven(found: Found) -> str:
    pulled, lot = counted(found.progress.pulled, "drawn fastener"), found.progress.fasteners
    if found.progress.failed:
        return (
            f"{pulled} pulled, one failure, its cause found, its replacement held: the setting of the others is proven "
            "once the engineer agrees that the cause is confined to the one that failed."
        )
    whole = f"the lot of {lot}" if lot > 1 else "it"
    return f"{pulled} held the proof load: the setting of {whole} is proven."


def _after_one(found: Found) -> str:
    why = [] if found.progress.cause_found else ["Find out why it failed and write the cause down."]
    return " ".join([
        "One failed: stop, tell the engineer, load nothing of the lot.",
        *why,
        *_left(found),
        "Until then the lot is not proven.",
    ])


def _after_more(found: Found) -> str:
    rest = (
        f"Before any is used, the {counted(found.left, 'fastener')} under still_to_pull "
        f"{'is' if found.left == 1 else 'are'} pulled too."
    )
    return " ".join([
        f"{found.progress.failed} failed: stop, pull nothing more, and use no fastener of the lot.",
        "The engineer who designed the fixing decides what comes next: fastener, setting, base material, action.",
        *([rest] if found.left else []),
    ])


def _left(found: Found) -> list[str]:
    words = [f"Mend this first: {unmet}." for unmet in found.unmet]
    if found.left:
        words.append(f"Pull the {counted(found.left, 'fastener')} under still_to_pull.")
    if found.to_replace:
        names = ", ".join(found.to_replace)
        words.append(
            f"Replace {names} in a new place, and pull the {'new one' if len(found.to_replace) == 1 else 'new ones'}; "
            "where the fixture leaves no new place, the engineer decides."
        )
    return words


def _count(number: int) -> str:
    return "counts" if number == 1 else "count"
