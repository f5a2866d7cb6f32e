"""Why the method does not cover a case: the engine's limits with their sentences."""

from __future__ import annotations

from service.contract.verification_codes.terms import BaseMaterial
from service.words import Code, Meaning, Quantity, Severity, Term


def _limit(
    meaning: str,
    short: str,
    engineer: str | tuple[str, ...],
    *figures: Quantity | Term,
    crew: str | tuple[str, ...] | None = None,
) -> Meaning:
    return Meaning(meaning, engineer, crew, Severity.STOPS, figures=figures, short=short)


class ScopeLimitCode(Code):
    """Limits of the method, as the engine has them."""

    BASE_MATERIAL = _limit(
        "The base material is not solid normal-weight concrete, or nobody knows whether it is.",
        "base material that the method does not cover",
        (
            (
                "the base material is {material}; the method covers solid normal-weight concrete only. Pulls to "
                "failure in this very material, set, read and assessed as site tests, may give a resistance"
            ),
            (
                "the base material is not known; the method covers solid normal-weight concrete only. Find out "
                "what it is, or have pulls to failure in this very material assessed as site tests"
            ),
        ),
        Term("material", BaseMaterial),
        crew=(
            (
                "the wall or slab is {material}; what is calculated here holds only in solid ordinary concrete. An "
                "engineer has to decide, with pulls to failure in this very wall or slab"
            ),
            (
                "not known what the wall or slab is made of; what is calculated here holds only in solid ordinary "
                "concrete. Find out, or ask an engineer for pulls to failure in it"
            ),
        ),
    )
    FATIGUE = _limit(
        "What acts comes and goes so often that the fasteners would have to be assessed for fatigue.",
        "fatigue",
        (
            "loads that come and go more than {cycles_max} times, as those of a reciprocating machine do, need a "
            "fastener assessed for fatigue (EN 1992-4, 8), and no family here is. A machine whose kind is not known "
            "counts as reciprocating, and a power hoist as lifting more often until lifts says how often it does"
        ),
        Quantity("cycles_max", "1"),
        crew="what it holds pulls and lets go more than {cycles_max} times, or nobody said how often: that tires "
        "anchors, and none of these is tested for it. Say what kind of machine it is, or how often it lifts; otherwise "
        "an engineer has to choose other anchors",
    )
    TOO_MANY_FASTENERS = _limit(
        "More fasteners than the method covers.",
        "more fasteners than the method covers",
        "{fasteners} fasteners; the method covers groups up to 3 by 3, at most {fasteners_max}",
        Quantity("fasteners", "1"),
        Quantity("fasteners_max", "1"),
        crew="{fasteners} fasteners; the method covers at most {fasteners_max}, three by three",
    )
    STEEL_TOO_STRONG = _limit(
        "The steel is stronger than the method covers.",
        "steel too strong for the method",
        "f_uk {tensile_strength_mpa} MPa; covered up to {tensile_strength_max_mpa} MPa",
        Quantity("tensile_strength_mpa", "MPa"),
        Quantity("tensile_strength_max_mpa", "MPa"),
        crew="its steel has {tensile_strength_mpa} MPa, stronger than the {tensile_strength_max_mpa} MPa that the "
        "method covers",
    )
    EMBEDMENT_BELOW_METHOD = _limit(
        "The embedment is less than the method covers.",
        "too shallow for the method",
        "h_ef {embedment_mm} mm; the method covers post-installed fasteners from {embedment_min_mm} mm here "
        "(40 mm, or 30 mm in redundant indoor use)",
        Quantity("embedment_mm", "mm"),
        Quantity("embedment_min_mm", "mm"),
        crew="effective depth {embedment_mm} mm is too shallow for the method, which here covers "
        "{embedment_min_mm} mm and more; do not set it deeper than is ordered, ask the engineer",
    )
    DIAMETER_BELOW_METHOD = _limit(
        "The diameter is less than the method covers.",
        "too thin for the method",
        "d {diameter_mm} mm; covered from {diameter_min_mm} mm",
        Quantity("diameter_mm", "mm"),
        Quantity("diameter_min_mm", "mm"),
        crew="diameter {diameter_mm} mm; the method covers {diameter_min_mm} mm and more",
    )
    LONG_ROW_NEAR_EDGE = _limit(
        "A row of more than six fasteners is near an edge.",
        "row too long near an edge",
        "{in_row} fasteners in a row, and an edge is within {edge_reach_mm} mm, max(10·h_ef, 60·d_nom), of one; "
        "there rows are covered up to {in_row_max}",
        Quantity("in_row", "1"),
        Quantity("in_row_max", "1"),
        Quantity("edge_reach_mm", "mm"),
        crew="{in_row} fasteners in a row, and an edge is within {edge_reach_mm} mm: there the method covers rows "
        "of up to {in_row_max}",
    )
    TORSION_ON_ONE_FASTENER = _limit(
        "A single fastener cannot take torsion.",
        "torsion on a single fastener",
        "a single fastener cannot take torsion",
        crew="one fastener alone does not hold against twisting",
    )
    TORSION_WITH_OVERSIZE_HOLES = _limit(
        "With oversize holes torsion has no sure path into the fasteners.",
        "torsion with oversize holes",
        "with oversize holes torsion has no sure path into the fasteners; with the gaps around them filled, as their "
        "assessment has it, all bear (fixture.clearance filled)",
        crew="with wide holes in the plate it is not sure that the fasteners hold it against twisting; ask the "
        "engineer whether the gaps around them may be filled",
    )
    SIMPLIFIED_WITH_STAND_OFF = _limit(
        "A family known only from its label is not covered with a lever arm.",
        "lever arm on a family known only from its label",
        "a family known only from its label is not covered with a lever arm",
        crew="only its label is known: it is not covered where the plate stands off the concrete or on grout that "
        "carries nothing",
    )
    STAND_OFF_COMPRESSION = _limit(
        "With a stand-off a fastener would be in compression, which is not assessed.",
        "fastener in compression",
        "with a stand-off a fastener would be in compression, which its assessment does not cover",
        crew="where the plate stands off the concrete or on grout that carries nothing, a fastener would be "
        "pressed, which is not assessed",
    )
    MOMENT_ON_LINE_OF_FASTENERS = _limit(
        "Without contact under the fixture the fasteners cannot take the moment.",
        "moment that the fasteners cannot take",
        "without contact under the fixture these fasteners cannot take the moment that is left after their bending",
        crew="where the plate stands off the concrete these fasteners do not hold it against tipping",
    )
    WITHOUT_PLATE = _limit(
        "Without a plate nothing presses on the concrete, takes a moment or shares a load among several.",
        "no plate that could bear or share the load",
        "a ring, hook or bare rod takes a pull, straight or slanting, on itself alone: there is no plate that "
        "could bear on the concrete, take a moment or share the load with others; verify each by what hangs in it",
        crew="a ring, hook or bare rod holds only what pulls on it: nothing may press on it or lever it, and each "
        "is calculated by itself",
    )
    HEIGHT_NOT_GIVEN = _limit(
        "What pushes a bare fastener across acts at a height that is not given.",
        "height of the push not given",
        "a bare fastener bends under what pushes it across: fixture.stand_off_mm says how high that acts, and the "
        "moment at the surface goes with it",
        crew="it is not said how high above the concrete the push acts that bends the fastener",
    )
    NO_BENDING_RESISTANCE = _limit(
        "Shear would act with a lever arm, and the assessment gives no bending resistance.",
        "no bending resistance assessed",
        "shear would act with a lever arm, and the assessment gives no bending resistance",
        crew="where the plate stands off the concrete the fasteners would bend, which is not assessed",
    )
    NO_EQUILIBRIUM = _limit(
        "The fixture finds no position of rest under the actions.",
        "no position of rest",
        "the fixture finds no position of rest under these actions",
        crew="the plate would not stay in its place under these loads",
    )
    NEIGHBOURS_TAKE_CONCRETE = _limit(
        "Neighbours that are or may be loaded take all the concrete that a fastener would need.",
        "neighbours take all the concrete",
        "neighbours that are or may be loaded leave no concrete to a fastener; find out how deep they are and "
        "whether they are loaded, or move the fixing",
        crew="other anchors near leave no concrete to an anchor: find out how deep they are and whether they carry "
        "anything, or have the plate moved",
    )
