"""Names of words that answers hold, for engineers; one that an older contract or rulebook knew is only spaced."""

from service.contract.sizing_codes import CAUSES
from service.contract.verification_codes import Edge, Mode, Verdict
from service.words import Audience, Code, catalogue


def spaced(word: str) -> str:
    """Write a word that has no name of its own as one would say it."""
    return word.replace("_", " ")


def mode_name(word: str) -> str:
    """Name a failure mode."""
    return _name(Mode, word)


def edge_name(word: str) -> str:
    """Name an edge of the member."""
    return _name(Edge, word)


def verdict_name(word: str) -> str:
    """Say a verdict."""
    return _name(Verdict, word)


def stop_name(word: str) -> str:
    """Say in a few words what is wrong where a code stops a fixing: a requirement, a limit, or a mode that is over."""
    return catalogue(Audience.ENGINEER).name(CAUSES[word]) if word in CAUSES else spaced(word)


def _name(kind: type[Code], word: str) -> str:
    member = next((each for each in kind if each.value == word), None)
    return spaced(word) if member is None else catalogue(Audience.ENGINEER).name(member)
