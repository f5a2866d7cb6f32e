"""The three surfaces that things are fixed to, with axes that a person at the wall can point to on the thing itself."""

from __future__ import annotations

from dataclasses import replace

from service.site.load_models.model import Surface

TOP_OF_SLAB = Surface(
    name="top_of_slab",
    title="Top of a slab or plinth",
    x="level; outwards over the edge where there is one, else as drawn",
    y="level, square to x; seen from above it points to the left of x",
    z="up, out of the concrete",
)
VERTICAL_FACE = Surface(
    name="vertical_face",
    title="Face of a wall, or front face of a slab",
    x="level, along the face; to the right of someone who looks at it",
    y="up",
    z="level, out of the concrete towards that person",
)
SOFFIT = Surface(
    name="soffit",
    title="Underside of a slab or beam",
    x="level; along the pipe or as drawn",
    y="level, square to x; seen from below it points to the left of x",
    z="down, out of the concrete",
)
BASE_ON_SLAB = replace(
    TOP_OF_SLAB,
    x="level, along the base as it is drawn",
    y="level, across the base; seen from above it points to the left of x",
)
POST_ON_SLAB = replace(
    TOP_OF_SLAB,
    x="level, outwards over the edge, square to the rail",
    y="level, along the rail; seen from above it points to the left of x",
)
UPRIGHT_ON_SLAB = replace(
    TOP_OF_SLAB,
    x="level, across the rack, to the other upright of the frame",
    y="level, along the aisle; seen from above it points to the left of x",
)
