"""The catalogue that the page for people makes its sentences from."""

from service.contract.fields import Strict
from service.contract.paths import Path, PathParameter
from service.contract.statement import AnswerSchema, string
from service.words import ENGLISH


def _by_name(description: str) -> Strict:
    return Strict(description, required=True, type="object")


class Words(AnswerSchema):
    """Sentences and names in one language, as the page for people says them to a crew."""

    language = string("Code of the language.")
    codes = _by_name(
        "For each part of an answer (assumptions, cautions and others) each of its codes, with its sentences, of which "
        "the first is taken whose figures are all there, and with the lists that its words come from."
    )
    names = _by_name("Names of words by their list, such as failure modes.")
    texts = _by_name("The page's own sentences by their English; empty for English.")
    counted = _by_name("Those that depend on a number, by their English for one: templates by the categories of CLDR.")


PATHS = (
    Path(
        method="GET",
        path="/v1/words/{language}",
        name="getWords",
        summary="In which words does the page speak?",
        description=(
            "Gives the catalogue that the page for people makes its sentences from: a sentence for each code, with "
            "places for its figures, names of words from lists, and the page's own texts."
        ),
        tag="Running it",
        answer=Words,
        path_parameters=(PathParameter("language", "Code of a language.", ENGLISH),),
        names_rulebook=False,
    ),
)
