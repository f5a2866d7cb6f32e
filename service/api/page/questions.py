"""Questions of the page that no path of the API lists: the sides of the concrete, and figures with unit and range."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from marshmallow import Schema, fields

from service.contract.fixing import LoadCase
from service.contract.sheets import InstallationSheetRequest
from service.contract.sizing import SizingRequest

CONCRETE_SIDES = ("far", "near", "left", "right")
"""Sides as one is asked for them, far being ahead or above; the surface says which edge of a request each is."""

_SIZED = (
    "#/member/strength_most_mpa", "#/member/thickness_mm", "#/member/topping/thickness_mm",
    "#/fixture/hole_diameter_mm", "#/fixture/width_mm", "#/fixture/depth_mm", "#/fixture/thickness_mm",
    "#/fixture/yield_mpa", "#/fixture/attached_section/width_mm", "#/fixture/attached_section/depth_mm",
    "#/fixture/grout/thickness_mm", "#/fixture/grout/strength_mpa", "#/pattern/x/spacings_mm",
    "#/pattern/y/spacings_mm", "#/use/redundancy/points", "#/neighbours/0/embedment_mm",
    "#/neighbours/0/hole_diameter_mm", "#/neighbours/0/hole_depth_mm",
    *(f"#/load_cases/0/{name}" for name, field in LoadCase().fields.items() if "x-unit" in field.metadata),
)  # fmt: skip
_OF_THE_SHEET = ("#/counts/0", "#/concrete_temperature_c")


def _field(schema: Schema, pointer: str) -> fields.Field[Any]:
    """Find the field of a request that a pointer leads to; a list is read as its entry."""
    found: Any = schema
    for step in pointer.removeprefix("#/").split("/"):
        if not step.isdigit():
            found = found.fields[step]
        while isinstance(found, fields.List | fields.Nested):
            found = found.inner if isinstance(found, fields.List) else found.schema
    field: fields.Field[Any] = found
    return field


def _range(schema: Schema, pointer: str) -> Mapping[str, str]:
    """Read unit and range of a figure where the contract has them."""
    field = _field(schema, pointer)
    known = {name: field.metadata.get(name) for name in ("minimum", "maximum")}
    bounds = {name: f"{bound:.10g}" for name, bound in known.items() if bound is not None}
    whole = {"whole": "yes"} if field.metadata.get("type") == "integer" else {}
    return MappingProxyType({"unit": str(field.metadata["x-unit"])} | bounds | whole)


def _ranges() -> Mapping[str, Mapping[str, str]]:
    sizing, sheet = SizingRequest(), InstallationSheetRequest()
    # An edge on the other side of the middle is no edge that somebody measures: distances begin at 0.
    distance = {**_range(sizing, "#/member/edges/x_plus_mm"), "minimum": "0"}
    place = {**_range(sizing, "#/neighbours/0/x_mm"), "minimum": "0"}
    return MappingProxyType(
        {pointer: _range(sizing, pointer) for pointer in _SIZED}
        | {pointer: _range(sheet, pointer) for pointer in _OF_THE_SHEET}
        | {"distance": distance, "place": place}
    )


RANGES = _ranges()
"""Units and ranges of figures by the pointer of their field, as the contract has them."""
