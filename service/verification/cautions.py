"""What an engineer would say aloud about a fixing beyond its checks and requirements."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from service.verification.assumptions import Use
from service.verification.pulls.reach import concrete_words
from service.verification.pulls.resistance import SiteTest
from service.verification.selection import Selection
from service.verification.site_reduction import SiteReduction, floor_words, names_torque

TIGHTENED_AGAINST_CONCRETE = ("torque_controlled_expansion", "undercut")
TORQUE_READ = ("torque_control", "calibrated_wrench")
"""Site condition and value that say that a torque was read."""
OTHER_COMPONENTS = ("shear_x_kn", "shear_y_kn", "moment_x_knm", "moment_y_knm", "torsion_knm")


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution with its stable code."""

    code: str
    text: str


def cautions_of(request: Mapping[str, Any], selection: Selection, site: SiteReduction, use: Use) -> Iterator[Caution]:
    """Cautions that follow from the request.

    Args:
        request: A verification request.
        selection: What it chose.
        site: The site reduction.
        use: Use of the fixing as taken.

    Yields:
        The cautions, in a fixed order.
    """
    if any(_relieved(case) for case in request["load_cases"]):
        yield Caution(
            "relieving_normal_force",
            "A characteristic load case presses and pushes at once: one factor multiplies all its components, so the "
            "pressure grows with the rest. Where the pressure is permanent, give design load cases with its favourable "
            "factor instead.",
        )
    if site.floor_applied:
        yield Caution("site_reduction_floor", floor_words(site))
    yield from _torque_not_asked(selection, site)
    if len(request["positions"]) == 1 and use.structural and not use.redundant:
        yield Caution("single_fastener", "One fastener carries the whole fixing: nothing takes over when it fails.")
    fixture = request["fixture"]
    expands = selection.family["mechanism"] in TIGHTENED_AGAINST_CONCRETE
    if expands and (fixture.get("stand_off_mm") or 0.0) > 0.0 and not fixture.get("washer_clamped"):
        yield Caution(
            "torque_without_clamped_washer",
            "With a stand-off an expansion anchor reaches its torque only against a nut and washer on the concrete; "
            "plan them and the length for them.",
        )


def cautions_of_site_test(test: SiteTest) -> Iterator[Caution]:
    """Cautions that go with a resistance from pulls on site.

    Args:
        test: The tests.

    Yields:
        The cautions, in a fixed order.
    """
    reach = test.reach
    yield Caution(
        "site_test_reach",
        f"The resistance comes from {test.number} pulls to failure on {reach.tested_on.isoformat()}, not from an "
        f"assessment. It holds for {reach.family} {reach.size} with {reach.embedment_mm:g} mm embedment in "
        f"{reach.base_material}, until {reach.valid_until.isoformat()}, at the distances that the requirements say, "
        f"set as the pulled ones were. {concrete_words(reach)} Pulls of minutes show nothing of years, fire or "
        "shaking, and pulls on a cool day nothing of warmth. A licensed or chartered engineer has to agree to its use.",
    )
    yield Caution(
        "site_test_forces",
        "The forces of the fasteners were found under a stiff fixture on concrete. A softer base material brings the "
        "pressure nearer to the fasteners, and more tension from a moment: see the utilisation under half the contact "
        "stiffness, and have the pressure on the base material checked.",
    )


def _torque_not_asked(selection: Selection, site: SiteReduction) -> Iterator[Caution]:
    """A torque was read where the assessment names none to read."""
    setting = selection.size["setting"]
    read = any((part.condition, part.value) == TORQUE_READ and part.rule is not None for part in site.parts)
    if not read or names_torque(selection.size):
        return
    most = setting["impact_driver_torque_max_nm"]
    driver = "no impact driver" if most is None else "to use an impact driver, say so and verify it again"
    yield Caution(
        "torque_not_asked",
        f"The assessment names no torque for {selection.family_id} {selection.size_name}: a wrench shows nothing. Set "
        f"it by hand until the head lies on the fixture; {driver}.",
    )


def _relieved(case: Mapping[str, Any]) -> bool:
    opposed = (case.get("normal_kn") or 0.0) < 0.0 and any(case.get(name) for name in OTHER_COMPONENTS)
    return opposed and case.get("kind") == "characteristic"
