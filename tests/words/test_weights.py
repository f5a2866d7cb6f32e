"""How much a finding matters is stated, never taken: what stops work may not pass for good to know."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from service.contract import as_built_codes, label_codes, site_test_codes, sizing_codes, verification_codes
from service.contract.load_model_codes import Caution, Note, StepCode
from service.words import Audience, Code, Severity

NO_FINDINGS = {StepCode, verification_codes.OpenReadingCode}
"""Steps of a working, and how an ambiguous clause was read."""
MODULES = (as_built_codes, label_codes, site_test_codes, sizing_codes, verification_codes)
"""With the load models they hold every list of findings."""

FINDINGS = re.compile(r"(Code|Caution|Note|InputTaken)$")
"""Lists of what was found, by their names; the others are lists of words."""


def lists(of: type[Code] = Code) -> Iterator[type[Code]]:
    for each in of.__subclasses__():
        yield each
        yield from lists(each)


def findings() -> list[Code]:
    kinds = {each for each in lists() if FINDINGS.search(each.__name__) and each not in NO_FINDINGS}
    assert {Caution, Note} < kinds
    assert {kind.__module__ for kind in kinds} >= {module.__name__ for module in MODULES[1:4]}
    return [code for kind in kinds for code in kind]


def test_every_finding_states_how_much_it_matters() -> None:
    assert [f"{type(code).__name__}.{code.name}" for code in findings() if code.says.severity is None] == []


def test_words_that_are_no_finding_have_no_severity() -> None:
    with pytest.raises(ValueError, match="not stated how much this matters"):
        _ = StepCode.MOMENT.says.weight


@pytest.mark.parametrize(
    ("code", "severity", "concerns"),
    [
        (Caution.NO_ONE_UNDER_THE_LOAD, Severity.STOPS, Audience.CREW),
        (Caution.LIFTING_GEAR_RULES, Severity.DECIDE, Audience.CREW),
        (Caution.ONLY_HANGER_FAILS, Severity.DECIDE, Audience.ENGINEER),
        (Caution.ACTIONS_TO_BE_CONFIRMED, Severity.DECIDE, Audience.ENGINEER),
        (Caution.WEIGHT_HOLDS_DOWN, Severity.DECIDE, Audience.CREW),
        (Caution.FATIGUE_AND_VIBRATION_NOT_CHECKED, Severity.DECIDE, Audience.ENGINEER),
        (Note.RACK_EMPTY, Severity.DECIDE, Audience.CREW),
        (Note.WHOLE_BASE_IS_ONE_FIXTURE, Severity.DECIDE, Audience.ENGINEER),
        (Note.PUSH_IN_FULL_BOTH_WAYS, Severity.KNOW, Audience.ENGINEER),
    ],
)
def test_what_load_models_warn_of_has_to_be_acted_on(code: Code, severity: Severity, concerns: Audience) -> None:
    assert (code.says.weight, code.says.concerns) == (severity, concerns)
