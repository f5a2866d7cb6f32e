"""The words of the page for people, in one language."""

from pathlib import Path
from typing import Any

from flask import current_app

from service.api.operations import Call, bound
from service.api.page.sentences import page_words
from service.contract.faults import Fault, Refused
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
        Refused: There are no words in that language.
    """
    directory: Path = current_app.config[LOCALE]
    language = call.path["language"]
    there = languages(directory)
    if language not in there:
        words, figures = f"must be one of: {', '.join(there)}", {"allowed": list(there)}
        fault = Fault("unknown_language", words, parameter="language", figures=figures)
        raise Refused(404, [fault], "No such language.")
    return page_words(language, directory)


OPERATIONS = bound(
    PATHS,
    {"getWords": get_words},
)
