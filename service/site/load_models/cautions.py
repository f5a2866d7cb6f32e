"""What to beware of when loads come out of a load model; the codes are stable."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

CAUTIONS: Mapping[str, str] = MappingProxyType({
    "actions_to_be_confirmed": "These actions follow from what was typed in and from simple statics. A competent "
    "structural engineer confirms them, and what else may act (wind, water, impact, earthquake, fire), before anyone "
    "relies on them.",
    "guard_infill_not_covered": "Only the line load on the rail is taken: loads on the infill, impact, crowds beyond "
    "the category and the rules of the place for guards are not.",
    "rail_continuity": "The share of the rail holds for posts at equal distances that give way alike. A stiffer post, "
    "a rail that reaches out beyond its last post, or a gate sends more to one of them.",
    "post_and_rail_not_checked": "Post, rail and base plate are not checked, nor how far they bend.",
    "climbing_and_leaning": "People lean on, stand on and hang things from brackets that were not meant for it.",
    "bracket_not_checked": "The bracket itself, its arm and its weld are not checked.",
    "one_hanger_fails": "Where one hanger gives way the others take its load: whether they can is a question of its "
    "own, and the thing below needs a second hold where people walk.",
    "fork_uplift": "The fork of a truck that catches a beam while it rises lifts the upright, by several kN (EN 15512 "
    "speaks of 5 kN, from memory). Look in the assumptions whether these load cases have it, and with how much.",
    "weight_holds_down": "Weight that holds the thing down is counted at less than its full value, by γ_G,stb in the "
    "working, because losing its balance is the question (EN 1990, Table A1.2(A), rather than 1.0 of Table A1.2(B)). "
    "It must really be there: an empty tank, a machine half taken apart or a rack without its shelves weighs less. "
    "Give the least that will ever stand there, and ask again with the most.",
    "truck_impact_not_covered": "The blow of a truck against the upright is an accident of its own and not in these "
    "load cases.",
    "racking_stability_not_checked": "The stability of the racking along and across the aisle comes from its own "
    "design; this is one upright under a placement load.",
    "loads_along_the_pipe": "Fixed points, bends, shut valves and water hammer can push along the pipe far harder than "
    "the share taken: take the force from the design of the pipework.",
    "full_for_the_test": "A pipe that is tested with water is full of water once, whatever it carries later.",
    "fatigue_and_vibration_not_checked": "Fatigue and vibration of fasteners and base are not checked; an equivalent "
    "static action stands in their place. Moving machines need more.",
    "starting_and_short_circuit": "Torques at starting, blocking and short circuit can be several times the rated "
    "torque: take them from the maker of the machine.",
    "one_eyebolt_takes_all": "Several slings never share as drawn: they differ in length, and a stiff load hangs on "
    "two of four. Here one eyebolt takes the whole of what was given. Where slings spread, the angle of each sets its "
    "pull: take it from the lifting plan.",
    "lifting_gear_rules": "Lifting gear comes under rules of its own: a marked working load, a test before first use, "
    "inspections, and a competent person who releases it. These load cases replace none of that.",
    "no_one_under_the_load": "Nobody stands under a lifted load, and nobody is lifted on an eyebolt in concrete.",
})
