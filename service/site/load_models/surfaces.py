"""The three surfaces that things are fixed to, with axes that a person at the wall can point to on the thing itself."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType

from service.site.load_models.model import Surface

TOP_OF_SLAB = Surface(
    name="top_of_slab",
    title="Top of a slab or plinth",
    x="level; outwards over the edge where there is one, else as drawn",
    y="level, square to x; seen from above it points to the left of x",
    z="up, out of the concrete",
    stand="Stand on the concrete and look any one way: keep it for all questions.",
    looking="looking that way",
)
VERTICAL_FACE = Surface(
    name="vertical_face",
    title="Face of a wall, or front face of a slab",
    x="level, along the face; to the right of someone who looks at it",
    y="up",
    z="level, out of the concrete towards that person",
    stand="Stand in front of the wall and look at it.",
    looking="looking at the wall",
)
SOFFIT = Surface(
    name="soffit",
    title="Underside of a slab or beam",
    x="level; along the pipe or as drawn",
    y="level, square to x; seen from below it points to the left of x",
    z="down, out of the concrete",
    stand="Stand under the fixing and look any one way: keep it for all questions.",
    looking="looking that way",
)
BASE_ON_SLAB = replace(
    TOP_OF_SLAB,
    x="level, along the base as it is drawn",
    y="level, across the base; seen from above it points to the left of x",
    stand="Stand at one end of the base and look along it: keep this place for all questions.",
    looking="looking along the base",
)
POST_ON_SLAB = replace(
    TOP_OF_SLAB,
    x="level, outwards over the edge, square to the rail",
    y="level, along the rail; seen from above it points to the left of x",
    stand="Stand on the concrete and look outwards over the edge, the way people may push the rail.",
    looking="looking outwards",
)
POST_ON_FACE = replace(
    VERTICAL_FACE, stand="Stand in front of the face of the concrete and look at it.", looking="looking at the face"
)
UNDER_THE_HANGER = replace(
    SOFFIT,
    stand="Stand under the fixing and look along the pipe, or any one way: keep it for all questions.",
    looking="looking along the pipe",
)
UNDER_THE_PIPE = replace(
    SOFFIT, stand="Stand under the fixing and look along the pipe.", looking="looking along the pipe"
)
UPRIGHT_ON_SLAB = replace(
    TOP_OF_SLAB,
    x="level, across the rack, to the other upright of the frame",
    y="level, along the aisle; seen from above it points to the left of x",
    stand="Stand on the concrete and look across the rack, towards the other upright of the frame.",
    looking="looking across the rack",
)
_ON_A_WALL = {"y_plus": "up", "y_minus": "down"}
_OUTWARDS = {"x_plus": "outwards over the edge", "x_minus": "away from the edge"}
SIDES: Mapping[Surface, Mapping[str, str]] = MappingProxyType({
    VERTICAL_FACE: _ON_A_WALL,
    POST_ON_FACE: _ON_A_WALL,
    POST_ON_SLAB: _OUTWARDS,
    UPRIGHT_ON_SLAB: {"x_plus": "towards the other upright", "x_minus": "away from the other upright"},
    UNDER_THE_PIPE: {"x_plus": "along the pipe, ahead", "x_minus": "along the pipe, behind"},
    BASE_ON_SLAB: {"x_plus": "along the base, ahead", "x_minus": "along the base, behind"},
})
"""What a crew calls the sides of a fixing whose load acts one way only, or not alike all round."""
