"""Words from a list that an as-built check holds, each with its name for engineers and, where it differs, for crews."""

from __future__ import annotations

from service.words import Code, Meaning

TOOLS = ("calibrated_wrench", "impact_driver_set", "by_feel")
VERDICTS = ("verified", "not_verified", "outside_scope", "not_shown")


class FoundBy(Code):
    """By what the strength of the concrete was found."""

    REBOUND = Meaning(
        "A rebound hammer.",
        "rebound hammer, which alone is indicative: the rulebook's reduction for it is taken, and cores show more",
    )
    CORES = "cores", "cores"
    SPECIMENS = Meaning(
        "Cubes or cylinders cast from the pour and hardened beside it.",
        "cubes or cylinders cast from the pour and hardened beside it",
    )


class LoadAt(Code):
    """Where the load of a fixture acts that stands aside."""

    MOVED = "moved", "to have moved along"
    STAYED = "stayed", "to act where it was verified"


class Measurement(Code):
    """What can be measured of the work, or looked at."""

    HOLE_DEPTH = "hole_depth", "depth of the hole"
    SET_DEPTH = "set_depth", "set depth"
    TORQUE = "torque", "torque"
    TORQUE_TOOL = "torque_tool", "tool that tightened it"
    HEAD_SEATED = "head_seated", "whether the head is seated on the fixture"
    SLEEVE_EXPANDED = "sleeve_expanded", "whether the setting tool met the sleeve with its shoulder"
    SCREWED_IN = "screwed_in", "how far the bolt or rod is screwed into the sleeve"
    WELD_TESTED = "weld_tested", "whether the weld of each stud was tested and passed"
    MARK_SHOWS = "mark_shows", "whether the mark of the expanded fastener shows"
    HOLE_CLEANED = "hole_cleaned", "whether the hole was cleaned"
    HOLE = "hole", "whether the hole was dry"
    CONCRETE_TEMPERATURE = "concrete_temperature", "temperature of the concrete at setting"
    COLDEST_UNTIL_CURED = "coldest_until_cured", "coldest that the concrete was until the resin had cured"
    CURING = "curing", "curing time that was waited"
    WORKING_TIME = "working_time", "whether it was set within the working time of the resin"
    RESIN_FILLED = "resin_filled", "whether resin came out at the surface of the concrete when the rod was set"
    DRILLING = "drilling", "how the hole was drilled"
    INSTALLER = "installer", "who set it"
    LENGTH = "length", "length that was fitted"
    POSITIONS = "positions", "positions"
    EDGES = "edges", "distances to the edges"
    MEMBER_THICKNESS = "member_thickness", "thickness of the member"
    FIXTURE_THICKNESS = "fixture_thickness", "thickness of the fixture"
    STAND_OFF = "stand_off", "stand-off or grout under the fixture"
    GROUT_STRENGTH = "grout_strength", "strength that the grout had when it was first tightened or loaded"
    STRENGTH = "strength", "strength of the concrete"
    CRACKS = "cracks", "whether there are cracks"
    ABORTED_HOLES = "aborted_holes", "aborted holes nearby"
    NEIGHBOURS = "neighbours", "other fasteners and old holes nearby"
    MATERIAL = "material", "what the base is made of"
    TOPPING = "topping", "whether screed, plaster or insulation lies under the fixture"
    FIXTURE_HOLES = "fixture_holes", "how wide the holes in the fixture are"
    REINFORCEMENT = "reinforcement", "bars near the fixing, and those along the edge"
    WASHER_CLAMPED = "washer_clamped", "whether nut and washer clamp every fastener to the concrete"
    WASHER_THICKNESS = "washer_thickness", "thickness of the washers over the holes of the fixture"
    ROTATION = "rotation", "whether the fixture is held against rotation"
    ATTACHED_SECTION = "attached_section", "size, profile and place of what stands on the fixture"


class Head(Code):
    """How a head lies on the fixture."""

    SEATED = "seated", "seated on the fixture"
    NOT_SEATED = Meaning("It is not seated.", "not seated on the fixture: nothing is clamped, and the fastener bends")


class Counted(Code):
    """Why an assessed embedment counts for the one that was reached."""

    REACHED = Meaning("It was reached.", "which is assessed and was reached")
    SHALLOWER = Meaning("It is shallower.", "the nearest shallower one that is assessed")
    WITHIN_READING = Meaning(
        "It was missed by no more than a tape is read to.", "as a tape leaves open what is lacking"
    )


class HoleKnownBy(Code):
    """How the depth of a hole is known."""

    MEASURED = "measured", "measured"
    NEEDED = Meaning("Nobody measured it.", "as its length and set depth need it")


class Sleeve(Code):
    """Whether the sleeve of a drop-in was seen to be expanded."""

    EXPANDED = Meaning("It was.", "the setting tool met every sleeve with its shoulder")
    NOT_EXPANDED = Meaning(
        "It was not.", "the setting tool did not meet every sleeve with its shoulder: the sleeve is not expanded"
    )


class Weld(Code):
    """Whether the welds of studs were tested."""

    PASSED = Meaning("They were, and passed.", "the weld of every stud was tested and passed")
    NOT_PASSED = Meaning("They were not, or failed.", "the weld of a stud was not tested, or did not pass")


class Mark(Code):
    """Whether the mark of an undercut fastener shows."""

    SHOWS = Meaning("It does.", "the mark of every fastener shows that it is expanded")
    HIDDEN = Meaning("It does not.", "the mark does not show: the undercut is not filled")


class Cleaning(Code):
    """Whether the hole was cleaned."""

    CLEANED = "cleaned", "cleaned"
    NOT_CLEANED = "not_cleaned", "not cleaned"


class ResinSeen(Code):
    """Whether resin was seen to fill the hole."""

    FILLED = Meaning("It was.", "resin came out at the surface of the concrete")
    NOT_FILLED = Meaning("It was not.", "no resin came out at the surface of the concrete: there is air beside the rod")


class SetWithin(Code):
    """Whether the rod was set within the working time of its resin."""

    WITHIN = Meaning("It was.", "set within the working time of the resin")
    BEYOND = Meaning("It was not.", "set when the resin had begun to stiffen")
