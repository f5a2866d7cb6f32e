"""What an engineer would say aloud about a fixing beyond its checks and requirements."""

from __future__ import annotations

from collections.abc import Iterator

from service.contract import wanted
from service.contract.fields import UNKNOWN
from service.contract.things import cautions_of as cautions_of_thing
from service.contract.verification_codes import BaseMaterial, CautionCode
from service.verification.assumptions import Use
from service.verification.fixture_holes import is_wide, widest_mm
from service.verification.requirements import BY_FEEL, TIGHTENED_AGAINST_CONCRETE
from service.verification.selection import Selection
from service.verification.site_reduction import SiteReduction, names_torque
from service.words import Statement

TORQUE_READ = ("torque_control", "calibrated_wrench")
"""Site condition and value that say that a torque was read."""


def cautions_of(
    request: wanted.Verification, selection: Selection, site: SiteReduction, use: Use
) -> Iterator[Statement]:
    """Cautions that follow from the request.

    Args:
        request: A verification request.
        selection: What it chose.
        site: The site reduction.
        use: Use of the fixing as taken.

    Yields:
        The cautions, in a fixed order.
    """
    by_wrench = request.site.value("torque_control") not in {BY_FEEL, UNKNOWN}
    if selection.mechanism in TIGHTENED_AGAINST_CONCRETE and not by_wrench:
        torque = {"installation_torque_nm": selection.size["setting"]["installation_torque_nm"]}
        yield Statement(CautionCode.TORQUE_READ_ALL_THE_SAME, torque)
    if BaseMaterial.HOLLOW_CORE_SLAB in _materials(request):
        yield Statement(CautionCode.HOLLOW_CORE_STRANDS)
    if any(_relieved(case) for case in request.load_cases):
        yield Statement(CautionCode.RELIEVING_NORMAL_FORCE)
    yield from _torque_not_asked(selection, site)
    if len(request.positions) == 1 and (use.structural or use.consequence) and not use.redundant:
        yield Statement(CautionCode.SINGLE_FASTENER)
    for source in request.loads_from:
        yield from map(Statement, cautions_of_thing(source.load_model, source.cautions))
    fixture = request.standing_fixture
    if is_wide(fixture, selection) and fixture.clearance != "filled":
        figures = {"fixture_hole_mm": fixture.hole_diameter_mm, "fixture_hole_max_mm": widest_mm(selection)}
        yield Statement(CautionCode.FIXTURE_HOLES_WIDE, figures)


def _materials(request: wanted.Verification) -> tuple[str | None, ...]:
    """What the fixing is set into, as the request says it and as the pulls that it brings do."""
    tested = None if request.site_test is None else request.site_test.tests.base_material_kind
    return request.member.material, tested


def _torque_not_asked(selection: Selection, site: SiteReduction) -> Iterator[Statement]:
    """A torque was read where the assessment names none to read."""
    setting = selection.size["setting"]
    read = any((part.condition, part.value) == TORQUE_READ and part.rule is not None for part in site.parts)
    if not read or names_torque(selection.size):
        return
    most = setting["impact_driver_torque_max_nm"]
    figures = {"family": selection.family_id, "size": selection.size_name, "impact_driver_torque_max_nm": most}
    yield Statement(CautionCode.TORQUE_NOT_ASKED, figures)


def _relieved(case: wanted.LoadCase) -> bool:
    return not case.factored and case.normal_kn < 0.0 and (case.shears or case.turns)
