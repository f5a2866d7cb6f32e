"""Figures that several requests ask, each kind with its unit and range: what one of them takes, the others take too."""

from typing import Any

from service.contract.fields import Number
from service.contract.terms import FARTHEST_MM, LARGEST_KN


def coordinate(description: str, **rest: Any) -> Number:
    """A distance from the origin, or along an axis, either way."""
    return Number(description, "mm", minimum=-FARTHEST_MM, maximum=FARTHEST_MM, **rest)


def extent(description: str, **rest: Any) -> Number:
    """A distance that is there, as a tape shows it."""
    return Number(description, "mm", minimum=1, maximum=FARTHEST_MM, **rest)


def force(description: str, **rest: Any) -> Number:
    """A force on a fixture, either way."""
    return Number(description, "kN", minimum=-LARGEST_KN, maximum=LARGEST_KN, **rest)


def moment(description: str, **rest: Any) -> Number:
    """A moment on a fixture, either way round."""
    return Number(description, "kNm", minimum=-LARGEST_KN, maximum=LARGEST_KN, **rest)


def share(description: str, **rest: Any) -> Number:
    """A part of a whole, or a factor that takes part of it."""
    return Number(description, "1", minimum=0, maximum=1, **rest)


def embedment(description: str, **rest: Any) -> Number:
    """An effective embedment depth h_ef."""
    return Number(description, "mm", minimum=10, maximum=2000, **rest)


def fastener_length(description: str, **rest: Any) -> Number:
    """The length of a fastener."""
    return Number(description, "mm", minimum=10, maximum=5000, **rest)


def bar_spacing(description: str, **rest: Any) -> Number:
    """How far bars or stirrups stand apart."""
    return Number(description, "mm", minimum=10, maximum=2000, **rest)


def bar_diameter(description: str, **rest: Any) -> Number:
    """The diameter of bars."""
    return Number(description, "mm", minimum=4, maximum=63, **rest)


def cylinder_strength(description: str, **rest: Any) -> Number:
    """A cylinder strength of concrete."""
    return Number(description, "MPa", minimum=5, maximum=150, **rest)


def member_thickness(description: str, **rest: Any) -> Number:
    """The thickness of a concrete member."""
    return Number(description, "mm", minimum=60, maximum=10_000, **rest)


def fixture_thickness(description: str, **rest: Any) -> Number:
    """The thickness of a fixture."""
    return Number(description, "mm", minimum=0.5, maximum=200, **rest)


def fixture_hole(description: str, **rest: Any) -> Number:
    """The diameter of a hole in a fixture."""
    return Number(description, "mm", minimum=3, maximum=200, **rest)


def washer_thickness(description: str, **rest: Any) -> Number:
    """The thickness of a washer."""
    return Number(description, "mm", minimum=0.5, maximum=50, **rest)


def gap(description: str, **rest: Any) -> Number:
    """What is between concrete and fixture: a free height, or a levelling layer."""
    return Number(description, "mm", minimum=0, maximum=500, **rest)


def grout_strength(description: str, **rest: Any) -> Number:
    """Compressive strength of grout."""
    return Number(description, "MPa", minimum=1, maximum=200, **rest)


def concrete_temperature(description: str, **rest: Any) -> Number:
    """A temperature of the concrete while it is worked on."""
    return Number(description, "°C", minimum=-40, maximum=60, **rest)


def bridge_foot(description: str, **rest: Any) -> Number:
    """How far the feet of a puller's bridge stand from the fastener."""
    return Number(description, "mm", minimum=0, maximum=10_000, **rest)
