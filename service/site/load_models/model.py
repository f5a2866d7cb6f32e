"""What a load model is, and what it makes of a request."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from service.contract.load_model_codes import Caution, StepCode
from service.rulebook import Rulebook
from service.site.load_models.actions import Situation
from service.site.load_models.inputs import Disagreement, Given, Input, RuleFigure, Word
from service.verification.fixing import STANDARD_GRAVITY
from service.words import Statement

KN_PER_N = 1e-3
GRAVITY_SOURCE = "BIPM, SI Brochure"
STATICS = "statics"


@dataclass(frozen=True, slots=True)
class Surface:
    """The concrete surface that the fixture lies on, which way the axes point, and where a crew stands for them."""

    name: str
    title: str
    x: str
    y: str
    z: str
    stand: str
    looking: str


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the working.

    Attributes:
        symbol: Symbol of the figure.
        says: What it is.
        value: The figure.
        unit: Its unit.
        expression: How it follows from earlier ones.
        source: What it rests on.
        rule: Where it stands in the rulebook.
        weighs: Whether it is the weight of the thing, which a crew compares with what they know of it.
    """

    symbol: str
    says: Statement
    value: float
    unit: str
    expression: str | None = None
    source: str | None = None
    rule: str | None = None
    weighs: bool = False


class Working:
    """Collects the steps, in order of use."""

    def __init__(self) -> None:
        self._steps: list[Step] = []

    def given(self, symbol: str, what: StepCode, value: float, unit: str) -> float:
        """Note a figure of the request and hand it back."""
        self._steps.append(Step(symbol, Statement(what), value, unit))
        return value

    def ruled(self, symbol: str, what: StepCode | Statement, figure: RuleFigure, unit: str) -> float:
        """Note a figure of the rulebook and hand it back."""
        says = what if isinstance(what, Statement) else Statement(what)
        self._steps.append(Step(symbol, says, figure.value, unit, None, figure.source, figure.rule))
        return figure.value

    def step(
        self, symbol: str, what: StepCode, value: float, unit: str, expression: str, source: str = STATICS
    ) -> float:
        """Note a figure that follows from earlier ones and hand it back."""
        self._steps.append(Step(symbol, Statement(what), value, unit, expression, source))
        return value

    def weight(self, symbol: str, what: StepCode, mass_kg: float, expression: str) -> float:
        """Note the weight (kN) of a mass and hand it back."""
        if all(step.symbol != "g_n" for step in self._steps):
            says = Statement(StepCode.FREE_FALL)
            self._steps.append(Step("g_n", says, STANDARD_GRAVITY, "m/s²", None, GRAVITY_SOURCE))
        weight = mass_kg * STANDARD_GRAVITY * KN_PER_N
        expression = f"{expression}·g_n/1000"
        self._steps.append(Step(symbol, Statement(what), weight, "kN", expression, STATICS, weighs=True))
        return weight

    def all(self) -> tuple[Step, ...]:
        """The steps."""
        return tuple(self._steps)


@dataclass(frozen=True, slots=True)
class ModelActions:
    """What a load model makes of a request.

    Attributes:
        surface: The surface and its axes.
        situations: Characteristic actions, alternatives.
        notes: What was assumed beyond inputs left out.
        idle: Inputs that had no effect, so that nothing was assumed for them.
        cautions: What else to beware of, as it is told.
    """

    surface: Surface
    situations: tuple[Situation, ...]
    notes: tuple[Statement, ...] = ()
    idle: tuple[str, ...] = ()
    cautions: tuple[Caution, ...] = ()


@dataclass(frozen=True, slots=True)
class Plate:
    """A plate as it is common for the thing, shown as an example and never taken."""

    width_mm: float
    depth_mm: float
    thickness_mm: float
    spacing_x_mm: float
    spacing_y_mm: float
    section_x_mm: float
    section_y_mm: float


@dataclass(frozen=True, slots=True)
class Shared:
    """What shares a mass with others of its kind: the input that counts them, and what one and several are called."""

    count: str
    one: str
    many: str


@dataclass(frozen=True, slots=True)
class CrewOfThing:
    """What a form for crews needs of a thing beside its inputs.

    Attributes:
        words: What the model does, without signs; None: the words of the model.
        told_apart: One line that tells it from a thing it may be taken for; None: it is taken for none.
        example: A plate as it is common for it.
        shared: What shares its mass; None: nothing does.
    """

    words: str | None = None
    told_apart: str | None = None
    example: Plate = Plate(220, 220, 15, 150, 150, 60, 60)
    shared: Shared | None = None


@dataclass(frozen=True, slots=True)
class LoadModel:
    """A kind of thing that is fixed to concrete.

    Attributes:
        name: Its name in the path.
        title: What people call it.
        words: What the model does.
        inputs: What it asks for.
        surfaces: Surfaces it may be fixed to.
        find: Turns a sound request into characteristic actions, noting the working.
        cautions: What to beware of whatever is told.
        exactly_one: Inputs of which exactly one must be given.
        disagree: Finds what else is right field by field and wrong together.
        crew: What a form for crews needs beside.
    """

    name: str
    title: str
    words: str
    inputs: tuple[Input, ...]
    surfaces: tuple[Surface, ...]
    find: Callable[[Given, Rulebook, Working], ModelActions]
    cautions: tuple[Caution, ...]
    exactly_one: tuple[str, ...] = ()
    disagree: Callable[[Given], Iterator[Disagreement]] = lambda _: iter(())
    crew: CrewOfThing = CrewOfThing()

    def given(self, request: Mapping[str, Any]) -> Given:
        """A request, read by the inputs of this model."""
        return Given(request, {asked.name: asked for asked in self.inputs})


def crew_texts(model: LoadModel) -> Iterator[str]:
    """List what a form for crews says of a thing, which the catalogues of other languages translate."""
    yield model.title
    yield model.crew.words or model.words
    yield from filter(None, (model.crew.told_apart,))
    if model.crew.shared is not None:
        yield from (model.crew.shared.one, model.crew.shared.many)
    for surface in model.surfaces:
        yield from (surface.title, surface.stand, surface.looking)
    for asked in model.inputs:
        yield from (asked.crew.label or asked.title, asked.crew.hint or asked.words)
        yield from filter(None, (asked.crew.left_empty or asked.absent,))
        if isinstance(asked, Word):
            yield from asked.titles.values()
