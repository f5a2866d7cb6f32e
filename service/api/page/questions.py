"""Questions of the page that no path of the API lists: the sides of the concrete, and forces that are known."""

from dataclasses import dataclass

from service.api.fields import Strict
from service.api.requests import LoadCase

CONCRETE_SIDES = ("top", "bottom", "left", "right")
"""Sides as they lie in the drawing; which edge of a request each of them is follows from the surface."""

_FORCES = {
    "normal_kn": "Pull out of the concrete",
    "shear_x_kn": "Force along the surface, in the direction of x",
    "shear_y_kn": "Force along the surface, in the direction of y",
    "moment_x_knm": "Bending about x",
    "moment_y_knm": "Bending about y",
    "torsion_knm": "Twisting about z",
    "permanent_share": "Permanent share",
    "sustained_share": "Share of the pull that stays for long",
}


@dataclass(frozen=True)
class Question:
    """One figure that is asked for."""

    name: str
    label: str
    meaning: str
    unit: str


def _questions() -> tuple[Question, ...]:
    """Ask for the members of a load case in the words of the contract."""
    fields: dict[str, Strict] = {
        name: field for name, field in LoadCase().fields.items() if isinstance(field, Strict) and name in _FORCES
    }
    return tuple(
        Question(
            name=name,
            label=label,
            meaning=str(fields[name].metadata["description"]),
            unit=str(fields[name].metadata.get("x-unit", "1")),
        )
        for name, label in _FORCES.items()
    )


FORCES = _questions()
