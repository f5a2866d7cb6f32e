"""Every fastener a family offers in every layout, and what the request's limits say before any verification."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Literal

from service.contract import wanted
from service.contract.sizing_codes import CauseCode, Removability, Setting
from service.contract.verification_codes import AskedCode, Mechanism, RequirementCode
from service.sizing.layouts import Layout, Rectangle
from service.sizing.selection import AVAILABILITY_RANKS, SelectionFigures
from service.verification.requirements import Requirement
from service.verification.tolerance import reaches_mm
from service.words import Audience, Quantity, Statement, Value, catalogue

CAST_IN = "headed_fastener"

CauseKind = Literal["requirement", "mode", "limit", "scope", "approval"]


@dataclass(frozen=True, slots=True)
class Cause:
    """What stops a family or a candidate; where the request leaves open what it is held against, the place of that."""

    statement: Statement
    kind: CauseKind
    left_open: str | None = None
    also: tuple["Cause", ...] = ()

    @property
    def code(self) -> str:
        """Its code as it is written."""
        return self.statement.word

    @property
    def figure(self) -> float | str | None:
        """What the family has or the request gives; None where it is no single figure."""
        return self._asked.given if self._asked else None

    @property
    def limit(self) -> float | str | None:
        """What is allowed; None where it is no single figure."""
        return self._asked.limit if self._asked else None

    @property
    def unit(self) -> str | None:
        """Unit of both; None where they have none."""
        says = self.statement.code.says
        names = {self._asked.code.says.given, self._asked.code.says.limit} if self._asked else {None}
        return next((f.unit for f in says.figures if isinstance(f, Quantity) and f.name in names), None)

    @property
    def sentence(self) -> str:
        """The sentence for engineers."""
        english = catalogue(Audience.ENGINEER)
        cause = english.sentence(self.statement)
        if self.left_open is None:
            return cause
        return english.say("{cause}; the request leaves this open, so the less favourable was taken", cause=cause)

    @property
    def _asked(self) -> Requirement | None:
        code = self.statement.code
        return Requirement(code, False, self.statement.figures) if isinstance(code, AskedCode) else None


@dataclass(frozen=True)
class Fastener:
    """One size of a family at one embedment, with the figures that sizing needs."""

    family: Mapping[str, Any]
    size: str
    embedment_name: str
    row: Mapping[str, Any]
    embedment_mm: float
    diameter_mm: float
    hole_diameter_mm: float | None
    hole_depth_mm: float | None
    clearance_hole_mm: float | None
    torque_nm: float | None
    impact_driver_torque_max_nm: float | None

    @property
    def family_id(self) -> str:
        """Id of its family."""
        return str(self.family["id"])

    @property
    def title(self) -> str:
        """Title of its family."""
        return str(self.family["title"])

    @property
    def removable(self) -> bool:
        """Whether it can be taken out again."""
        return bool(self.family["removable"])

    @cached_property
    def drilled_volume_mm3(self) -> float:
        """Volume of one drilled hole (mm³); nothing is drilled for a cast-in fastener."""
        if self.hole_diameter_mm is None or self.hole_depth_mm is None:
            return 0.0
        return math.pi / 4 * self.hole_diameter_mm**2 * self.hole_depth_mm

    @cached_property
    def concrete_volume_mm3(self) -> float:
        """What one takes out of the concrete (mm³): its hole, or for a cast-in one the place of its shank."""
        if self.hole_depth_mm is None:
            return math.pi / 4 * self.diameter_mm**2 * self.embedment_mm
        return self.drilled_volume_mm3

    @property
    def row_key(self) -> tuple[str, str, str]:
        """What names the row in the rulebook: family, size, embedment."""
        return (self.family["id"], self.size, self.embedment_name)


@dataclass(frozen=True, slots=True)
class Candidate:
    """A fastener in a layout."""

    fastener: Fastener
    layout: Layout

    @property
    def fastener_count(self) -> int:
        """How many fasteners it has."""
        return len(self.layout)

    @property
    def hole_count(self) -> int:
        """How many holes are drilled for it."""
        return 0 if self.fastener.hole_depth_mm is None else len(self.layout)

    @property
    def drilled_volume_mm3(self) -> float:
        """Volume of all its holes (mm³)."""
        return len(self.layout) * self.fastener.drilled_volume_mm3

    def figures(self, utilisation: float = 0.0) -> SelectionFigures:
        """Give what the candidate is compared by.

        Args:
            utilisation: Its utilisation, once verified.

        Returns:
            The figures for the selection order.
        """
        count = len(self.layout)
        volume_mm3 = count * self.fastener.concrete_volume_mm3
        family = self.fastener.family
        available = AVAILABILITY_RANKS[family["availability"]]
        return SelectionFigures(count, volume_mm3, family["preference_rank"], available, utilisation)


def fasteners(family: Mapping[str, Any]) -> Iterator[Fastener]:
    """List what a family offers.

    The lengths are not told apart: no check depends on them, and verification takes the shortest that clamps.

    Args:
        family: The family as in the rulebook.

    Yields:
        Each size at each of its embedments.
    """
    for size, data in family["sizes"].items():
        for name, row in data["embedments"].items():
            yield Fastener(
                family=family,
                size=size,
                embedment_name=name,
                row=row,
                embedment_mm=row["depth"]["effective_mm"],
                diameter_mm=data["geometry"]["diameter_mm"],
                hole_diameter_mm=data["geometry"]["hole_diameter_mm"],
                hole_depth_mm=row["depth"]["hole_mm"],
                clearance_hole_mm=data["geometry"]["clearance_hole_mm"],
                torque_nm=data["setting"]["installation_torque_nm"],
                impact_driver_torque_max_nm=data["setting"]["impact_driver_torque_max_nm"],
            )


def family_obstacles(family: Mapping[str, Any], limits: wanted.Limits) -> tuple[Cause, ...]:
    """Say which of the request's limits leave a whole family out.

    Args:
        family: The family as in the rulebook.
        limits: The limits of the sizing request.

    Returns:
        The limits that stop it.
    """
    mechanisms, families, removable, setting = limits.mechanisms, limits.families, limits.removable, limits.setting
    found = []
    if mechanisms is not None and family["mechanism"] not in mechanisms:
        asked = tuple(Mechanism(name) for name in mechanisms)
        found.append(_limit(CauseCode.MECHANISMS, mechanism=Mechanism(family["mechanism"]), mechanisms=asked))
    if families is not None and family["id"] not in families:
        found.append(_limit(CauseCode.FAMILIES, family=family["id"], families=families))
    if removable is not None and family["removable"] is not removable:
        given, other = (removability(value) for value in (family["removable"], removable))
        found.append(_limit(CauseCode.REMOVABLE, removable=given, removable_asked=other))
    if setting is not None and family["setting"] != setting:
        found.append(_limit(CauseCode.SETTING, setting=Setting(family["setting"]), setting_asked=Setting(setting)))
    if family["mechanism"] == CAST_IN and mechanisms is None and families is None:
        found.append(_limit(CauseCode.CAST_IN_NOT_ASKED_FOR, mechanism=Mechanism.HEADED_FASTENER))
    return tuple(found)


def _limit(code: CauseCode, **figures: Value) -> Cause:
    return Cause(Statement(code, figures), "limit")


def candidate_obstacles(
    candidate: Candidate,
    limits: wanted.Limits,
    plate: Rectangle,
    hole_edge_factor: float,
    fixture_hole_mm: float | None = None,
) -> tuple[Cause, ...]:
    """Say why a candidate need not be verified.

    Args:
        candidate: A fastener in a layout.
        limits: The limits of the sizing request.
        plate: The outline of the fixture.
        hole_edge_factor: Least distance from a plate edge to the centre of a clearance hole, over its diameter.
        fixture_hole_mm: Diameter of the holes that the fixture has (mm), None where that is not known.

    Returns:
        What stops it.
    """
    fastener = candidate.fastener
    found = (
        _over(CauseCode.HOLE_DIAMETER, fastener.hole_diameter_mm, limits.hole_diameter_mm),
        _over(CauseCode.HOLE_DEPTH, fastener.hole_depth_mm, limits.hole_depth_mm),
        _too_near_plate_edge(fastener, plate.clearance_mm(candidate.layout), hole_edge_factor, fixture_hole_mm),
    )
    return tuple(cause for cause in found if cause is not None)


def _over(code: CauseCode, figure: float | None, limit: float | None) -> Cause | None:
    if figure is None or limit is None or figure <= limit:
        return None
    return _limit(code, **{str(code.says.given): figure, str(code.says.limit): limit})


def _too_near_plate_edge(
    fastener: Fastener, clearance_mm: float, factor: float, fixture_hole_mm: float | None
) -> Cause | None:
    drilled_mm = fastener.clearance_hole_mm
    if drilled_mm is not None and fixture_hole_mm is not None:
        drilled_mm = fixture_hole_mm
    required_mm = factor * (drilled_mm or 0.0)
    if reaches_mm(clearance_mm, required_mm) and clearance_mm > 0:
        return None
    figures = {"hole_edge_mm": clearance_mm, "hole_edge_min_mm": required_mm}
    return Cause(Statement(RequirementCode.HOLE_EDGE_DISTANCE, figures), "requirement")


def removability(value: bool) -> Removability:
    """The word for whether a fastener can be taken out again."""
    return Removability.REMOVABLE if value else Removability.NOT_REMOVABLE
