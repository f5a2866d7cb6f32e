"""What proof tests ask for next, in words for the crew: what to do, and who decides."""

from __future__ import annotations

from dataclasses import dataclass

from service.contract.site_tests import NextStep
from service.site.pulls.loads_shown import counted
from service.site.pulls.proof_tests import Progress


@dataclass(frozen=True, slots=True)
class LeftToDo:
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


def next_step_text(to_do: LeftToDo) -> str:
    """What comes next.

    Args:
        to_do: What the pulls leave to be done.

    Returns:
        Sentences for the crew.
    """
    match to_do.step:
        case NextStep.CONTINUE:
            return _go_on(to_do)
        case NextStep.ACCEPT:
            return _proven(to_do)
        case NextStep.INVESTIGATE_AND_EXTEND:
            return _after_one(to_do)
        case NextStep.TEST_ALL_AND_RECONSIDER:
            return _after_more(to_do)
        case NextStep.DESIGN_ANEW:
            return _too_much(to_do)


def _go_on(to_do: LeftToDo) -> str:
    done = f"{to_do.progress.pulled} of the {counted(to_do.wanted, 'drawn fastener')} {_count(to_do.progress.pulled)}"
    return " ".join([f"{done} so far, none failed.", *_left(to_do), "Until then the lot is not proven."])


def _proven(to_do: LeftToDo) -> str:
    pulled, lot = counted(to_do.progress.pulled, "drawn fastener"), to_do.progress.fasteners
    if to_do.progress.failed:
        return (
            f"{pulled} pulled, one failure, its cause found, its replacement held: the setting of the others is proven "
            "once the engineer agrees that the cause is confined to the one that failed."
        )
    whole = f"the lot of {lot}" if lot > 1 else "it"
    return f"{pulled} held the proof load: the setting of {whole} is proven."


def _after_one(to_do: LeftToDo) -> str:
    why = [] if to_do.progress.cause_found else ["Find out why it failed and write the cause down."]
    return " ".join([
        "One failed: stop, tell the engineer, load nothing of the lot.",
        *why,
        *_left(to_do),
        "Until then the lot is not proven.",
    ])


def _after_more(to_do: LeftToDo) -> str:
    rest = (
        f"Before any is used, the {counted(to_do.left, 'fastener')} under still_to_pull "
        f"{'is' if to_do.left == 1 else 'are'} pulled too."
    )
    return " ".join([
        f"{to_do.progress.failed} failed: stop, pull nothing more, and use no fastener of the lot.",
        "The engineer who designed the fixing decides what comes next: fastener, setting, base material, action.",
        *([rest] if to_do.left else []),
    ])


def _too_much(to_do: LeftToDo) -> str:
    return " ".join([
        "Pull nothing more, and load nothing of the lot: the engineer who designed the fixing designs it anew.",
        *(f"It lacks this: {unmet}." for unmet in to_do.unmet),
    ])


def _left(to_do: LeftToDo) -> list[str]:
    words = [f"Mend this first: {unmet}." for unmet in to_do.unmet]
    if to_do.left:
        words.append(f"Pull the {counted(to_do.left, 'fastener')} under still_to_pull.")
    if to_do.to_replace:
        names = ", ".join(to_do.to_replace)
        words.append(
            f"Replace {names} in a new place, and pull the {'new one' if len(to_do.to_replace) == 1 else 'new ones'}; "
            "where the fixture leaves no new place, the engineer decides."
        )
    return words


def _count(number: int) -> str:
    return "counts" if number == 1 else "count"
