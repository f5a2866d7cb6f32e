"""What a fixing holds, in the crew's terms: the first that a sheet says, so that it is not used for more."""

from __future__ import annotations

import math
from collections.abc import Iterator

from service.contract.sheet_codes import SheetLineCode
from service.site.sheet.content import Figure, Line, derived
from service.site.sheet.work import Work


def holds(work: Work) -> Iterator[Line]:
    """Say what the fixing holds.

    Args:
        work: The work of the fixing.

    Yields:
        The lines: by design values, what the most loaded fastener carries.
    """
    pulls, shears = tuple(_pulls(work)), tuple(_shears(work))
    if not pulls or not shears:
        return
    pull, shear = (max(found, key=lambda figure: figure.number) for found in (pulls, shears))
    yield work.words.tell(
        "No more than {pull} of pull and {shear} of shear on any one fastener, by design values; if anything else is "
        "to hang on it or push it, stop and ask",
        pull=pull,
        shear=shear,
        code=SheetLineCode.CARRIES,
    )


def _pulls(work: Work) -> Iterator[Figure]:
    for place in _forces(work):
        yield work.source.given("fastener_tension_kn", "kN", f"{place}/tension_kn")


def _shears(work: Work) -> Iterator[Figure]:
    """To the nearest hundredth, as the parts are given."""
    for place in _forces(work):
        along_x, along_y = (work.source.given(name, "kN", f"{place}/{name}") for name in ("shear_x_kn", "shear_y_kn"))
        value = math.ceil(100 * math.hypot(along_x.number, along_y.number)) / 100
        yield derived("fastener_shear_kn", "kN", value, "ceil(100 * hypot({}, {})) / 100", along_x, along_y)


def _forces(work: Work) -> Iterator[str]:
    """Places of the forces of each fastener in each load case."""
    for case, found in enumerate(work.source.answer["fastener_forces"]):
        for index in range(len(found["fasteners"])):
            yield f"#/answer/fastener_forces/{case}/fasteners/{index}"
