"""Whether others take over when a fixing fails: held against the sets of the assessment, never taken from a word.

The fixings are points that share a load. A set of an assessment names the fewest points, the fewest fasteners of each
and the largest design action a point; one set has to hold whole. That the part which they hold carries the share of a
point that fails is shown by an engineer, whom the request names. EN 1992-4, 7.3, and the sets, from memory.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from service.contract import wanted
from service.contract.verification_codes import Redundancy
from service.contract.writing import N_PER_KN
from service.engine.arrangement import TAPE_MM
from service.engine.model import LoadCase
from service.verification.tolerance import keeps_kn
from service.words import Value

SETS = "redundancy_sets"
LETTERS = re.compile(r"[^\W\d_]+")
NEGATIONS = frozenset({
    "no", "not", "nobody", "noone", "none", "nil", "never", "nothing", "neither", "nor", "without", "unknown",
    "unnamed", "kein", "keine", "keiner", "nicht", "niemand", "ohne", "unbekannt", "aucun", "aucune", "personne",
    "inconnu", "ninguno", "nadie", "desconocido", "nessuno", "sconosciuto", "geen", "onbekend",
})  # fmt: skip
"""Words that name nobody wherever they stand; from memory of how forms are filled in."""
NOT_YET = frozenset({
    "tbc", "tbd", "tba", "pending", "awaiting", "awaited", "shall", "should", "must", "later", "yet", "confirm",
    "confirms", "required", "needed", "assumed", "presumably", "probably", "maybe", "perhaps", "offen", "folgt",
})  # fmt: skip
"""Words of what has not been done, wherever they stand."""
TO_DO = re.compile(r"\bto (?!the\b)\w|\w will\b|\bwill be\b")
"""Something that is still to be done, as in "engineer to check" or "engineer will check"."""
ENGINEERS = frozenset({"engineer", "engineers", "engineering", "designer", "ceng", "ieng", "pe", "se"})
"""Roles of whoever may show it."""
OTHER_ROLES = frozenset({
    "crew", "team", "gang", "installer", "installers", "fitter", "fitters", "builder", "builders", "worker", "workers",
    "electrician", "plumber", "foreman", "contractor", "contractors", "subcontractor", "client", "customer", "owner",
    "user", "company", "office", "site", "staff", "people", "monteur", "bauleiter", "firma", "computer", "software",
    "program", "programme", "app", "bot", "chatbot", "machine", "calculator", "assistant", "internet",
})  # fmt: skip
"""Who puts up, orders or owns it, and what is no person: none of them shows it, unless an engineer is named too."""
ARTICLES = frozenset({"the", "our", "your", "his", "their", "my", "some", "any"})
"""What begins a role and no name."""
NO_ANSWER = frozenset({
    "na", "n a", "nn", "n n", "null", "yes", "true", "false", "ok", "okay", "shown", "done", "open",
    "someone", "somebody", "anyone", "anybody", "everyone", "everybody", "one", "others", "missing", "follows",
    "me", "we", "us", "myself", "see above", "see drawing", "as usual", "common practice", "experience", "ai", "ki",
})  # fmt: skip
"""What is no name and no role where it is all that stands there."""


@dataclass(frozen=True, slots=True)
class Point:
    """What one fixing point is: its fasteners, and the largest design action on it (kN).

    ``turned`` says that a moment acts on it, for which no set is made.
    """

    fasteners: int
    action_kn: float
    turned: bool


@dataclass(frozen=True, slots=True)
class Sharing:
    """Whether others take over, and what that was held against."""

    counts_as: Redundancy
    figures: Mapping[str, Value]

    @property
    def shown(self) -> bool:
        """Whether the fixing is redundant."""
        return self.counts_as is Redundancy.REDUNDANT


def names_somebody(text: str | None) -> bool:
    """Say whether a text can be the name or the role of a person.

    Args:
        text: What was given, None where nothing was.

    Returns:
        False for what has not two letters on end, for words that deny it or put it off, and for a role that is not an
        engineer's. Whether somebody of that name is one, no text can show: the answer says on whom it rests.
    """
    words = LETTERS.findall((text or "").casefold())
    said = " ".join(words)
    if max(map(len, words), default=0) <= 1 or said in NO_ANSWER or TO_DO.search(said):
        return False
    if not (NEGATIONS | NOT_YET).isdisjoint(words):
        return False
    other_role = words[0] in ARTICLES or not OTHER_ROLES.isdisjoint(words)
    return not (other_role and ENGINEERS.isdisjoint(words))


def point_of(request: wanted.Fixing, load_cases: Sequence[LoadCase]) -> Point:
    """Say what one fixing point is.

    The action is the resultant of normal force and shear; a push counts as much as a pull.

    Args:
        request: What a verification or a sizing wants.
        load_cases: Its design load cases (N, Nmm).

    Returns:
        The point.
    """
    forces = (math.hypot(case.normal_n, case.shear_x_n, case.shear_y_n) for case in load_cases)
    return Point(request.fewest_fasteners, max(forces) / N_PER_KN, any(_turns(case, request) for case in load_cases))


def _turns(case: LoadCase, request: wanted.Fixing) -> bool:
    """Whether a moment acts: about the origin, or about the fasteners where fixture and load moved with them."""
    moments = (case.moment_x_nmm, case.moment_y_nmm, case.torsion_nmm)
    if not isinstance(request, wanted.Verification) or request.built.load_moved == wanted.LoadMoved(0.0, 0.0):
        return any(moments)
    x_mm, y_mm = (
        math.fsum(along) / len(request.positions)
        for along in zip(*((place.x_mm, place.y_mm) for place in request.positions), strict=True)
    )
    about = (
        case.moment_x_nmm - y_mm * case.normal_n,
        case.moment_y_nmm + x_mm * case.normal_n,
        case.torsion_nmm - (x_mm * case.shear_y_n - y_mm * case.shear_x_n),
    )
    # What a tape does not tell from a force through them turns nothing.
    least = TAPE_MM * math.hypot(case.normal_n, case.shear_x_n, case.shear_y_n)
    return any(abs(moment) > least for moment in about)


def sharing(given: wanted.Use, family: Mapping[str, Any], point: Point) -> Sharing:
    """Hold what a request says of the other points against the sets of an assessment.

    Args:
        given: The use as the request says it.
        family: The family.
        point: The fixing point.

    Returns:
        Whether the fixing is redundant.
    """
    sets: Sequence[Mapping[str, float]] = family["assessment"]["covers"].get(SETS) or ()
    stated = given.redundancy
    fasteners = None if stated is None else min(stated.fasteners_per_point, point.fasteners)
    figures: dict[str, Value] = {
        "points": None if stated is None else stated.points,
        "fasteners_per_point": fasteners,
        "action_kn": point.action_kn,
        "points_needed": tuple(each["points_min"] for each in sets),
        "fasteners_needed": tuple(each["fasteners_per_point_min"] for each in sets),
        "action_allowed_kn": tuple(each["action_per_point_max_kn"] for each in sets),
    }
    return Sharing(_counts_as(given, stated, fasteners, point, sets), figures)


def _counts_as(
    given: wanted.Use,
    stated: wanted.Redundancy | None,
    fasteners: int | None,
    point: Point,
    sets: Sequence[Mapping[str, float]],
) -> Redundancy:
    if stated is None or fasteners is None:
        # A record of old may only assert it, which still counts by rules that knew nothing else.
        return Redundancy.REDUNDANT if given.redundant and not sets else Redundancy.NOT_REDUNDANT
    if stated.points == 1:
        return Redundancy.NOT_REDUNDANT
    if not sets:
        return Redundancy.WITHOUT_SETS
    if not names_somebody(stated.bridging_shown_by):
        return Redundancy.BRIDGING_NOT_SHOWN
    if point.turned:
        return Redundancy.POINT_TURNED
    within = any(_holds(each, stated.points, fasteners, point) for each in sets)
    return Redundancy.REDUNDANT if within else Redundancy.OUTSIDE_SETS


def _holds(one: Mapping[str, float], points: int, fasteners: int, point: Point) -> bool:
    enough = _enough(points, fasteners, one["points_min"], one["fasteners_per_point_min"])
    return enough and keeps_kn(point.action_kn, one["action_per_point_max_kn"])


def _enough(points: int, fasteners: int, points_min: float, fasteners_min: float) -> bool:
    """Whether there are as many points, and fasteners of each, as a set asks for."""
    return points >= points_min and fasteners >= fasteners_min


def used_of_point(figures: Mapping[str, Any]) -> float:
    """Share of the largest action a point that some set allows with these points and fasteners (no unit).

    Args:
        figures: Those of a ``Sharing`` that holds.

    Returns:
        The share, 0 where no set stands behind it.
    """
    sets = zip(figures["points_needed"], figures["fasteners_needed"], figures["action_allowed_kn"], strict=True)
    stated = figures["points"], figures["fasteners_per_point"]
    allowed = [most for points, fasteners, most in sets if _enough(*stated, points, fasteners)]
    return float(figures["action_kn"]) / max(allowed, default=math.inf)
