"""Which way up a fixing stands, and which side of it is outwards, as the thing that its loads came from knows."""

from __future__ import annotations

from service.contract.wanted import LoadsFrom
from service.site.load_models import MODELS, surface_of
from service.site.load_models.surfaces import SIDES
from service.site.sheet.source import Source


def ways(source: Source) -> dict[str, str]:
    """Say what a crew calls the sides.

    Args:
        source: The fixing, whose loads follow from what its load models were told.

    Returns:
        By edge, as ``x_plus``; what several things call otherwise is left out.
    """
    named = [_sides(source, told) for told in source.fixing.loads_from if told.load_model in MODELS]
    names = {name for sides in named for name in sides}
    said = {name: {sides[name] for sides in named if name in sides} for name in names}
    return {name: source.words.say(words.pop()) for name, words in said.items() if len(words) == 1}


def _sides(source: Source, told: LoadsFrom) -> dict[str, str]:
    surface = surface_of(told.load_model, inputs_of(told), source.rulebook)
    return {} if surface is None else dict(SIDES.get(surface, {}))


def inputs_of(told: LoadsFrom) -> dict[str, float | str | None]:
    """Gather what a load model was told, without what it took.

    Args:
        told: One of `loads_from`.

    Returns:
        The values by input.
    """
    return {one.input: one.number if one.word is None else one.word for one in told.told if not one.taken}
