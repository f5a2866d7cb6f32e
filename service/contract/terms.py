"""The words of the contract that stand in lists, and its largest figures."""

from service.contract.coherence import SAME_PLACE_MM
from service.engine.en1992_1_1 import STRENGTH_CLASSES as STRENGTH_OF_CLASSES

CONTRACT_VERSION = 2
"""Version of the contract that answers are written by; their record states it."""


UNSTATED_VERSION = 1
"""Version of a record that states none. Its digest covers the sentences of the answer too."""


STRENGTH_CLASSES = tuple(STRENGTH_OF_CLASSES)


STATES = ("cracked", "uncracked")


EDGE_REINFORCEMENTS = ("none", "edge_bar", "edge_bar_with_stirrups")


CLEARANCES = ("normal", "filled", "oversize")


ROTATIONS = ("held", "free")


SITUATIONS = ("persistent", "accidental")


KINDS = ("design", "characteristic")


DETAILS = ("summary", "full")


SETTINGS = ("through_fixture", "before_fixture")


MECHANISMS = (
    "torque_controlled_expansion",
    "deformation_controlled_expansion",
    "undercut",
    "concrete_screw",
    "bonded",
    "plastic_anchor",
    "headed_fastener",
)


APPROVALS = ("approved", "restricted", "suspended", "withdrawn")


APART = f"no two of them within {SAME_PLACE_MM:g} mm of each other both ways"


FARTHEST_MM = 10_000


LARGEST_KN = 10_000


MAX_GRID_CASES = 400


VERDICTS = ("verified", "not_verified", "outside_scope")


MODES = (
    "steel_tension",
    "concrete_cone",
    "pull_out",
    "bond",
    "splitting",
    "blow_out",
    "steel_shear",
    "steel_shear_lever_arm",
    "pry_out",
    "concrete_edge",
    "interaction_steel",
    "interaction_concrete",
    "simplified_resultant",
)


EDGES = ("x_minus", "x_plus", "y_minus", "y_plus")


COMBINATIONS = ("design", "permanent_unfavourable", "permanent_favourable")


CAUSES = ("requirement", "mode", "limit", "scope", "approval")


RULE_STATES = ("released", "working")


RULES_FAULTS = (
    "content_not_found",
    "invalid",
    "new_rules_refused",
    "signature_not_valid",
    "suspension_stops_nothing",
    "tag_disagrees",
    "tag_not_registered",
    "unsigned",
    "working_invalid",
)


DIGEST = "^sha256:[0-9a-f]{64}$"
