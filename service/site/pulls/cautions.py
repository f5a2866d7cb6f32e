"""What to beware of whenever fasteners are pulled on site."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook import Rulebook
from service.verification.cautions import Caution

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


def shown_cautions(rulebook: Rulebook, cautions: Iterator[Caution]) -> list[dict[str, str]]:
    """The cautions of the rulebook, and those that a test brings."""
    own = dict.fromkeys((caution.code, caution.text) for caution in cautions)
    of_rulebook = [{"code": caution["code"], "text": caution["text"]} for caution in rulebook.document["cautions"]]
    return of_rulebook + [{"code": code, "text": text} for code, text in own]
