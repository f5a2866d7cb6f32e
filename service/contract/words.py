"""The catalogue that the page for people makes its sentences from."""

from service.contract.fields import Strict, Text
from service.contract.known_codes import ENUMERATIONS
from service.contract.paths import Path, PathParameter
from service.contract.request_schema import RequestSchema
from service.contract.statement import AnswerSchema, string
from service.words import ENGLISH


def _by_name(description: str) -> Strict:
    return Strict(description, required=True, type="object")


class WordsQuery(RequestSchema):
    """Which words are wanted."""

    parts = Text(
        f"Parts of an answer whose codes are wanted, with commas between: of {', '.join(ENUMERATIONS)}.",
        longest=1000,
        absent="every part",
    )


class Words(AnswerSchema):
    """Sentences and names in one language, as the page for people says them to a crew."""

    language = string("Code of the language.")
    codes = _by_name(
        "For each part of an answer, by the names of /v1/rulebooks/{version} .codes, each of its codes, with its "
        "sentences, of which the first is taken whose figures are all there, and with the lists that its words come "
        "from. A code of which a figure is a part, such as {condition}_unknown, has the name of the figure in braces; "
        "cautions of the rulebook have the rulebook's own text."
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
            "places for its figures, names of words from lists, and the page's own texts. The codes are those of "
            "/v1/rulebooks/{version}, of every part of an answer or of those named."
        ),
        tag="Running it",
        answer=Words,
        query=WordsQuery,
        query_examples={"parts": "assumptions,cautions"},
        path_parameters=(PathParameter("language", "Code of a language.", ENGLISH),),
        names_rulebook=False,
    ),
)
