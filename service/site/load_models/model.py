"""What a load model is, and what it makes of a request."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from service.rulebook import Rulebook
from service.site.load_models.actions import Situation
from service.site.load_models.inputs import Given, Input, RuleFigure
from service.verification.fixing import STANDARD_GRAVITY

KN_PER_N = 1e-3
GRAVITY_SOURCE = "BIPM, SI Brochure"
STATICS = "statics"


@dataclass(frozen=True, slots=True)
class Surface:
    """The concrete surface that the fixture lies on, and which way the axes point."""

    name: str
    title: str
    x: str
    y: str
    z: str


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the working."""

    symbol: str
    words: str
    value: float
    unit: str
    expression: str | None = None
    source: str | None = None
    rule: str | None = None


class Working:
    """Collects the steps, in order of use."""

    def __init__(self) -> None:
        self._steps: list[Step] = []

    def given(self, symbol: str, words: str, value: float, unit: str) -> float:
        """Note a figure of the request and hand it back."""
        self._steps.append(Step(symbol, words, value, unit))
        return value

    def ruled(self, symbol: str, words: str, figure: RuleFigure, unit: str) -> float:
        """Note a figure of the rulebook and hand it back."""
        self._steps.append(Step(symbol, words, figure.value, unit, None, figure.source, figure.rule))
        return figure.value

    def step(self, symbol: str, words: str, value: float, unit: str, expression: str, source: str = STATICS) -> float:
        """Note a figure that follows from earlier ones and hand it back."""
        self._steps.append(Step(symbol, words, value, unit, expression, source))
        return value

    def weight(self, symbol: str, words: str, mass_kg: float, expression: str) -> float:
        """Note the weight (kN) of a mass and hand it back."""
        if all(step.symbol != "g_n" for step in self._steps):
            fall = "standard acceleration of free fall"
            self._steps.append(Step("g_n", fall, STANDARD_GRAVITY, "m/s²", None, GRAVITY_SOURCE))
        return self.step(symbol, words, mass_kg * STANDARD_GRAVITY * KN_PER_N, "kN", f"{expression}·g_n/1000")

    def all(self) -> tuple[Step, ...]:
        """The steps."""
        return tuple(self._steps)


@dataclass(frozen=True, slots=True)
class ModelActions:
    """What a load model makes of a request.

    Attributes:
        surface: The surface and its axes.
        situations: Characteristic actions, alternatives.
        notes: Codes and words of what was assumed beyond inputs left out.
        idle: Inputs that had no effect, so that nothing was assumed for them.
    """

    surface: Surface
    situations: tuple[Situation, ...]
    notes: tuple[tuple[str, str], ...] = ()
    idle: tuple[str, ...] = ()


Disagreement = tuple[str, str, str]
"""Field, code and words."""


@dataclass(frozen=True, slots=True)
class LoadModel:
    """A kind of thing that is fixed to concrete.

    Attributes:
        name: Its name in the path.
        title: What people call it.
        words: What the model does.
        inputs: What it asks for.
        surfaces: Surfaces it may be fixed to.
        disagree: Finds what is right field by field and wrong together.
        find: Turns a sound request into characteristic actions, noting the working.
        cautions: Codes of its cautions.
    """

    name: str
    title: str
    words: str
    inputs: tuple[Input, ...]
    surfaces: tuple[Surface, ...]
    disagree: Callable[[Given], Iterator[Disagreement]]
    find: Callable[[Given, Rulebook, Working], ModelActions]
    cautions: tuple[str, ...]

    def given(self, request: Mapping[str, Any]) -> Given:
        """A request, read by the inputs of this model."""
        return Given(request, {asked.name: asked for asked in self.inputs})


def agree(_: Given) -> Iterator[Disagreement]:
    """Find nothing: for models whose inputs cannot disagree.

    Args:
        _: The request.

    Returns:
        Nothing.
    """
    return iter(())
