"""Parts that several answers have: requirements, assumptions, cautions, what the answer rests on."""

from service.contract import verification_codes as codes
from service.contract.statement import (
    AnswerSchema,
    Free,
    RulesSchema,
    Said,
    Stated,
    code,
    flag,
    many,
    sentence,
    severity,
    string,
)


class Requirement(Said):
    """A limit that is met or not."""

    code = code(codes.REQUIREMENTS, of="code.value")
    severity = severity(of="code.says.weight.value")
    met = flag("Whether it is met.")
    clause = string("Clause of the standard; null: none.", nullable=True)
    detail = sentence("The requirement in words.", of="statement")
    given = Free("What is given; null: not one value, see figures.")
    limit = Free("What is allowed; null: not one value, see figures.")
    unit = string("Unit of both; null: none.", nullable=True)
    rule = string("Rulebook path of the limit; null: it is no figure of the rulebook.", nullable=True)


class ScopeLimit(Stated):
    """Why the method does not cover the case."""

    code = code(codes.SCOPE_LIMITS, of="statement.word")
    detail = sentence("The limit in words.", of="statement")
    clause = string("Clause of the standard; null: none.", nullable=True)


class Assumption(Stated):
    """What was taken because the request leaves it open."""

    code = code(
        codes.ASSUMPTIONS,
        " And `<condition>_unknown` for each site condition of the rulebook.",
        of="statement.word",
    )
    text = sentence("What was taken.", of="statement")
    pointer = string("Place in the request as a JSON pointer; null: none.", nullable=True)


class Caution(Said):
    """What to beware of."""

    code = code(codes.CAUTIONS, " And the codes of the rulebook's own cautions, listed at /v1/rulebooks/{version}.")
    text = sentence("The caution.")


class Standard(RulesSchema):
    """A standard that the answer rests on."""

    code = string("Number of the standard.")
    edition = string("Edition.")
    used_for = sentence("What it is used for.")


class NationalChoice(RulesSchema):
    """A choice that the standard leaves to each nation."""

    code = string("Number of the standard.")
    clause = string("Clause.")
    choice = sentence("What is chosen.")


class OpenReading(AnswerSchema):
    """A point where the standard can be read in two ways; the safe reading is taken."""

    code = code(codes.OpenReadingCode)
    clause = string("Clause.")
    text = sentence("The reading taken.")


class Basis(AnswerSchema):
    """What the answer rests on."""

    standards = many(Standard, "Standards.")
    national_choices = many(NationalChoice, "Choices left to each nation.")
    open_readings = many(OpenReading, "Open readings that were used.")
    note = sentence("What to know about the basis.")
