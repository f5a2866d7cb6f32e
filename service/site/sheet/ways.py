"""Which way up a fixing stands, and which side of it is outwards, as the thing that its loads came from knows."""

from __future__ import annotations

from service.contract.verification_codes import Consequence
from service.contract.wanted import LoadsFrom
from service.site.load_models import MODELS, surface_of
from service.site.load_models.following import inputs_of
from service.site.load_models.surfaces import BASE_ON_SLAB, SIDES, SOFFIT, TOP_OF_SLAB, UPRIGHT_ON_SLAB, VERTICAL_FACE
from service.site.sheet.source import Source
from service.verification.assumptions import consequence_of_told

OVER_OTHERS = (VERTICAL_FACE.name, SOFFIT.name)
"""Surfaces that people can be beneath."""
FLOORS = (TOP_OF_SLAB, BASE_ON_SLAB, UPRIGHT_ON_SLAB)
"""Surfaces with nobody beneath; beside a post on a slab there is an edge."""


def ways(source: Source) -> dict[str, str]:
    """Say what a crew calls the sides.

    Args:
        source: The fixing, whose loads follow from what its load models were told.

    Returns:
        By edge, as ``x_plus``; what several things call otherwise is left out.
    """
    named = [_sides(source, told) for told in known(source)]
    names = {name for sides in named for name in sides}
    said = {name: {sides[name] for sides in named if name in sides} for name in names}
    return {name: source.words.say(words.pop()) for name, words in said.items() if len(words) == 1}


def _sides(source: Source, told: LoadsFrom) -> dict[str, str]:
    surface = surface_of(told.load_model, inputs_of(told), source.rulebook)
    return {} if surface is None else dict(SIDES.get(surface, {}))


def people_beneath(source: Source) -> bool:
    """Say whether people can be beneath what is fixed while it is worked on.

    Args:
        source: The fixing.

    Returns:
        True on a wall and under a slab; on a floor nobody is, whatever may fall on whom later. At an edge, and where
        nobody told what it is fixed to, it follows from what comes of it for people.
    """
    found = [surface_of(one.load_model, inputs_of(one), source.rulebook) for one in known(source)]
    if any(surface is not None and surface.name in OVER_OTHERS for surface in found):
        return True
    if found and all(surface in FLOORS for surface in found):
        return False
    return _comes_of(source, Consequence.PEOPLE_BELOW)


def guards_an_edge(source: Source) -> bool:
    """Say whether what is fixed keeps people from falling, so that nothing does while it is worked on.

    Args:
        source: The fixing.

    Returns:
        As the request or a thing that its loads came from says.
    """
    return _comes_of(source, Consequence.FALL_PROTECTION)


def _comes_of(source: Source, consequence: Consequence) -> bool:
    told = consequence in (source.fixing.use.consequence or ())
    return told or any(consequence in consequence_of_told(one) for one in source.fixing.loads_from)


def known(source: Source) -> tuple[LoadsFrom, ...]:
    """Gather the things that its loads came from which a load model knows.

    Args:
        source: The fixing.

    Returns:
        What each was told.
    """
    return tuple(told for told in source.fixing.loads_from if told.load_model in MODELS)
