"""Codes of the engine: failure modes, limits of the method, and notes. What they mean to people stands elsewhere."""

from __future__ import annotations

from enum import StrEnum


class Mode(StrEnum):
    """Failure modes of EN 1992-4 and their interactions, in the order of the checks."""

    STEEL_TENSION = "steel_tension"
    CONCRETE_CONE = "concrete_cone"
    PULL_OUT = "pull_out"
    BOND = "bond"
    SPLITTING = "splitting"
    BLOW_OUT = "blow_out"
    STEEL_COMPRESSION = "steel_compression"
    STEEL_SHEAR = "steel_shear"
    STEEL_SHEAR_LEVER_ARM = "steel_shear_lever_arm"
    PRY_OUT = "pry_out"
    CONCRETE_EDGE = "concrete_edge"
    INTERACTION_STEEL = "interaction_steel"
    INTERACTION_CONCRETE = "interaction_concrete"
    SIMPLIFIED_RESULTANT = "simplified_resultant"


class Limit(StrEnum):
    """Why the method does not cover a case."""

    BASE_MATERIAL = "base_material"
    FATIGUE = "fatigue"
    TOO_MANY_FASTENERS = "too_many_fasteners"
    STEEL_TOO_STRONG = "steel_too_strong"
    EMBEDMENT_BELOW_METHOD = "embedment_below_method"
    DIAMETER_BELOW_METHOD = "diameter_below_method"
    LONG_ROW_NEAR_EDGE = "long_row_near_edge"
    TORSION_ON_ONE_FASTENER = "torsion_on_one_fastener"
    TORSION_WITH_OVERSIZE_HOLES = "torsion_with_oversize_holes"
    SIMPLIFIED_WITH_STAND_OFF = "simplified_with_stand_off"
    STAND_OFF_COMPRESSION = "stand_off_compression"
    MOMENT_ON_LINE_OF_FASTENERS = "moment_on_line_of_fasteners"
    WITHOUT_PLATE = "without_plate"
    HEIGHT_NOT_GIVEN = "height_not_given"
    NO_BENDING_RESISTANCE = "no_bending_resistance"
    NO_EQUILIBRIUM = "no_equilibrium"
    NEIGHBOURS_TAKE_CONCRETE = "neighbours_take_concrete"


class Note(StrEnum):
    """What a verified load case leaves to be known."""

    ARRANGEMENT_NOT_DRAWN = "arrangement_not_drawn"
    ARRANGEMENT_NEAR_EDGE = "arrangement_near_edge"
    CLEARANCE_HOLES_NEAR_EDGE = "clearance_holes_near_edge"
    ONE_FASTENER_TAKES_SHEAR = "one_fastener_takes_shear"
    FASTENER_IN_COMPRESSION = "fastener_in_compression"
    SPLITTING_LEFT_TO_REINFORCEMENT = "splitting_left_to_reinforcement"
    SPLITTING_NOT_NEEDED = "splitting_not_needed"
