"""Cautions: what an engineer would say aloud about a fixing beyond its checks and requirements."""

from __future__ import annotations

from functools import partial

from service.words import Audience, Code, Quantity, Severity, Verbatim, means

cautioned = partial(means, severity=Severity.DECIDE)
"""A caution: somebody has to decide unless it says otherwise."""


class CautionCode(Code):
    """Cautions of the service; a rulebook has its own beside them."""

    HOLLOW_CORE_STRANDS = cautioned(
        "The fixing is set into a hollow-core slab.",
        "Hollow-core slab: prestressing strands run in the webs and under the cores, and a strand that is drilled "
        "takes strength from the slab. Have strands and cores located before anything is drilled.",
        crew="Slab with hollow cores: prestressed strands run between and under the cores. Have strands and cores "
        "located and marked before anything is drilled; drill into no strand.",
        concerns=Audience.CREW,
    )
    RELIEVING_NORMAL_FORCE = cautioned(
        "A characteristic load case presses and pushes at once under one factor.",
        "A characteristic load case presses and pushes at once: one factor multiplies all its components, so the "
        "pressure grows with the rest. Where the pressure is permanent, give design load cases with its favourable "
        "factor instead.",
        crew="A load case presses and pushes at once, both under one factor. Where what presses is always there, "
        "have the load cases calculated with its own factor.",
    )
    SUSPENDED = cautioned(
        "The family, the size or a version of the rulebook is suspended for new work.",
        (
            (
                "Version {version} of the rulebook is suspended for new work (entry of {since}): {reason}. This "
                "answer was made by {made_by} instead."
            ),
            "Version {version} of the rulebook is suspended for new work (entry of {since}): {reason}.",
            "{family} {size} is suspended for new work (entry of {since}): {reason}.",
            "{family} is suspended for new work (entry of {since}): {reason}.",
        ),
        Verbatim("version"),
        Verbatim("family"),
        Verbatim("size"),
        Verbatim("since"),
        Verbatim("reason"),
        Verbatim("made_by"),
        severity=Severity.STOPS,
    )
    SUPERSEDED = cautioned(
        "The answer stands on a version of the rulebook below the one in force.",
        "This stands on version {version} of the rulebook, and {in_force} is in force: figures may have been found "
        "wrong since. Before new work, verify it again without naming a version, or name {in_force}.",
        Verbatim("version"),
        Verbatim("in_force"),
    )
    SINGLE_FASTENER = cautioned(
        "One fastener carries the whole fixing.",
        "One fastener carries the whole fixing: nothing takes over when it fails.",
        concerns=Audience.CREW,
    )
    TORQUE_NOT_ASKED = cautioned(
        "The site reads a torque, and the assessment names none for the size.",
        (
            (
                "The assessment names no torque for {family} {size}: a torque wrench shows nothing. Set it by hand "
                "until the head lies on the fixture; to use an impact wrench (at most "
                "{impact_driver_torque_max_nm} N·m), say so and verify it again."
            ),
            (
                "The assessment names no torque for {family} {size}: a torque wrench shows nothing. Set it by hand "
                "until the head lies on the fixture; no impact wrench."
            ),
        ),
        Verbatim("family"),
        Verbatim("size"),
        Quantity("impact_driver_torque_max_nm", "Nm"),
        crew=(
            (
                "No torque to read: set it by hand until the head lies on the plate. An impact wrench only after "
                "it was verified with one, at most {impact_driver_torque_max_nm} N·m."
            ),
            "No torque to read: set it by hand until the head lies on the plate. No impact wrench.",
        ),
        concerns=Audience.CREW,
    )
    TORQUE_READ_ALL_THE_SAME = cautioned(
        "Its torque expands or seats it, and by feel or unknown was answered.",
        "Its torque expands this fastener: too little and it holds nothing, and nobody sees that later. By feel, or in "
        "a way that nobody knows, counts less and sets none. The result holds only where each is tightened to "
        "{installation_torque_nm} N·m with a calibrated torque wrench all the same: without that reading the check as "
        "built shows nothing.",
        Quantity("installation_torque_nm", "Nm"),
        crew="Its torque expands this fastener: never tighten it by feel. Without a calibrated torque wrench, stop and "
        "ask.",
        concerns=Audience.CREW,
    )
    ARRANGEMENT_NOT_DRAWN = cautioned(
        "The standard does not draw the arrangement of the fasteners.",
        "The standard does not draw this arrangement of fasteners; it was calculated as it stands, away from edges.",
        crew="The standard does not draw this arrangement of fasteners; it was calculated as it stands.",
    )
    ARRANGEMENT_NEAR_EDGE = cautioned(
        "The standard does not draw the arrangement of the fasteners, and an edge is near.",
        "The standard does not draw this arrangement of fasteners near an edge. At each edge the worse of two "
        "readings of our own governs: the row that was intended at its least edge distance, or all fasteners as "
        "one row where there are no rows, and the fastener nearest the edge alone with the whole push, or with "
        "those in line with it. Whether this may stand is for a competent engineer to decide.",
        crew="The fasteners stand near an edge in an arrangement that the standard does not draw. It was "
        "calculated on the safe side: an engineer has to decide whether it may stand.",
    )
    CLEARANCE_HOLES_NEAR_EDGE = cautioned(
        "Clearance holes near an edge under shear, in a group that the standard does not cover with them.",
        "With clearance holes near an edge and shear the standard covers one fastener, two, or two by two. In this "
        "group no more than two fasteners of a row and two rows were taken to bear; whether that may stand is for "
        "a competent engineer to decide. With filled holes all bear.",
        crew="More fasteners near an edge than the standard covers with open gaps in the plate. Move no fastener "
        "and fill no gap between fastener and plate: an engineer has to decide whether it may stand.",
    )
    FIXTURE_HOLES_WIDE = cautioned(
        "The holes of the fixture are wider than the assessment has them; given only where their diameter is.",
        "Holes of {fixture_hole_mm} mm in the fixture are wider than the {fixture_hole_max_mm} mm that the "
        "assessment allows: they count as oversize, and need washers that span them.",
        Quantity("fixture_hole_mm", "mm"),
        Quantity("fixture_hole_max_mm", "mm"),
        crew="Holes of {fixture_hole_mm} mm in the plate are wider than the {fixture_hole_max_mm} mm for this "
        "fastener: use washers that span them, as the engineer names them.",
        concerns=Audience.CREW,
    )
    ONE_FASTENER_TAKES_SHEAR = cautioned(
        "Oversize holes: one fastener was taken to carry the whole shear.",
        "Oversize holes: one fastener is taken to carry the whole shear, whichever it is.",
        crew="Wide holes in the plate: any one fastener was taken to carry all that pushes along the surface.",
        severity=Severity.KNOW,
    )
    SPLITTING_LEFT_TO_REINFORCEMENT = cautioned(
        "Reinforcement that holds splitting cracks has to be designed and shown.",
        "Splitting was not verified because the request says that reinforcement holds cracks to 0.3 mm: that "
        "reinforcement has to be designed and shown.",
        crew="That reinforcement keeps the concrete from splitting was stated: an engineer has to show it.",
    )
    FASTENER_IN_COMPRESSION = cautioned(
        "A fastener is in compression.",
        "A fastener is in compression: its buckling is checked over the free length, and that the concrete takes "
        "the pressure of its end is left to the assessment, which covers fasteners in compression.",
        crew="A fastener is pressed, not pulled: keep the gap under the plate no higher than ordered, and the hole "
        "no deeper.",
    )
    OUTSIDE_SCOPE = cautioned(
        "The method does not cover the fixing.",
        "The method does not cover this fixing, so no resistance is given. Change the fixing, or have it designed "
        "by a licensed or chartered engineer.",
        crew="The method does not cover this fixing. Do not build it: change it, or have it designed by a licensed "
        "or chartered engineer.",
        severity=Severity.STOPS,
    )
    COMPRESSION_ONLY = cautioned(
        "The actions of a load case only press the fixture against the concrete: no check is left in it.",
        "A load case only presses the fixture against the concrete: no check of a fastener is left in it. Of the "
        "pressure only the mean is held against the strength of the concrete; how it spreads in the member is not "
        "checked.",
        crew="A load only presses the plate against the concrete: no check of a fastener is left for it, and how "
        "the concrete carries the pressure on is not checked.",
    )
    PLATE_NOT_CHECKED = cautioned(
        "One fastener holds what hangs on it under any fixture; whether the fixture carries it was not checked.",
        "One fastener holds what hangs on it under any fixture. Whether the fixture itself carries that was not "
        "checked, as figures of it are lacking.",
        crew="Whether the plate itself carries the load was not checked: ask the engineer.",
    )
    SENSITIVE_TO_CONTACT_STIFFNESS = cautioned(
        "With half the contact stiffness the fixing would not pass.",
        "With half the contact stiffness under the fixture this fixing would not pass its checks: check the "
        "bedding, "
        "or change the fixing.",
        crew="If the plate beds half as well as was taken, this fixing would not pass: see that it lies full on "
        "the concrete, or ask the engineer.",
        severity=Severity.DECIDE,
    )
