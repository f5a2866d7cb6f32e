"""Whether it was seen that a fastener is expanded, where nobody can tell by a torque."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import MappingProxyType

from service.site.as_built.hole import SET_ANEW
from service.site.as_built.model import Built, Requirement

_WORDS: Mapping[str, tuple[str, str, str]] = MappingProxyType({
    "sleeve_expanded": (
        "the setting tool met every sleeve with its shoulder",
        "the setting tool did not meet every sleeve with its shoulder: the sleeve is not expanded",
        f"drive the setting tool until its shoulder meets the sleeve; where it does not get there: {SET_ANEW}",
    ),
    "mark_shows": (
        "the mark of every fastener shows that it is expanded",
        "the mark does not show: the undercut is not filled",
        f"drive the sleeve on until the mark shows, as the assessment has it; where it does not: {SET_ANEW}",
    ),
})


def expanded(built: Built) -> Iterator[Requirement]:
    """Say whether it was seen to be expanded.

    Args:
        built: The work as built.

    Yields:
        One requirement, where it was said.
    """
    for name, (yes, no, to_do) in _WORDS.items():
        seen = built.found.values.get(name)
        if seen is not None:
            yield Requirement(
                name, bool(seen), yes if seen else no, "yes" if seen else "no", "yes", None, None,
                None if seen else to_do, decisive=True,
            )  # fmt: skip
