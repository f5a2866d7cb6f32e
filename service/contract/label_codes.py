"""The words of a label that stand in lists, and what each means."""

from collections.abc import Mapping
from types import MappingProxyType

from service.contract.fields import UNKNOWN

MEANINGS = ("characteristic", "mean_ultimate", "recommended", UNKNOWN)
BASE_MATERIALS = ("concrete", "solid_masonry", "hollow_masonry", "aerated_concrete", UNKNOWN)
CONCRETE_STATES = ("cracked", "uncracked", UNKNOWN)
YES_NO_UNKNOWN = ("yes", "no", UNKNOWN)
UNITS = ("value_kn", "value_kg", "value_lb")
PROOFS: Mapping[str, str] = MappingProxyType({
    "hole": "hole_diameter_mm",
    "depth": "hole_depth_mm",
    "torque": "torque_nm",
})
"""What has to be shown, and the figure of the label that it is held against."""
NOT_ANSWERED: Mapping[str, str] = MappingProxyType({
    "edge_distance": "How near to an edge it may stand; near an edge concrete breaks off far below the stated load.",
    "spacing": "How near to each other two may stand.",
    "cracked_concrete": "What is left in cracked concrete; where there is tension in the member, concrete cracks.",
    "groups": "What a group under one plate holds; it is less than the number times one.",
    "shear_and_bending": "Shear, shear with a lever arm, and bending of the fastener.",
    "load_direction": "In which direction the stated load was pulled.",
    "fire": "How long it holds in a fire; plastic and resin hold nothing when hot.",
    "concrete_strength": "In which strength of concrete the stated load was found.",
    "member_thickness": "How thick the member must be.",
    "sustained_load_and_warmth": "What is left under load that stays, and when it gets warm; plastic creeps.",
    "fixture_thickness": "What it holds when the fixture is thicker than the label says, or the label says nothing.",
    "base_material": "What it holds in another base material than that of the label.",
    "corrosion": "How long it lasts where it is damp, outside or near the sea.",
})
VOID: Mapping[str, str] = MappingProxyType({
    "own_screw": "Another screw than the label's was used: the stated load is void; screw and plug are one fastener.",
    "own_screw_not_known": "Nobody said whose screw, bolt or rod is used. With another than the label's the stated "
    "load is void, and it may be another: look, and say own_screw_used (false where it is the label's own).",
    "other_base_material": "The label speaks of another base material than concrete: its load says nothing here.",
    "base_material_not_known": "Nobody said in what base material the stated load was found. In hollow blocks or "
    "aerated concrete it is a small part of that in concrete: look on the label or data sheet, and say "
    "base_material. Where nothing says it, pull some on site (/v1/site-tests/plans).",
    "hole_too_shallow": "The hole is less deep than the label asks for: the stated load is void.",
    "hole_too_deep": "The hole is deeper than the label asks for: a drop-in or an undercut cannot be set at its depth "
    "in it, and the stated load is void. Where it is another kind of fastener, say mechanism.",
    "other_hole_diameter": "The hole has another diameter than the label asks for: the stated load is void.",
    "cracked_not_covered": "The concrete is cracked, and nobody said that the stated load holds in cracks: it gives no "
    "figure here. Look on the label or data sheet, and say cracked_concrete_covered; where it does not say yes, take a "
    "fastener whose assessment covers cracked concrete.",
    "fixture_too_thick": "The fixture is thicker than the label allows: the fastener does not reach its depth, and the "
    "stated load is void.",
})
CAUTIONS: Mapping[str, str] = MappingProxyType({
    "label_is_no_assessment": "A label is no European assessment. Where people can be hurt take a fastener with a "
    "valid assessment, verify it, and leave the approval to a licensed or chartered engineer.",
    "torque_does_not_decide": "Two newton-metres of torque more or less do not decide: hole, depth and base "
    "material do.",
    "stay_well_below": "Nobody can show hole, depth and torque: stay well below the limit.",
    "ultimate_is_not_service": "The stated load is one at failure. What may hang there is a small part of it.",
    "meaning_not_known": "The label does not say what its load means: the least favourable was taken.",
    "no_assessment_known": "Without a European assessment nobody has tested cracks, creep and bad holes.",
    "figures_disagree": "A load of the label differs from unit to unit by more than rounding: one was copied wrong, "
    "and the least was taken.",
    "figures_contradict": "Two loads of the label do not go together, and the lower result was taken.",
    "figure_not_what_it_is_called": "A load of the label cannot be what it is called: both were taken the least "
    "favourable way.",
    "only_in_concrete": "This holds in sound concrete only, not in masonry, blocks, plaster or screed, whatever the "
    "wall looks like from outside.",
    "cracks_not_known": "Nobody said whether the concrete is cracked, nor that the stated load holds in cracks: the "
    "figure is for uncracked concrete only. Where the member is in tension, as under a slab or beam, concrete cracks, "
    "and there the label gives no figure.",
    "plastic_redundant_only": "Plastic plugs are for redundant, non-structural uses, where others take over when one "
    "fails.",
    "over_the_limit": "The load is more than the label allows here: do not hang it.",
    "over_well_below": "The load is within what the label allows, but not well below it, and nobody can show hole, "
    "depth and torque.",
})
ASSUMPTIONS: Mapping[str, str] = MappingProxyType({
    "meaning_taken": "A load whose meaning nobody knows was taken as what divides it most, a mean failure load "
    "as a rule.",
    "not_assessed_taken": "Whether a European assessment stands behind it is not known: taken as none.",
    "mechanism_taken": "How the fastener holds is not known: the mechanism that the site costs most was taken.",
    "any_direction": "The permissible load is for the direction that the label means, straight out or across; the "
    "least of the derivable ones governs.",
    "uncracked_to_be_shown": "Uncracked concrete was stated and has to be shown.",
    "single_fastener": "One fastener far from edges and others.",
    "meaning_doubted": "A load that cannot be what it is called was taken as one whose meaning nobody knows.",
})
