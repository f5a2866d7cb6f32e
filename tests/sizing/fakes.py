"""A small rulebook and a verification of a few lines, so that the search is tested apart from the mechanics."""

from collections.abc import Callable, Mapping
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any

from service.contract import wanted
from service.contract.coherence import without_nulls
from service.contract.verification_codes import requirement_code
from service.rulebook import Rulebook
from service.sizing.bounds import Bound
from service.sizing.candidates import Candidate
from service.sizing.search import Judge, verification_request
from service.verification import Assessment
from service.verification.requirements import Requirement

ORDER = ("fastener_count", "drilled_volume", "preference_rank", "utilisation")

Used = Callable[[Mapping[str, Any]], float | None]


def embedment(effective_mm: float, hole_depth_mm: float | None) -> dict[str, Any]:
    return {
        "depth": {"effective_mm": effective_mm, "hole_mm": hole_depth_mm},
        "limits": {"edge_min_mm": 50, "spacing_min_mm": 60},
        "simplified": None,
        "lengths": [{"length_mm": 100, "fixture_thickness_max_mm": 20, "article_code": "DEMO-0001"}],
    }


def size(hole_mm: float | None, clearance_mm: float | None, *rows: dict[str, Any]) -> dict[str, Any]:
    return {
        "geometry": {"diameter_mm": hole_mm or 16, "hole_diameter_mm": hole_mm, "clearance_hole_mm": clearance_mm},
        "setting": {"installation_torque_nm": 50, "impact_driver_torque_max_nm": None},
        "embedments": {f"{row['depth']['effective_mm']:g}": row for row in rows},
    }


def family(name: str, **changes: Any) -> dict[str, Any]:
    sizes = {"M8": size(8, 9, embedment(45, 60)), "M12": size(12, 14, embedment(50, 70), embedment(70, 90))}
    return {
        "id": name,
        "title": f"Fastener {name}",
        "mechanism": "concrete_screw",
        "removable": True,
        "setting": "through_fixture",
        "preference_rank": 1,
        "availability": "stock",
        "sizes": sizes,
    } | changes


def rulebook(*families: Mapping[str, Any], order: tuple[str, ...] = ORDER) -> Rulebook:
    return Rulebook(
        path=Path("rules"),
        version="2026.1.0",
        status="demonstration",
        digest="sha256:00",
        commit=None,
        state="working",
        document={
            "effective_from": "2026-01-01",
            "effective_until": None,
            "selection_order": order,
            "fixture": {"hole_edge_distance_factor": 1.2},
            "design_basis": {"standards": (), "national_choices": ()},
            "cautions": ({"code": "demonstration_data", "text": "Demonstration."},),
        },
        families={each["id"]: each for each in families},
        factors={
            "exposures": {"exposures": {"external": {}}},
            "temperature-ranges": {"ranges": {}},
            "site-conditions": {"conditions": {}},
        },
        reference=(),
    )


def request(**changes: Any) -> dict[str, Any]:
    return {
        "assessed_on": "2026-11-25",
        "member": {"thickness_mm": 200, "edges": {"x_plus_mm": 300}},
        "fixture": {"width_mm": 220, "depth_mm": 220},
        "pattern": {"x": {"counts": [1, 2], "spacings_mm": [100, 150]}, "y": {"counts": [1]}},
        "load_cases": [{"name": "pull", "normal_kn": 5}],
    } | changes


def answer(candidate: Mapping[str, Any], used: float | None, **changes: Any) -> dict[str, Any]:
    governing = {"mode": "concrete_cone", "load_case": "pull", "edge": None, "utilisation": used}
    return {
        "verdict": "verified" if used is None or used <= 1 else "not_verified",
        "governing": None if used is None else governing,
        "requirements": [],
        "scope_limits": [],
        "fastener": candidate["fastener"] | {"title": "a title", "length_mm": 100, "article_code": "DEMO-0001"},
        "site_reduction": {"factor": 0.9, "floor": 0.4, "below_floor": False, "parts": []},
        "assumptions": [
            {"code": "sustained_share", "text": "All of it is sustained.", "pointer": None},
            {"code": "length_chosen", "text": "100 mm is the shortest that clamps", "pointer": "#/fastener/length_mm"},
        ],
        "cautions": [{"code": "demonstration_data", "text": "Demonstration."}],
        "basis": {"open_readings": [{"code": "pry_out", "clause": "7.2.2.4", "text": "The worse."}], "note": "a note"},
        "rulebook": {"version": "2026.1.0"},
        "assessed_on": candidate["assessed_on"],
    } | changes


Answer = Callable[[Mapping[str, Any]], Mapping[str, Any]]


class Verification:
    """Judges by a rule of the test, and keeps what was assessed and under which request."""

    def __init__(self, answering: Answer, bound: Callable[[Candidate], Bound] | None = None) -> None:
        self.answering = answering
        self.bound = bound or no_bound
        self.closer: tuple[Callable[[Candidate], Bound], ...] = ()
        self.asked: list[Mapping[str, Any]] = []
        self.sizing: wanted.Sizing | None = None

    def judge(self, request: Mapping[str, Any]) -> Judge:
        self.sizing = wanted.made(wanted.Sizing, request)
        return self._judging()

    def _judging(self) -> Judge:
        return Judge(self.assess, self.answering, (self.bound, *self.closer), self.assess_under, self.under)

    def assess(self, candidate: Candidate) -> Assessment:
        assert self.sizing is not None
        return self.assess_under(self.sizing, candidate)

    def under(self, sizing: wanted.Sizing) -> Judge:
        return replace(self._judging(), assess=lambda candidate: self.assess_under(sizing, candidate))

    def assess_under(self, sizing: wanted.Sizing, candidate: Candidate) -> Assessment:
        asked = verification_request(without_nulls(asdict(sizing)), candidate)
        self.asked.append(asked)
        return assessment(self.answering(asked))


def assessment(answered: Mapping[str, Any]) -> Assessment:
    governing = answered["governing"]
    return Assessment(
        verdict=answered["verdict"],
        utilisation=governing["utilisation"] if governing else None,
        governing=(governing["mode"], governing["load_case"], governing["edge"]) if governing else None,
        unmet=tuple(r for r in answered["requirements"] if not r.met),
        scope_limits=tuple(answered["scope_limits"]),
    )


def unmet(code: str, given: float | str | None, limit: float | str | tuple[str, ...] | None) -> Requirement:
    stated = requirement_code(code)
    named = {stated.says.given: given, stated.says.limit: limit}
    figures = {figure.name: named.get(figure.name) for figure in stated.says.figures}
    return Requirement(stated, False, figures)


def used(rule: Used) -> Verification:
    """Judges by the utilisation alone."""
    return Verification(lambda candidate: answer(candidate, rule(candidate)))


def shared_load(total: float) -> Verification:
    """More fasteners and more embedment use less."""
    return used(lambda candidate: total / len(candidate["positions"]) / candidate["fastener"]["embedment_mm"])


def no_bound(_: Candidate) -> Bound:
    return Bound(0, 0.0)


def hopeless(_: Candidate) -> Bound:
    return Bound(0, 1.5)
