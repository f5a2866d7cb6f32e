"""The words of the contract that stand in lists, and its largest figures."""

from typing import get_args

from service.contract.coherence import HOLES_OF_OLD as HOLES_OF_OLD
from service.contract.coherence import SAME_PLACE_MM
from service.contract.verification_codes import (
    ApprovalStatus,
    BaseMaterial,
    Combination,
    ConcreteState,
    Edge,
    HoleState,
    Mechanism,
    Mode,
    ToppingKind,
    Verdict,
)
from service.engine.en1990 import Kind as ActionKind
from service.engine.en1992_1_1 import STRENGTH_CLASSES as STRENGTH_OF_CLASSES
from service.engine.model import Clearance, EdgeReinforcement, Profile

CONTRACT_VERSION = 2
"""Version of the contract that answers are written by; their record states it."""


UNSTATED_VERSION = 1
"""Version of a record that states none. Its digest covers the sentences of the answer too."""


STRENGTH_CLASSES = tuple(STRENGTH_OF_CLASSES)


BASE_MATERIALS = tuple(each.value for each in BaseMaterial)


TOPPINGS = tuple(each.value for each in ToppingKind)


STATES = tuple(each.value for each in ConcreteState)


HOLES = tuple(each.value for each in HoleState)
"""States of a hole, the driest first."""


EDGE_REINFORCEMENTS: tuple[EdgeReinforcement, ...] = get_args(EdgeReinforcement)


CLEARANCES: tuple[Clearance, ...] = get_args(Clearance)


PROFILES: tuple[Profile, ...] = get_args(Profile)
"""What may stand on a fixture; ``verification_codes.SectionProfile`` has their words."""


ROTATIONS = ("held", "free")


PERSISTENT, ACCIDENTAL = "persistent", "accidental"
SITUATIONS = (PERSISTENT, ACCIDENTAL)


KINDS = ("design",)


RECORDED_KINDS = (*KINDS, "characteristic")
"""Kinds of load case that a record may have; characteristic ones were taken before there were actions."""


ACTION_KINDS: tuple[ActionKind, ...] = get_args(ActionKind)


MOST_ACTIONS = 12


DETAILS = ("summary", "full")


SETTINGS = ("through_fixture", "before_fixture")


MECHANISMS = tuple(each.value for each in Mechanism)


APPROVALS = tuple(each.value for each in ApprovalStatus)


APART = f"no two of them within {SAME_PLACE_MM:g} mm of each other both ways"


FARTHEST_MM = 10_000


LARGEST_KN = 10_000


NEIGHBOUR_STATES = ("loaded", "unloaded", *HOLES_OF_OLD)


MOST_NEIGHBOURS = 12


MAX_GRID_CASES = 400


VERDICTS = tuple(each.value for each in Verdict)


MODES = tuple(each.value for each in Mode)


EDGES = tuple(each.value for each in Edge)


COMBINATIONS = tuple(each.value for each in Combination)


CAUSES = ("requirement", "mode", "limit", "scope", "approval")


RULE_STATES = ("released", "working")


RULES_FAULTS = (
    "content_not_found",
    "invalid",
    "new_rules_refused",
    "release_altered",
    "release_removed",
    "signature_not_valid",
    "state_lost",
    "state_not_kept",
    "suspension_stops_nothing",
    "suspensions_removed",
    "tag_disagrees",
    "tag_not_registered",
    "unsigned",
    "working_invalid",
)


READINGS = ("reading_kn", "reading_kg", "reading_lb", "reading_bar")
"""Fields in which a gauge is read."""


DIGEST = "^sha256:[0-9a-f]{64}$"
