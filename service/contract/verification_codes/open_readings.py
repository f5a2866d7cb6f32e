"""The codes of the engine's open readings; each says what the engine has of it."""

from __future__ import annotations

from service.engine.open_readings import OPEN_READINGS
from service.words import Code


class OpenReadingCode(Code):
    """Points where the standard can be read in two ways, and the reading that is taken."""

    SEPARATE_GROUPS = "separate_groups", OPEN_READINGS["separate_groups"].text
    PRY_OUT_TURNING = "pry_out_turning", OPEN_READINGS["pry_out_turning"].text
    EDGE_TORSION = "edge_torsion", OPEN_READINGS["edge_torsion"].text
    BOND_MEAN_SPACING = "bond_mean_spacing", OPEN_READINGS["bond_mean_spacing"].text
    CLEARANCE_ARRANGEMENT = "clearance_arrangement", OPEN_READINGS["clearance_arrangement"].text
    ARRANGEMENT_NEAR_EDGE = "arrangement_near_edge", OPEN_READINGS["arrangement_near_edge"].text
    NARROW_SHELL_SPALLING = "narrow_shell_spalling", OPEN_READINGS["narrow_shell_spalling"].text
    ACCIDENTAL_SHEAR_FACTOR = "accidental_shear_factor", OPEN_READINGS["accidental_shear_factor"].text
    STAND_OFF_BENDING = "stand_off_bending", OPEN_READINGS["stand_off_bending"].text
    NEIGHBOURS = "neighbours", OPEN_READINGS["neighbours"].text
