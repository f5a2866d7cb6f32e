"""What a fixing holds, in the crew's terms: the first that a sheet says, so that it is not used for more."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from service.contract.load_model_codes import Note
from service.contract.sheet_codes import SheetLineCode
from service.contract.verification_codes import stated
from service.contract.wanted import LoadsFrom, ToldInput
from service.site.load_models import MODELS
from service.site.load_models.following import COMPONENTS, LOADS, asked_again
from service.site.load_models.inputs import Input, NumberInput, RuleWord, Word, entries_of
from service.site.sheet.acting import Acting, acting, loads_to_say
from service.site.sheet.content import Figure, Line, derived
from service.site.sheet.source import Source
from service.site.sheet.work import Work
from service.verification.fixing import N_PER_KN, STANDARD_GRAVITY
from service.words import Audience, Quantity, Severity, Statement


def holds(work: Work) -> Iterator[Line]:
    """Say what the fixing holds.

    Args:
        work: The work of the fixing.

    Yields:
        The lines: what each load model was told, what else acts on the whole fixture, and by design values what the
        most loaded fastener carries.
    """
    for index, told in enumerate(work.source.fixing.loads_from):
        if told.told:
            yield from _told(work, index, told)
    yield from acting(work, tuple(_of_things(work.source)))
    yield from _presses(work)
    pulls, shears = tuple(_pulls(work)), tuple(_shears(work))
    if not pulls or not shears:
        return
    pull, shear = (max(found, key=lambda figure: figure.number) for found in (pulls, shears))
    # What may hang or push stands above; a share that counts the failure of another one is no leave to hang more.
    yield work.words.tell(
        "Nothing else hangs on it or pushes it; otherwise stop and ask. For the engineer, by design values on any one "
        "fastener: no more than {pull} of pull and {shear} of shear",
        pull=pull,
        shear=shear,
        code=SheetLineCode.CARRIES,
    )


def pushes(work: Work) -> tuple[Acting, ...]:
    """Find the loads that push and have an arrow on the plan; a thing that was told names its sides itself.

    Args:
        work: The work of the fixing.

    Returns:
        The loads, as the sheet says them.
    """
    return tuple(one for one in loads_to_say(work, tuple(_of_things(work.source))) if one.arrow)


def _of_things(source: Source) -> Iterator[Mapping[str, Any]]:
    """The loads of things whose load models were told, which is what those lines say."""
    for told in source.fixing.loads_from:
        if told.told:
            found = asked_again(told, source.request, source.rulebook)
            for part in LOADS:
                yield from found[part]


def _told(work: Work, index: int, told: LoadsFrom) -> Iterator[Line]:
    """What the thing is, and each thing that was told of it, as a form for crews calls it."""
    words, model = work.words, MODELS[told.load_model]
    place = f"#/request/loads_from/{index}"
    thing = words.say(model.title)
    yield words.tell("For: {thing}", thing=thing, from_=f"{place}/load_model", code=SheetLineCode.HOLDS)
    asked = {one.name: one for one in model.inputs}
    for number, one in enumerate(told.told):
        yield _input(work, asked[one.input], one, f"{place}/told/{number}")
    yield from _assumed(work, told, place)


def _assumed(work: Work, told: LoadsFrom, place: str) -> Iterator[Line]:
    """What the load model assumed and a crew has to see to be so; a figure of the rulebook is told to nobody else."""
    found = asked_again(told, work.source.request, work.source.rulebook)
    for entry in found["assumptions"]:
        statement = stated(entry, Note)
        if statement is None or entry["code"] in told.cautions:
            continue
        says = statement.code.says
        if says.severity is Severity.DECIDE and says.concerns is Audience.CREW:
            figures = tuple(_figures(work, statement, told, found, place))
            yield Line(work.words.catalogue.sentence(statement), figures, code=entry["code"])


def _figures(
    work: Work, statement: Statement, told: LoadsFrom, found: Mapping[str, Any], place: str
) -> Iterator[Figure]:
    """The figures of an assumption, each from the rule that the load model read it in or the input that says it."""
    for figure in statement.code.says.figures:
        if not isinstance(figure, Quantity):
            continue
        value = statement.figures[figure.name]
        read = ((step["value"], step["unit"]) == (value, figure.unit) and step["rule"] for step in found["working"])
        if rule := next(filter(None, read), None):
            yield work.source.rule(figure.name, figure.unit, rule)
            continue
        numbers = (number for number, one in enumerate(told.told) if _is(one.number, value))
        yield work.source.given(figure.name, figure.unit, f"{place}/told/{next(numbers)}/number")


def _is(number: float | None, value: Any) -> bool:
    """Whether a number that was told is the one of an assumption, which is rounded."""
    return number is not None and math.isclose(number, float(value), rel_tol=1e-5)


def _input(work: Work, asked: Input, one: ToldInput, place: str) -> Line:
    words, label = work.words, work.words.say(asked.crew.label or asked.title)
    value: Figure | str
    if isinstance(asked, NumberInput):
        value = work.source.given(one.input, asked.unit, f"{place}/number")
    elif isinstance(asked, RuleWord):
        value = str(entries_of(work.source.rulebook, asked)[str(one.word)]["title"])
        if asked.read_in is not None:
            rule = f"factors/{asked.file}#/{asked.table}/{one.word}/{asked.figure}"
            figure = work.source.rule(asked.figure, asked.read_in, rule)
            said = words.tell("{label}: {value}, {figure}", label=label, value=value, figure=figure)
            return replace(said, from_=place, code=SheetLineCode.HOLDS)
    else:
        value = words.say(asked.titles[str(one.word)]) if isinstance(asked, Word) else str(one.word)
    if one.taken:
        said = words.tell("{label}: {value} (nobody said, so taken)", label=label, value=value)
    elif isinstance(asked, NumberInput) and asked.most:
        said = words.tell("{label}: no more than {value}", label=label, value=value)
    elif isinstance(asked, NumberInput) and asked.least:
        said = words.tell("{label}: at least {value}", label=label, value=value)
    else:
        said = words.tell("{label}: {value}", label=label, value=value)
    return replace(said, from_=place, code=SheetLineCode.HOLDS)


def _presses(work: Work) -> Iterator[Line]:
    """What has to press while the rest acts, as the result counts on it."""
    for index, action in enumerate(work.source.request.get("actions") or ()):
        if action["kind"] == "permanent" and float(action.get("normal_kn") or 0.0) < 0.0:
            yield _pressing(work, f"#/request/actions/{index}", str(action["name"]))
    # Of design load cases each has its own; the hardest is told, where no load model has told what weighs.
    told = [one.told for one in work.source.fixing.loads_from]
    cases = [] if any(told) else list(enumerate(work.source.request.get("load_cases") or ()))
    if pressed := [(float(case["normal_kn"]), index) for index, case in cases if _presses_beside(case)]:
        _, index = min(pressed)
        yield _pressing(work, f"#/request/load_cases/{index}", str(cases[index][1]["name"]))


def _presses_beside(case: Mapping[str, Any]) -> bool:
    acting = {name for name in COMPONENTS if float(case.get(name) or 0.0)}
    return acting > {"normal_kn"} and float(case["normal_kn"]) < 0.0


def _pressing(work: Work, place: str, name: str) -> Line:
    given = work.source.given("normal_kn", "kN", f"{place}/normal_kn")
    least = derived("normal_kn", "kN", _up(-given.number), "ceil(-100 * {}) / 100", given)
    mass = derived(
        "mass_kg", "kg", float(math.ceil(round(-N_PER_KN * given.number / STANDARD_GRAVITY, 6))),
        f"ceil(-{N_PER_KN:g} * {{}} / {STANDARD_GRAVITY})", given,
    )  # fmt: skip
    return work.words.tell(
        "It counts on {least} ({mass}) that press on the fixture all the while ({name}): they have to be there before "
        "anything else acts, and stay as long as it does",
        least=least,
        mass=mass,
        name=name,
        code=SheetLineCode.PRESSES,
    )


def _up(value: float) -> float:
    """Up to the next hundredth, but for what a last digit leaves behind."""
    return math.ceil(round(100 * value, 6)) / 100


def _pulls(work: Work) -> Iterator[Figure]:
    for place in _forces(work):
        pull = work.source.given("tension_kn", "kN", f"{place}/tension_kn")
        yield derived("fastener_tension_kn", "kN", _up(pull.number), "ceil(100 * {}) / 100", pull)


def _shears(work: Work) -> Iterator[Figure]:
    for place in _forces(work):
        along_x, along_y = (work.source.given(name, "kN", f"{place}/{name}") for name in ("shear_x_kn", "shear_y_kn"))
        value = _up(math.hypot(along_x.number, along_y.number))
        yield derived("fastener_shear_kn", "kN", value, "ceil(100 * hypot({}, {})) / 100", along_x, along_y)


def _forces(work: Work) -> Iterator[str]:
    """Places of the forces of each fastener in each load case."""
    for case, found in enumerate(work.source.answer["fastener_forces"]):
        for index in range(len(found["fasteners"])):
            yield f"#/answer/fastener_forces/{case}/fasteners/{index}"
