"""The words of the page for people, in one language."""

from pathlib import Path
from typing import Any

from flask import current_app

from service.api.operations import Call, bound
from service.api.page.sentences import page_words
from service.contract.faults import Fault, Refused
from service.contract.known_codes import ENUMERATIONS
from service.contract.words import PATHS
from service.words import languages

LOCALE = "LOCALE"
"""Where the application keeps the directory of the languages."""


def get_words(call: Call) -> dict[str, Any]:
    """Give the catalogue of a language.

    Args:
        call: The call.

    Returns:
        The catalogue.

    Raises:
        Refused: There are no words in that language, or no such part of an answer.
    """
    directory: Path = current_app.config[LOCALE]
    language = call.path["language"]
    there = languages(directory)
    if language not in there:
        detail, figures = f"must be one of: {', '.join(there)}", {"allowed": list(there)}
        fault = Fault("unknown_language", detail, parameter="language", figures=figures)
        raise Refused(404, [fault], "No such language.")
    words = page_words(language, directory)
    wanted = call.query.get("parts")
    return words if wanted is None else words | {"codes": {part: words["codes"][part] for part in _parts(wanted)}}


def _parts(wanted: str) -> list[str]:
    """The parts that are named."""
    named = wanted.split(",")
    if not ENUMERATIONS.keys() >= {*named}:
        detail = f"must be one or several, with commas between, of: {', '.join(ENUMERATIONS)}"
        figures = {"allowed": list(ENUMERATIONS)}
        raise Refused(422, [Fault("not_allowed", detail, parameter="parts", given=wanted, figures=figures)])
    return named


OPERATIONS = bound(
    PATHS,
    {"getWords": get_words},
)
