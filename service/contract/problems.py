"""Why a request got no answer (RFC 9457)."""

from service.contract.codes import CODES
from service.contract.faults import MOST_ERRORS
from service.contract.fields import Choice, Strict, Whole
from service.contract.given import LONGEST
from service.contract.statement import FIGURE, AnswerSchema, many, string


class Fault(AnswerSchema):
    """One thing that is wrong with a request."""

    code = Choice("Stable code.", tuple(CODES), required=True)
    detail = string("What is wrong and what is allowed.")
    pointer = Strict(
        "Place in the body, a JSON pointer as URI fragment; there unless parameter is.",
        type="string",
        pattern="^#(/.*)?$",
    )
    parameter = Strict("Name of the path or query parameter; there unless pointer is.", type="string")
    given = Strict(
        "What was given there, as JSON in the body and as it stands in a parameter, cut where it is long; left out "
        "where nothing was, or a group or list.",
        type="string",
        maxLength=LONGEST,
    )
    figures = Strict(
        "The figures that go with the code, by name, as far as they are known there: minimum, maximum, allowed and so "
        "on. /v1/rulebooks/{version} lists those of each code under codes.faults.",
        required=True,
        type="object",
        additionalProperties={
            "description": "A number, a word, or a list of them.",
            "type": [*FIGURE, "array"],
            "items": {"description": "One of them.", "type": FIGURE},
        },
    )


class Problem(AnswerSchema):
    """Why a request got no answer (RFC 9457)."""

    type = string("Kind of problem, a URN that does not change.")
    title = string("Kind of problem in words.")
    status = Whole("Status of the response.", minimum=400, maximum=599, required=True)
    detail = string("What is wrong with this request.")
    errors = many(
        Fault,
        f"Each thing that is wrong, at most {MOST_ERRORS} of them; the detail says so where there are more. Empty "
        "where the detail says it all.",
    )
