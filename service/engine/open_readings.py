"""Points where the reading of the standard is open, and the safe one that is taken; all from memory."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class OpenReading:
    """One open point: its clause and what is done about it."""

    clause: str
    text: str


OPEN_READINGS: dict[str, OpenReading] = {
    "separate_groups": OpenReading(
        "7.2.1.4",
        "Fasteners beyond the characteristic spacing of a mode from each other are verified in it apart, and only "
        "apart, without credit for pressure under the fixture; a row at an edge whole and in parts.",
    ),
    "pry_out_turning": OpenReading(
        "7.2.2.4",
        "Where torsion turns shear forces or their components against each other, each fastener is checked alone with "
        "its own share of the area, and only alone.",
    ),
    "edge_torsion": OpenReading(
        "7.2.2.5",
        "With torsion the row nearest the edge is checked with its elastic forces, with and without what the rows "
        "behind push towards the edge, and with the whole torsion as its couple; the worse governs.",
    ),
    "bond_mean_spacing": OpenReading(
        "7.2.1.6", "The mean spacing of a group of bonded fasteners is the larger one where columns and rows differ."
    ),
    "clearance_arrangement": OpenReading(
        "6.2.2.1",
        "With clearance holes near an edge and shear, one fastener, two, or two by two are covered; of others no more "
        "than two in a row and two rows are taken to bear on the concrete at the edge.",
    ),
    "arrangement_near_edge": OpenReading(
        "6.2.2",
        "Where the standard does not draw the arrangement, the row that was intended is checked at its least distance "
        "to each edge, and the fastener nearest the edge alone with the whole push, or with those in line with it; "
        "without rows all fasteners count as one row. The worse governs.",
    ),
    "narrow_shell_spalling": OpenReading(
        "7.2.1.4", "In a narrow member the factor of close reinforcement is taken with the reduced depth h'_ef."
    ),
    "neighbours": OpenReading(
        "7.2.1.4",
        "A loaded neighbour takes its side of the midline of every projected area, and one that is deeper or of "
        "unknown depth the whole overlap, at an edge by c_1 also where c'_1 stands for ours; of a group each part "
        "carries its own on what is left of its squares, so that the others do not even out what is taken from one; "
        "the fasteners are checked with it as one group as well, loaded as the worst of them; the worse governs. "
        "Common practice, no source.",
    ),
    "accidental_shear_factor": OpenReading(
        "4.4.2",
        "The partial factor of steel in shear in an accidental situation is 1.0/(f_yk/f_uk), at least 1.25, or 1.3.",
    ),
    "stand_off_bending": OpenReading(
        "6.2.1",
        "With a stand-off the moment that fasteners carry in bending, V·(l_a/alpha_M - a_3), is taken out of the "
        "moment at the surface before axial forces are found.",
    ),
}
"""By code."""
