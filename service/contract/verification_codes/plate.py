"""Why the stiffness of a fixture was not checked."""

from __future__ import annotations

from service.contract.verification_codes.terms import FixtureFigure
from service.words import Code, Meaning, Term


class PlateNotChecked(Code):
    """Reasons why there is no stress of the fixture."""

    NO_FORCES = Meaning("No forces of the fasteners were found.", "no forces were found")
    NO_PLATE = Meaning("There is no plate.", "there is none")
    NOT_GIVEN = Meaning(
        "The request lacks figures of the fixture.",
        "not given: {missing}",
        figures=(Term("missing", FixtureFigure),),
    )
