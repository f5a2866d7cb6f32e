"""Words from a list that answers hold, each with its name for engineers and, where it differs, for crews."""

from __future__ import annotations

from service.words import Code, Meaning


class Mode(Code):
    """Failure modes, as the engine has them."""

    STEEL_TENSION = Meaning("Steel failure in tension.", "steel in tension", "steel pulled apart")
    CONCRETE_CONE = Meaning("Concrete cone failure.", "concrete cone", "concrete cone pulled out")
    PULL_OUT = Meaning("Pull-out failure.", "pull-out", "anchor pulled out of its hole")
    BOND = Meaning(
        "Combined pull-out and concrete failure of a bonded fastener.",
        "combined pull-out and concrete (7.2.1.6)",
        "resin and concrete pulled out",
    )
    SPLITTING = Meaning("Splitting of the concrete under load.", "splitting", "concrete split")
    BLOW_OUT = Meaning("Blow-out of the concrete at an edge.", "blow-out", "concrete blown out at the side")
    STEEL_COMPRESSION = Meaning(
        "Buckling of a fastener that is pressed where the fixture stands off.",
        "steel failure in compression, buckling",
        "fastener buckles",
    )
    STEEL_SHEAR = Meaning("Steel failure in shear without lever arm.", "steel in shear", "steel sheared off")
    STEEL_SHEAR_LEVER_ARM = Meaning(
        "Steel failure in shear with a lever arm.", "steel in shear with lever arm", "steel bent and sheared"
    )
    PRY_OUT = Meaning("Concrete pry-out failure.", "pry-out", "concrete prised out on the far side")
    CONCRETE_EDGE = Meaning("Concrete edge failure.", "concrete edge", "concrete edge broken off")
    INTERACTION_STEEL = Meaning(
        "Steel under tension and shear together.",
        "steel in tension and shear together",
        "steel pulled and sheared together",
    )
    INTERACTION_CONCRETE = Meaning(
        "Concrete under tension and shear together.",
        "concrete in tension and shear together",
        "concrete pulled and sheared together",
    )
    SIMPLIFIED_RESULTANT = Meaning(
        "Resultant of tension and shear against one stated resistance.",
        "resultant, simplified method",
        "pull and shear together, simplified method",
    )


class Edge(Code):
    """Edges of the member; crews read the letters of the plan."""

    X_MINUS = Meaning("Edge on the side of negative x.", "edge x minus", "side D")
    X_PLUS = Meaning("Edge on the side of positive x.", "edge x plus", "side B")
    Y_MINUS = Meaning("Edge on the side of negative y.", "edge y minus", "side C")
    Y_PLUS = Meaning("Edge on the side of positive y.", "edge y plus", "side A")


class Verdict(Code):
    """What a verification comes to."""

    VERIFIED = Meaning(
        "Every check is at most 1 after the site reduction and every requirement is met.",
        "verified: passes its checks",
        "passes its checks",
    )
    NOT_VERIFIED = Meaning(
        "A check is over or a requirement is not met.", "not verified: does not pass", "does not pass its checks"
    )
    OUTSIDE_SCOPE = Meaning(
        "The method does not cover the case, so no number is given.",
        "outside scope: the method does not cover this case, so no figure is given",
        "the method does not cover this: an engineer has to design it",
    )


class Combination(Code):
    """Which factors stand on a load case."""

    DESIGN = "design", "design actions"
    PERMANENT_UNFAVOURABLE = "permanent_unfavourable", "permanent part unfavourable"
    PERMANENT_FAVOURABLE = "permanent_favourable", "permanent part favourable"
    EQ_6_10 = "eq_6_10", "EN 1990, Eq. (6.10)"
    EQ_6_10A = "eq_6_10a", "EN 1990, Eq. (6.10a)"
    EQ_6_10B = "eq_6_10b", "EN 1990, Eq. (6.10b)"
    EQ_6_11 = "eq_6_11", "EN 1990, Eq. (6.11), accidental"


class BaseMaterial(Code):
    """What a fixing is set into."""

    NORMAL_WEIGHT_CONCRETE = Meaning(
        "Solid normal-weight concrete.", "solid normal-weight concrete", "solid ordinary concrete"
    )
    HOLLOW_CORE_SLAB = Meaning("Prestressed slab with hollow cores.", "hollow-core slab", "slab with hollow cores")
    LIGHTWEIGHT_CONCRETE = Meaning(
        "Concrete of light aggregate, aerated or without fines.",
        "lightweight concrete",
        "lightweight or aerated concrete",
    )
    MASONRY = Meaning("Bricks, blocks or stones with joints.", "masonry", "masonry: bricks, blocks or stones")


class TestedMaterial(Code):
    """What fasteners were pulled in: a base material, or concrete of which nobody said more."""

    CONCRETE = "concrete", "concrete"
    NORMAL_WEIGHT_CONCRETE = BaseMaterial.NORMAL_WEIGHT_CONCRETE.value, BaseMaterial.NORMAL_WEIGHT_CONCRETE.says
    HOLLOW_CORE_SLAB = BaseMaterial.HOLLOW_CORE_SLAB.value, BaseMaterial.HOLLOW_CORE_SLAB.says
    LIGHTWEIGHT_CONCRETE = BaseMaterial.LIGHTWEIGHT_CONCRETE.value, BaseMaterial.LIGHTWEIGHT_CONCRETE.says
    MASONRY = BaseMaterial.MASONRY.value, BaseMaterial.MASONRY.says


class ToppingKind(Code):
    """What lies on the base material where the fixture stands."""

    SCREED = "screed", "screed"
    PLASTER = "plaster", "plaster"
    INSULATION = "insulation", "insulation"


class ConcreteState(Code):
    """State of the concrete."""

    CRACKED = "cracked", "cracked"
    UNCRACKED = Meaning("Uncracked concrete.", "uncracked", "not cracked")


class HoleState(Code):
    """State of the drilled hole when the fastener is set."""

    DRY = "dry", "dry"
    WET = "wet", "wet"
    FLOODED = Meaning("Hole under water.", "flooded", "under water")


class Redundancy(Code):
    """Whether other fixing points take over when one fails, and why not."""

    REDUNDANT = Meaning("Others take over when one fails.", "redundant", "others take its load")
    NOT_REDUNDANT = Meaning(
        "Nothing takes over, or nobody said so.", "not redundant", "nothing takes over, or nobody said so"
    )
    WITHOUT_SETS = Meaning(
        "The rulebook has no numbers of points for the family.",
        "not redundant, as the rulebook has no numbers of points for this family",
        "nothing is known to take over, as the rulebook does not say how many points it takes",
    )
    BRIDGING_NOT_SHOWN = Meaning(
        "No engineer is named who has shown that the others carry the share of a point that fails.",
        "not redundant, as no engineer is named who has shown that the others carry the share of a point that fails",
        "nothing is known to take over, as no engineer is named who has shown it",
    )
    POINT_TURNED = Meaning(
        "A moment acts on the point, and the numbers of the assessment are for a force.",
        "not redundant, as a moment acts on it and the assessment's numbers are for points that carry a force",
        "nothing is known to take over, as the load turns the fixing too",
    )
    OUTSIDE_SETS = Meaning(
        "Too few points or fasteners, or too large an action on a point.",
        "not redundant, as it has too few points or fasteners, or too large an action a point",
        "too few points share the load, or each carries too much",
    )


class Consequence(Code):
    """What comes of a fixing that fails, for people."""

    PEOPLE_BELOW = Meaning("It may fall on people.", "it may fall on people", "it hangs or stands over people")
    FALL_PROTECTION = Meaning(
        "It keeps people from falling.", "it protects people from falling", "it keeps people from falling"
    )
    LIFTING = Meaning("Something is lifted by it.", "it lifts a load", "something is lifted by it")
    NOBODY_HURT = "nobody_hurt", "nobody could be hurt"
    NOT_KNOWN = "not_known", "nobody has said"


CONSEQUENCES = (Consequence.PEOPLE_BELOW, Consequence.FALL_PROTECTION, Consequence.LIFTING)
"""Those that a request states, each or several."""


class Importance(Code):
    """Whether people or the structure depend on the fixing, as the request says or as it is taken."""

    NON_STRUCTURAL = Meaning("Nobody and nothing depends on it.", "non-structural", "nobody could be hurt")
    STRUCTURAL = Meaning(
        "People or the structure depend on it, or nobody said otherwise.",
        "structural",
        "somebody could be hurt, or nobody said otherwise",
    )
    PEOPLE_DEPEND = Meaning(
        "People could be hurt if it failed.",
        "one on which people depend",
        "somebody could be hurt if it failed",
    )
    PEOPLE_MAY_DEPEND = Meaning(
        "Nobody has said whether people could be hurt if it failed.",
        "one on which people may depend, as nobody has said otherwise",
        "nobody has said whether somebody could be hurt if it failed",
    )


class ApprovalStatus(Code):
    """What the company allows."""

    APPROVED = "approved", "approved"
    RESTRICTED = "restricted", "restricted"
    SUSPENDED = "suspended", "suspended"
    WITHDRAWN = "withdrawn", "withdrawn"


class Mechanism(Code):
    """How a fastener holds in the concrete."""

    TORQUE_CONTROLLED_EXPANSION = Meaning(
        "Torque-controlled expansion anchor.", "torque-controlled expansion", "expands when tightened"
    )
    DEFORMATION_CONTROLLED_EXPANSION = Meaning(
        "Deformation-controlled expansion anchor.", "deformation-controlled expansion", "expands when hammered in"
    )
    UNDERCUT = Meaning("Undercut anchor.", "undercut", "locks in an undercut hole")
    CONCRETE_SCREW = "concrete_screw", "concrete screw"
    BONDED = Meaning("Bonded fastener.", "bonded", "set in resin")
    PLASTIC_ANCHOR = "plastic_anchor", "plastic anchor"
    HEADED_FASTENER = Meaning("Headed fastener, cast in.", "headed fastener", "cast-in headed stud")


class FixtureFigure(Code):
    """What the stiffness of a fixture is checked with."""

    THICKNESS = "thickness_mm", "thickness of the fixture"
    YIELD = "yield_mpa", "yield strength of the fixture"
    SECTION = "attached_section", "attached section"
    PROFILE = "profile", "profile of the attached section"


class SectionProfile(Code):
    """Profile of what stands on a fixture, where it is joined to it."""

    SOLID = Meaning("A bar, a block or a plate on edge.", "solid section", "solid: bar, block or plate on edge")
    HOLLOW = Meaning("A tube or box, joined all round.", "hollow section", "closed tube or box, joined all round")
    I_WEB_ALONG_X = Meaning("An I- or H-section whose web lies along x.", "I-section, web along x")
    I_WEB_ALONG_Y = Meaning("An I- or H-section whose web lies along y.", "I-section, web along y")
    OTHER = Meaning(
        "Any other: a channel, an angle, a tee, several parts.", "other section", "channel, angle, tee or other shape"
    )


class Filling(Code):
    """What is in an aborted hole."""

    GROUT = "grout", "filled with high-strength grout"
    PUSHED = Meaning("Grout that does not count.", "filled, but the shear pushes towards it, so it counts as empty")
    EMPTY = "empty", "empty"
