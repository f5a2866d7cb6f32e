"""Lines of an installation sheet that stand for a condition or an order of the work; the codes are stable.

A line says its sentence where its figures are known, in words for the crew; its code carries what it stands for, and a
name of few words for a list.
"""

from __future__ import annotations

from service.words import Audience, Code, Meaning, Severity


def _tick(meaning: str, name: str) -> Meaning:
    """Something that the crew sees to be so where it meets it; where it is not, the work stops."""
    return Meaning(meaning, name, severity=Severity.STOPS, concerns=Audience.CREW)


def _told(meaning: str, name: str) -> Meaning:
    """Something that the crew reads and heeds."""
    return Meaning(meaning, name, severity=Severity.DECIDE, concerns=Audience.CREW)


class SheetLineCode(Code):
    """What a line of an installation sheet stands for."""

    ENGINEER_DECIDES = _tick(
        "An engineer has decided that the fixing may stand, and signed.", "decision of an engineer"
    )
    FULL_CONTACT = _tick("The fixture bears on the concrete over its whole face.", "full contact")
    BASE_MATERIAL = _tick("The base is solid ordinary concrete.", "solid concrete")
    PULLED_ALIKE = _tick(
        "The fasteners sit where those sat that were pulled on site: in brick, joint or over a cavity.",
        "same kind of place as the pulled ones",
    )
    PULLED_AS_DEEP = _tick("The fasteners reach as deep as those that were pulled on site.", "as deep as those pulled")
    SOUND_MASONRY = _told("Loose bricks, blocks or stones, or soft joints, were not pulled in.", "sound masonry")
    TOPPING = _tick("What lies on the concrete is taken off, or is as thick as told.", "what lies on the concrete")
    FIXTURE_STEEL = _tick("Yield strength that the fixture's steel has at least.", "steel of the fixture")
    ATTACHED_SECTION = _tick(
        "Profile and least size of what stands on the fixture, which bends it the less.", "what stands on the fixture"
    )
    WIDE_HOLES = _tick("Wide holes were measured, and a washer spans them.", "wide holes measured and spanned")
    STAND_OFF = _tick("Greatest clear height under the fixture.", "clear height under the fixture")
    WASHER_CLAMPED = _tick(
        "Washer and nut are tight against the concrete under a fixture that stands off.", "washer on the concrete"
    )
    GROUT = _tick("Grout under the fixture, as thick and as strong as verified.", "grout under the fixture")
    CONCRETE_UNDER_GROUT = _tick(
        "Concrete no stronger than the grout, which counts on that.", "concrete no stronger than the grout"
    )
    NEIGHBOUR = _tick("Another anchor or an old hole that was told.", "other anchor or old hole")
    NEIGHBOUR_DEPTH = _tick(
        "How deep another anchor is that the result counts, which nobody sees on it.", "depth of another anchor"
    )
    REDUNDANT = _tick("Other points carry the share of one that fails.", "held at several points")
    BEFORE_POUR = _tick(
        "Formwork, bars, plate and studs were looked at before the pour.", "looked at before the pour"
    )
    STRENGTH = _tick("Least strength of the concrete.", "strength of the concrete")
    STATE = _tick("Cracked or uncracked concrete, as verified.", "cracks in the concrete")
    MEMBER_THICKNESS = _tick("Least thickness of the member.", "thickness of the member")
    REINFORCEMENT = _tick("Spacing of the reinforcement.", "spacing of the reinforcement")
    EDGE_BAR = "edge", _tick("A bar lies along the edge.", "bar along the edge")
    STIRRUPS = _tick("Spacing of the stirrups around the edge bar.", "stirrups at the edge")
    CRACKS_HELD = _tick("Reinforcement limits cracks to 0.3 mm.", "reinforcement that limits cracks")
    HOLE = _tick("Dry, wet or flooded holes, as verified.", "water in the holes")
    WRENCH_AT_HAND = _tick("A calibrated torque wrench is at hand, as by feel does not do.", "torque wrench at hand")
    HEADS_SEATED = _tick("Every head is seated on the fixture, once tightened.", "seated heads")
    SOUND = _tick("Nothing is cracked, spalled or turning, once all is tightened.", "sound when done")
    EXPOSURE = _tick("Exposure to corrosion, as verified.", "exposure to corrosion")
    TEMPERATURE_RANGE = _tick("Warmest that the concrete gets in service.", "warmth in service")
    NEEDS_CONTACT = _tick("The fixing holds only with a stiff fixture in full contact.", "full contact")
    SUPERSEDED = _told("A newer version of the rulebook is in force.", "newer rules in force")
    LEVELLING = _told("The concrete is levelled with grout before anything is drilled.", "levelling grout")
    HOLDS = _tick("What the fixing holds: the thing, as its load model was told.", "what it holds")
    ACTS = _tick("What acts on the whole fixture, where no load model was told.", "load on the fixture")
    LOAD_WAYS = _tick("The load acts the way it was verified, and no other way.", "way of the load")
    ONE_AT_A_TIME = _tick("Loads that were verified apart never act together.", "one load at a time")
    CARRIES = _tick("Design forces that any one fastener takes, and nothing else.", "what a fastener takes")
    PRESSES = _tick(
        "What has to press on the fixture while the rest acts, as the result counts on it.", "what has to press"
    )
    ASBESTOS_OR_LEAD = _told("What is taken off the concrete may hold asbestos or lead.", "asbestos and lead")
    CLOSED_BENEATH = _tick("Nobody is beneath from the first hole until the fixing is released.", "closed off beneath")
    SECURED_AT_EDGE = _told("Whoever works at an open edge is secured against falling.", "secured at the edge")
    SERVICES_ISOLATED = _told(
        "Services are isolated and the permit to drill is there before the first hole.", "services and permit"
    )
    BAR_HIT = _told("The bit meets metal: stop, write down the depth, ask.", "metal met")
    HOLE_FAILED = _told("A hole has failed: stop, call, drill no other.", "hole failed")
    HUNG = _told("Nothing hangs on it and nobody relies on it before it may be loaded.", "not before loading")
    NEXT_FIXING = _tick("How far the next fixing of the same kind has to stay away.", "next fixing")
    PROPPED = _told("What a fixing holds is propped before anything is undone.", "propped before removal")
