"""What load models say: the steps of their working, what they assume, and what to beware of; the codes are stable."""

from __future__ import annotations

from service.words import Audience, Code, Meaning, Quantity, Severity, Term, Verbatim


def _says(engineer: str, crew: str) -> Meaning:
    """A sentence without figures that crews get in words of their own."""
    return Meaning(engineer, engineer, crew)


def _matters(
    severity: Severity, engineer: str, crew: str | None = None, concerns: Audience = Audience.ENGINEER
) -> Meaning:
    """A sentence without figures, how much it matters and who has to act on it."""
    return Meaning(engineer, engineer, crew, severity, concerns)


class StepCode(Code):
    """What a step of the working is."""

    LINE_LOAD_OF_THE_CATEGORY = Meaning(
        "The line load that a category of use sets.",
        "line load of category {category} ({title}); the standard leaves {least_kn_per_m} to {most_kn_per_m} "
        "kN/m to each nation",
        figures=(
            Verbatim("category"),
            Verbatim("title"),
            Quantity("least_kn_per_m", "kN/m"),
            Quantity("most_kn_per_m", "kN/m"),
        ),
    )
    FACTOR_OF_WEIGHT_THAT_HOLDS_DOWN = _says(
        "partial factor of weight that holds the thing down, in place of γ_G,fav",
        "partial factor of weight that holds the thing down",
    )
    MOMENT = _says(
        "moment about the origin",
        "moment about the middle of the plate",
    )
    HEIGHT_OF_THE_POINT_OF_PULL = "height_of_the_point_of_pull", "height of the point of pull"
    PART_ALONG_THE_SURFACE = "part_along_the_surface", "part along the surface"
    PART_STRAIGHT_OUT = "part_straight_out", "part straight out"
    DYNAMIC_FACTOR = "dynamic_factor", "dynamic factor"
    WAYS_BETWEEN = "ways_between", "how much harder each of twelve ways is taken, so that what lies between is covered"
    DYNAMIC_PULL = "dynamic_pull", "pull with the dynamic factor"
    ANGLE_FROM_STRAIGHT_OUT = "angle_from_straight_out", "angle from straight out"
    STEADY_PULL_ALONG_THE_WALL = (
        "steady_pull_along_the_wall",
        "steady pull, straight down along the wall",
    )
    ITS_WEIGHT_STRAIGHT_DOWN = "its_weight_straight_down", "its weight, straight down"
    MASS_THAT_HANGS_ON_THIS_EYEBOLT = "mass_that_hangs_on_this_eyebolt", "mass that hangs on this eyebolt"
    STEADY_PULL_AS_GIVEN = "steady_pull_as_given", "steady pull of the rope, as given"
    MOMENT_OF_THE_WEIGHT = _says(
        "moment of the weight about the origin",
        "moment of the weight about the middle of the plate",
    )
    CENTRE_OF_THE_POST_OFF_THE_FACE = "centre_of_the_post_off_the_face", "centre of the post off the face"
    MOMENT_OF_THE_LINE_LOAD = _says(
        "moment of the line load about the origin",
        "moment of the line load about the middle of the plate",
    )
    FORCE_ALONG_THE_RAIL = "force_along_the_rail", "force along the rail"
    WEIGHT_OF_THE_POST = (
        "weight_of_the_post",
        "weight of the post and its share of the rail",
    )
    MASS_OF_THE_POST = (
        "mass_of_the_post",
        "mass of the post and its share of the rail",
    )
    POST_WHERE_THE_RAIL_RUNS_ON = (
        "post_where_the_rail_runs_on",
        "load of a post over that of one span, rail running on over it",
    )
    POST_WHERE_THE_RAIL_IS_JOINTED = (
        "post_where_the_rail_is_jointed",
        "load of a post over that of one span, rail jointed here",
    )
    FORCE_OF_THE_RAIL_ON_THE_POST = "force_of_the_rail_on_the_post", "force of the rail on the post"
    LENGTH_OF_RAIL_THAT_THE_POST_CARRIES = (
        "length_of_rail_that_the_post_carries",
        "length of rail that the post carries",
    )
    LENGTH_OF_RAIL_THAT_AN_END_POST_CARRIES = (
        "length_of_rail_that_an_end_post_carries",
        "length of rail that an end post carries",
    )
    SPACING_BEYOND = "spacing_beyond", "distance from the next post to the one after it"
    LENGTH_OF_RAIL_THAT_TURNS_IT = (
        "length_of_rail_that_turns_it",
        "length of rail that pushes the post the other way, by people beyond the next post",
    )
    SPACING_ON_THE_OTHER_SIDE = "spacing_on_the_other_side", "distance to the next post on the other side"
    LENGTH_OF_THE_OTHER_RAIL = "length_of_the_other_rail", "length of the other rail that a corner post carries"
    FORCE_OF_THE_OTHER_RAIL = "force_of_the_other_rail", "force of the other rail on the corner post"
    LENGTH_OF_RAIL_AS_A_BEAM = "length_of_rail_as_a_beam", "length of rail that the post carries of a stiff rail"
    SPACING_OF_THE_POSTS = "spacing_of_the_posts", "spacing of the posts"
    HEIGHT_OF_THE_RAIL_OVER_THE_PLATE = _says(
        "height of the rail over the origin",
        "height of the rail over the middle of the plate",
    )
    HEIGHT_OF_THE_LOAD_OVER_THE_PLATE = _says(
        "height of the load over the origin",
        "height of the load over the middle of the plate",
    )
    FIXING_BELOW_THE_FLOOR = "fixing_below_the_floor", "fixing below the floor"
    HEIGHT_OF_THE_LINE_LOAD = (
        "height_of_the_line_load",
        "height at which the line load acts over the floor",
    )
    GREATEST_HEIGHT_OF_THE_LINE_LOAD = (
        "greatest_height_of_the_line_load",
        "greatest height at which the line load acts",
    )
    HEIGHT_OF_THE_RAIL_OVER_THE_FLOOR = "height_of_the_rail_over_the_floor", "height of the rail over the floor"
    LINE_LOAD_AS_GIVEN = "line_load_as_given", "line load as given"
    DYNAMIC_TORQUE = "dynamic_torque", "torque with the dynamic factor"
    TORQUE_IN_SERVICE = "torque_in_service", "torque in service"
    HEIGHT_OF_THE_HORIZONTAL_FORCE = "height_of_the_horizontal_force", "height of the horizontal force"
    DYNAMIC_HORIZONTAL_FORCE = (
        "dynamic_horizontal_force",
        "horizontal force with the dynamic factor",
    )
    HORIZONTAL_FORCE_IN_SERVICE = "horizontal_force_in_service", "horizontal force in service"
    OVERTURNING_BY_WHAT_MOVES = _says(
        "overturning of D_k sideways about the origin",
        "overturning by what moves, when it pushes sideways",
    )
    WHAT_MOVES = (
        "what_moves",
        "what moves, as a static force at the centre of mass",
    )
    Y_OF_THE_CENTRE_OF_MASS = _says(
        "y of the centre of mass",
        "centre of mass to the left of the middle of the plate",
    )
    X_OF_THE_CENTRE_OF_MASS = _says(
        "x of the centre of mass",
        "centre of mass ahead of the middle of the plate",
    )
    HEIGHT_OF_THE_CENTRE_OF_MASS = "height_of_the_centre_of_mass", "height of the centre of mass"
    WEIGHT = "weight", "weight"
    MASS = "mass", "mass"
    WEIGHT_OF_THE_FILLING = (
        "weight_of_the_filling",
        "weight of the filling on the support",
    )
    WEIGHT_OF_THE_EMPTY_PIPE = (
        "weight_of_the_empty_pipe",
        "weight of the empty pipe on the support",
    )
    MOMENT_OF_THE_FORCE_ALONG_THE_PIPE = _says(
        "moment of the force along the pipe about the origin",
        "moment of the force along the pipe about the middle of the plate",
    )
    AXIS_OF_THE_PIPE_OFF_THE_SURFACE = "axis_of_the_pipe_off_the_surface", "axis of the pipe off the surface"
    TOTAL_MASS_ON_THIS_SUPPORT = "total_mass_on_this_support", "total mass on this support"
    SWING_OVER_WEIGHT = "swing_over_weight", "push of a support that swings over the weight on it"
    SWING_ANY_WAY = "swing_any_way", "push of a support that swings, any way in the plane of the concrete or off a wall"
    LENGTH_OF_PIPE_ON_THIS_SUPPORT = (
        "length_of_pipe_on_this_support",
        "length of pipe that this support carries, at least half of both spans beside it",
    )
    LENGTH_OF_FILLING_ON_THIS_SUPPORT = (
        "length_of_filling_on_this_support",
        "length of filling that this support carries, where only spans that load it are full",
    )
    LENGTH_OF_PIPE_THAT_LIFTS = (
        "length_of_pipe_that_lifts",
        "length of full pipe that this support carries at least; with a minus the pipe lifts it",
    )
    LENGTH_OF_FILLING_THAT_LIFTS = (
        "length_of_filling_that_lifts",
        "length of filling that this support carries at least, where only spans that lift it are full",
    )
    LIFT_BY_THE_EMPTY_PIPE = "lift_by_the_empty_pipe", "least load of the empty pipe on the support"
    LIFT_BY_THE_FILLING = "lift_by_the_filling", "least load of the filling on the support"
    FILLING_OF_ONE_METRE = "filling_of_one_metre", "mass of the filling of one metre"
    MASS_OF_ONE_METRE_EMPTY = "mass_of_one_metre_empty", "mass of one metre empty"
    INSULATION_OF_ONE_METRE = "insulation_of_one_metre", "insulation of one metre"
    DENSITY_OF_THE_FILLING = "density_of_the_filling", "density of the filling"
    DENSITY_OF_THE_WALL = "density_of_the_wall", "density of the wall"
    THICKNESS_OF_THE_WALL = "thickness_of_the_wall", "thickness of the wall"
    OUTER_DIAMETER = "outer_diameter", "outer diameter"
    MASS_OF_ONE_METRE_FULL = "mass_of_one_metre_full", "mass of one metre of the full pipe"
    MASS_OF_ONE_SPAN = (
        "mass_of_one_span",
        "mass of full pipe from this support to the next",
    )
    SPAN = "span", "distance to the next support"
    SPAN_ON_THE_OTHER_SIDE = "span_on_the_other_side", "distance to the next support on the other side"
    LONGEST_SPAN_OF_THE_RULEBOOK = (
        "longest_span_of_the_rulebook",
        "longest span that the company's pipes have, by the rulebook, taken where a side was not told",
    )
    SPAN_BEYOND = "span_beyond", "distance from there to the support after it"
    PLACEMENT_LOAD_OF_THE_RULEBOOK = "placement_load_of_the_rulebook", "placement load of the rulebook"
    PLACEMENT_LOAD_AS_GIVEN = "placement_load_as_given", "placement load as given"
    LIFT_LESS_WEIGHT_BEFORE_ANY_FACTOR = "lift_less_weight_before_any_factor", "lift less weight, before any factor"
    WEIGHT_ON_ONE_UPRIGHT = "weight_on_one_upright", "weight on one upright"
    MASS_OF_THE_EMPTY_FRAME = "mass_of_the_empty_frame", "mass of the empty frame"
    LIFT_OF_ONE_UPRIGHT_BY_TIPPING = "lift_of_one_upright_by_tipping", "lift of one upright by tipping"
    DISTANCE_OF_THE_UPRIGHTS = "distance_of_the_uprights", "distance of the uprights"
    HEIGHT_OF_THE_LOAD = "height_of_the_load", "height of the load"
    ONE_SPAN_IN_A_LINE = (
        "one_span_in_a_line",
        "one span, which an inner point in a line carries",
    )
    INNER_POINT_OF_A_STIFF_THING = (
        "inner_point_of_a_stiff_thing",
        "load of an inner point over one span, where a stiff thing runs on",
    )
    LEAST_SHARE = (
        "least_share",
        "least share, where it may rest on two points alone",
    )
    UNEVENNESS = (
        "unevenness",
        "load of the most loaded point over that of even sharing",
    )
    SHARE_OF_THE_ONE_POINT = "share_of_the_one_point", "share of the one point"
    PULL_ON_THE_FIXING = "pull_on_the_fixing", "pull on the fixing"
    PERMANENT_SHARE_OF_THE_MASS = "permanent_share_of_the_mass", "permanent share of the mass"
    WEIGHT_OF_THE_HANGER = "weight_of_the_hanger", "weight of the hanger"
    WEIGHT_ON_THE_MOST_LOADED_HANGER = "weight_on_the_most_loaded_hanger", "weight on the most loaded hanger"
    NUMBER_OF_HANGERS = "number_of_hangers", "number of hangers"
    MASS_ON_THE_HANGERS = "mass_on_the_hangers", "mass on the hangers"
    ARM_TO_THE_PRESSURE_POINT = (
        "arm_to_the_pressure_point",
        "arm from the upper fasteners to the pressure point",
    )
    CENTRE_OF_THE_BRACKET_OFF_THE_WALL = "centre_of_the_bracket_off_the_wall", "centre of the bracket off the wall"
    WEIGHT_OF_THE_BRACKET = "weight_of_the_bracket", "weight of the bracket"
    CENTRE_OF_THE_MASS_OFF_THE_WALL = "centre_of_the_mass_off_the_wall", "centre of the mass off the wall"
    WEIGHT_ON_THE_MOST_LOADED_BRACKET = "weight_on_the_most_loaded_bracket", "weight on the most loaded bracket"
    NUMBER_OF_BRACKETS = "number_of_brackets", "number of brackets"
    MASS_ON_THE_BRACKETS = "mass_on_the_brackets", "mass on the brackets"
    STEADY_PULL_OF_THE_ROPE = (
        "steady_pull_of_the_rope",
        "steady pull of the rope, whose upright part holds the whole weight",
    )
    FORCE_ALONG_THE_PIPE_AS_GIVEN = "force_along_the_pipe_as_given", "force along the pipe as given"
    FORCE_ALONG_THE_PIPE_OVER_WEIGHT = (
        "force_along_the_pipe_over_weight",
        "force along the pipe over the weight on the support",
    )
    FORCE_ALONG_THE_PIPE = "force_along_the_pipe", "force along the pipe"
    FORK_LIFT_AS_GIVEN = (
        "fork_lift_as_given",
        "lift by a fork that catches a beam, as given",
    )
    FORK_LIFT_OF_THE_RULEBOOK = (
        "fork_lift_of_the_rulebook",
        "lift by a fork that catches a beam, of the rulebook",
    )
    LARGEST_SHARE_AS_GIVEN = (
        "largest_share_as_given",
        "share of the most loaded point, as given",
    )
    LARGEST_SHARE = "largest_share", "share of the most loaded point"
    PULL_OF_THE_UPPER_FASTENERS = (
        "pull_of_the_upper_fasteners",
        "pull of all upper fasteners together, by hand; a verification finds the pressure point itself",
    )
    WEIGHT_NOT_COUNTED = _says(
        "weight that holds the thing down is not counted, in place of γ_G,fav: this rulebook has no factor for it",
        "weight that holds the thing down is not counted: this rulebook has no factor for it",
    )
    FACTOR_OF_UNFAVOURABLE_PERMANENT_ACTIONS = (
        "factor_of_unfavourable_permanent_actions",
        "partial factor of permanent actions where they are unfavourable",
    )
    FACTOR_OF_FAVOURABLE_PERMANENT_ACTIONS = (
        "factor_of_favourable_permanent_actions",
        "partial factor of permanent actions where they are favourable",
    )
    FACTOR_OF_VARIABLE_ACTIONS = "factor_of_variable_actions", "partial factor of variable actions"
    FREE_FALL = "free_fall", "standard acceleration of free fall"


class Stays(Code):
    """What of a variable load stays for long."""

    WHAT_HANGS = "what_hangs", "what hangs there"
    WHAT_IS_PUT_ON = "what_is_put_on", "what is put on the bracket"
    FULL_PIPE = "full_pipe", "the filling of the pipe, and what pushes along it"


class Points(Code):
    """What shares a mass with others of its kind."""

    HANGERS = "hangers", "hangers"
    BRACKETS = "brackets", "brackets"


class Note(Code):
    """What was assumed beyond inputs that were left out."""

    SPANS_ALIKE = _matters(
        Severity.DECIDE,
        "The posts are equally stiff, and those further on stand no farther apart than the ones told",
        concerns=Audience.CREW,
    )
    CORNER_OF_TWO_RAILS = _matters(
        Severity.DECIDE,
        "Both rails of the corner are pushed at once, the other one either way, as which hand the corner is of is "
        "not told",
        crew="Both rails of the corner are pushed at once, the other one either way",
    )
    WIRE_STAYS = _matters(
        Severity.KNOW,
        "The force along the rail stays for long, as that of a stretched wire does, and acts alone too",
        crew="The force along the rail pulls all the time",
    )
    MASS_EVENLY_SPREAD = Meaning(
        "Several points share a mass: its centre was taken in the middle of them.",
        (
            (
                "The {in_line} stand in a line at equal distances, the mass is evenly spread and its centre is "
                "in the middle of the {many}. Where it is not, the nearest takes up to all of it: work out or "
                "weigh what the most loaded one carries, and give that as largest_share, or as the mass on one "
                "alone"
            ),
            (
                "The mass is evenly spread and its centre is in the middle of the {many}. Where it is not, the "
                "nearest takes up to all of it: work out or weigh what the most loaded one carries, and give "
                "that as largest_share, or as the mass on one alone"
            ),
        ),
        (
            (
                "The {in_line} stand in a line at equal distances, with the mass evenly spread over them. "
                "Where it is not so, the nearest takes up to all of it: weigh what the most loaded one "
                "carries, and give that as the mass on one alone"
            ),
            (
                "The mass is evenly spread over the {many}. Where it is not, the nearest takes up to all of "
                "it: weigh what the most loaded one carries, and give that as the mass on one alone"
            ),
        ),
        severity=Severity.DECIDE,
        concerns=Audience.CREW,
        figures=(Term("many", Points), Term("in_line", Points)),
    )
    LARGEST_SHARE_TO_BE_SHOWN = Meaning(
        "The share of the most loaded point was given and has to be shown.",
        "Which share the most loaded of the {many} carries was given, and has to be shown by statics or weighing",
        severity=Severity.DECIDE,
        figures=(Term("many", Points),),
    )
    HANGS_PLUMB = _matters(Severity.DECIDE, "The hanger hangs plumb", concerns=Audience.CREW)
    VARIABLE_LOAD_STAYS = Meaning(
        "A variable load was taken to stay for long.",
        "Stays for long: {what}",
        severity=Severity.KNOW,
        figures=(Term("what", Stays),),
    )
    MASS_ON_THIS_SUPPORT = Meaning(
        "What one support of a pipe carries in all.",
        "This support carries {mass_kg:.4g} kg in all, the pipe full",
        severity=Severity.KNOW,
        figures=(Quantity("mass_kg", "kg"),),
    )
    PIPE_OF_ONE_STIFFNESS = _matters(
        Severity.DECIDE,
        "The pipe is of one stiffness, and its supports stand level",
        concerns=Audience.CREW,
    )
    NO_LONGER_SPAN = Meaning(
        "No span of the pipe further on is longer than the longest told.",
        "No two supports of this pipe further on stand farther apart than {longest_mm:.6g} mm, the longest told. A "
        "longer span turns the pipe about its support: this one can then carry several times as much, or be "
        "lifted. Measure what stands beyond, and give it where it is longer",
        severity=Severity.DECIDE,
        concerns=Audience.CREW,
        figures=(Quantity("longest_mm", "mm"),),
    )
    NO_LONGER_SPAN_THAN_THE_RULES = Meaning(
        "No span of the pipe further on is longer than the rulebook says that the company's pipes have.",
        "What stands beyond was not told on both sides. No two supports of this pipe further on stand farther "
        "apart than {longest_mm:.6g} mm, the longest span that the company's pipes have: as long a one was taken, "
        "with its lift. Measure what stands beyond: less eases this support, and more has to be given",
        severity=Severity.DECIDE,
        concerns=Audience.CREW,
        figures=(Quantity("longest_mm", "mm"),),
    )
    OTHER_SPAN_ALIKE = Meaning(
        "The span on the other side was not told and was taken to be as the first one.",
        "The next support on the other side was not told and is taken to be as far, {span_mm:.6g} mm",
        severity=Severity.DECIDE,
        concerns=Audience.CREW,
        figures=(Quantity("span_mm", "mm"),),
    )
    X_ALONG_THE_PIPE = _matters(
        Severity.DECIDE,
        "x points along the pipe, which runs level",
        crew="The pipe runs the way you look, and level",
        concerns=Audience.CREW,
    )
    X_ALONG_THE_PIPE_ON_A_WALL = _matters(
        Severity.DECIDE,
        "x points along the pipe, which runs level along the wall",
        crew="The pipe runs level along the wall, on the plan from left to right, and not up or down it",
        concerns=Audience.CREW,
    )
    AXES_OF_THE_BASE = _matters(
        Severity.KNOW,
        "x runs along the base as it is drawn and y across it, to the left of x seen from above",
        crew="You look along the base, as it is drawn",
    )
    WHOLE_BASE_IS_ONE_FIXTURE = _matters(
        Severity.DECIDE, "The whole base is one fixture with all its fasteners, stiff enough for that"
    )
    SERVICE_TORQUE_STAYS = _matters(Severity.KNOW, "Torque and push stay for long; what swings does not")
    PUSH_IN_FULL_BOTH_WAYS = _matters(
        Severity.KNOW,
        (
            "Which way the push acts is not known, and beside what swings every way would be more load cases than "
            "a request holds: both were taken in full along two axes at once, which covers every way and is up to "
            "41 % too much. Give horizontal_direction where it is known"
        ),
        crew=(
            "Which way the push acts is not known: it and what swings were taken in full two ways at once, which "
            "is up to 41 % too much. Say which way it acts where you know it"
        ),
    )
    NOTHING_PUSHES_SIDEWAYS = Meaning(
        "Nothing was said to push the thing or to move in it.",
        "Nothing was said to push it sideways or to move in it, so only its weight is left: people who lean on "
        "it, a knock, pipes that pull and water that shifts are not in these loads; give a push where any of "
        "them can be",
        severity=Severity.DECIDE,
        concerns=Audience.CREW,
    )
    ONE_EYEBOLT_TAKES_ALL = _matters(
        Severity.DECIDE, "This one eyebolt takes the whole of what was given", concerns=Audience.CREW
    )
    PULL_IN_THE_PLANE_OF_THE_EYE = _matters(
        Severity.DECIDE, "The eye is turned so that the pull acts in its plane", concerns=Audience.CREW
    )
    NO_FORK_UPLIFT = Meaning(
        "No lift by the fork of a truck was taken.",
        "NO lift by the fork of a truck is taken: these load cases are for a rack without trucks",
        severity=Severity.DECIDE,
        concerns=Audience.CREW,
    )
    PLACEMENT_LOAD_TAKEN = Meaning(
        "How hard goods push while they are put in was not told and is as the rulebook says.",
        "How hard goods push while they are put in was not told and is taken as {push_kn} kN at the highest beam: "
        "more has to be given",
        severity=Severity.DECIDE,
        concerns=Audience.CREW,
        figures=(Quantity("push_kn", "kN"),),
    )
    FORK_UPLIFT_TOGETHER = Meaning(
        "A lift by the fork of a truck was taken together with the placement load.",
        "A fork that catches a beam lifts this upright with {lift_kn} kN, together with the placement load",
        severity=Severity.DECIDE,
        concerns=Audience.CREW,
        figures=(Quantity("lift_kn", "kN"),),
    )
    OTHER_UPRIGHT_AT_PLUS_X = _matters(
        Severity.KNOW,
        "x points across the rack to the other upright of the frame",
        crew="You look across the rack to the other upright of the frame",
    )
    ONE_UPRIGHT_TAKES_THE_SHEAR = _matters(
        Severity.KNOW,
        "This upright takes the whole placement load as shear",
        crew="This upright takes the whole placement load along the floor",
    )
    RACK_EMPTY = _matters(Severity.DECIDE, "The rack is empty: goods would hold it down", concerns=Audience.CREW)
    FOOT_HINGED = _matters(Severity.DECIDE, "The foot takes no moment: beams and bracing do")


class Caution(Code):
    """What to beware of."""

    ACTIONS_TO_BE_CONFIRMED = _matters(
        Severity.DECIDE,
        (
            "These actions follow from what was typed in and from simple statics. A competent "
            "structural engineer confirms them, and what else may act (wind, water, impact, "
            "earthquake, fire), before anyone relies on them."
        ),
        crew=(
            "These loads follow from what was typed in and from simple statics. A competent "
            "structural engineer confirms them, and what else may act (wind, water, impact, "
            "earthquake, fire), before anyone relies on them."
        ),
    )
    GUARD_INFILL_NOT_COVERED = _matters(
        Severity.DECIDE,
        (
            "Only the line load on the rail is taken: loads on the infill, impact, crowds beyond the "
            "category and the rules of the place for guards are not."
        ),
    )
    RAIL_CONTINUITY = _matters(
        Severity.DECIDE,
        (
            "The share of the rail holds for posts at equal distances that give way alike. A stiffer "
            "post, a rail that reaches out beyond its last post, or a gate sends more to one of them."
        ),
    )
    POST_AND_RAIL_NOT_CHECKED = _matters(
        Severity.DECIDE, "Post, rail and base plate are not checked, nor how far they bend."
    )
    CLIMBING_AND_LEANING = _matters(
        Severity.DECIDE,
        "People lean on, stand on and hang things from brackets that were not meant for it.",
        concerns=Audience.CREW,
    )
    BRACKET_NOT_CHECKED = _matters(Severity.DECIDE, "The bracket itself, its arm and its weld are not checked.")
    ONE_HANGER_FAILS = _matters(
        Severity.DECIDE,
        (
            "Where one hanger gives way the others take its load: whether they can is a question of "
            "its own, and the thing below needs a second hold where people walk."
        ),
    )
    ONLY_HANGER_FAILS = _matters(
        Severity.DECIDE,
        (
            "Where the hanger gives way nothing else takes its load: what hangs there needs a second "
            "hold where people walk."
        ),
    )
    FORK_UPLIFT = _matters(
        Severity.DECIDE,
        (
            "The fork of a truck that catches a beam while it rises lifts the upright, by several kN "
            "(EN 15512 speaks of 5 kN, from memory). Look in the assumptions whether these load cases"
            " have it, and with how much."
        ),
        crew=(
            "The fork of a truck that catches a beam while it rises lifts the upright, by several kN."
            " Look at what was taken whether it is in these loads, and with how much."
        ),
    )
    WEIGHT_HOLDS_DOWN = _matters(
        Severity.DECIDE,
        (
            "Weight that holds the thing down is counted at less than its full value, by γ_G,stb in "
            "the working, because losing its balance is the question (EN 1990, Table A1.2(A), rather "
            "than 1.0 of Table A1.2(B)). It must really be there: an empty tank, a machine half taken"
            " apart or a rack without its shelves weighs less. Give the least that will ever stand "
            "there, and ask again with the most."
        ),
        crew=(
            "Weight that holds the thing down is counted at less than its full value, because losing "
            "its balance is the question. It must really be there: an empty tank, a machine half "
            "taken apart or a rack without its shelves weighs less. Give the least that will ever "
            "stand there, and ask again with the most."
        ),
        concerns=Audience.CREW,
    )
    TRUCK_IMPACT_NOT_COVERED = _matters(
        Severity.DECIDE,
        "The blow of a truck against the upright is an accident of its own and not in these load cases.",
    )
    RACKING_STABILITY_NOT_CHECKED = _matters(
        Severity.DECIDE,
        (
            "The stability of the racking along and across the aisle comes from its own design; this "
            "is one upright under a placement load."
        ),
    )
    LOADS_ALONG_THE_PIPE = _matters(
        Severity.DECIDE,
        (
            "Fixed points, bends, shut valves and water hammer can push along the pipe far harder "
            "than the share taken: take the force from the design of the pipework."
        ),
    )
    THIS_SUPPORT_LIFTS = _matters(
        Severity.DECIDE,
        (
            "The pipe, full or filled in part, can lift this support: a long span beyond the next one turns the pipe "
            "about that. A rod or a loose clamp does not hold it down, and then the next support carries it alone."
        ),
        concerns=Audience.CREW,
    )
    LONGER_SPAN_MAY_LIFT = _matters(
        Severity.DECIDE,
        (
            "What stands beyond the next supports was not told on both sides. A span there that is longer than "
            "the ones told can load this support several times harder, or lift it off: such loads are not in "
            "these actions. Measure the spans beyond before anyone relies on them."
        ),
        concerns=Audience.CREW,
    )
    NEXT_SUPPORT_LIFTS = _matters(
        Severity.DECIDE,
        (
            "The full pipe lifts a support near this one, which pries on this one: it was counted as held down. "
            "That support needs a calculation of its own; a rod does not hold a pipe down."
        ),
        concerns=Audience.CREW,
    )
    FULL_FOR_THE_TEST = _matters(
        Severity.DECIDE,
        "A pipe that is tested with water is full of water once, whatever it carries later.",
        concerns=Audience.CREW,
    )
    FATIGUE_AND_VIBRATION_NOT_CHECKED = _matters(
        Severity.DECIDE,
        (
            "Fatigue and vibration of fasteners and base are not checked; an equivalent static action"
            " stands in their place. Moving machines need more."
        ),
    )
    STARTING_AND_SHORT_CIRCUIT = _matters(
        Severity.DECIDE,
        (
            "Torques at starting, blocking and short circuit can be several times the rated torque: "
            "take them from the maker of the machine."
        ),
    )
    ONE_EYEBOLT_TAKES_ALL = _matters(
        Severity.DECIDE,
        (
            "Several slings never share as drawn: they differ in length, and a stiff load hangs on "
            "two of four. Here one eyebolt takes the whole of what was given. Where slings spread, "
            "the angle of each sets its pull: take it from the lifting plan."
        ),
        concerns=Audience.CREW,
    )
    LIFTING_GEAR_RULES = _matters(
        Severity.DECIDE,
        (
            "Lifting gear comes under rules of its own: a marked working load, a test before first "
            "use, inspections, and a competent person who releases it. These load cases replace none "
            "of that."
        ),
        concerns=Audience.CREW,
    )
    NO_ONE_UNDER_THE_LOAD = _matters(
        Severity.STOPS,
        "Nobody stands under a lifted load, and nobody is lifted on an eyebolt in concrete.",
        concerns=Audience.CREW,
    )


class Because(Code):
    """Why a load model takes what it takes for an input, or what that comes to."""

    CARRIES_MORE = "carries_more", "which carries the more"
    LOADS_THE_POST_MORE = "loads_the_post_more", "which loads the post more"
    POST_ON_TOP = "post_on_top", "as the post stands on top"
    WEIGHT_ONLY_HELPS = "weight_only_helps", "on top of a slab, where weight only helps"
    FROM_EITHER_SIDE = "from_either_side", "from either side"
    NO_SUCH_FORCE = "no_such_force", "no such force"
    ALL_VARIABLE = "all_variable", "all of it variable"
    BRACKET_WEIGHS_LITTLE = "bracket_weighs_little", "the bracket weighs next to nothing"
    HANGER_WEIGHS_LITTLE = "hanger_weighs_little", "the hanger weighs next to nothing"
    LOADS_ONE_MORE = "loads_one_more", "which loads one of them more"
    NOTHING_HOLDS_DOWN = "nothing_holds_down", "nothing holds it down"
    MORE_THAN_ONE_SPAN = "more_than_one_span", "and this support gets more than one span"
    MASS_ALL_VARIABLE = "mass_all_variable", "all of the mass per metre counts as variable"
    NO_INSULATION = "no_insulation", "no insulation"
    OVER_THE_ORIGIN = _says("over the origin", "over the middle of the plate")
    NO_TORQUE = "no_torque", "no torque leaves the machine"
    NOTHING_PUSHES = "nothing_pushes", "nothing pushes it sideways"
    EVERY_WAY = "every_way", "and each way between is covered"
    HEAVIEST = "heaviest", "the heaviest in the rulebook"
    COSTS_MOST = "costs_most", "whose figure costs most in the rulebook"


def _taken(meaning: str, lacking: str) -> Meaning:
    """What was taken: a number in its unit, which a ratio or a count has none of, or a word of the input's own list."""
    return Meaning(
        f"{meaning}: a number in unit, or a word of the input's own list, was taken.",
        (
            f"{{input}} {lacking}: {{taken}} {{unit}}, {{because}}",
            f"{{input}} {lacking}: {{taken}}, {{because}}",
            f"{{input}} {lacking}: {{taken}}",
        ),
        severity=Severity.DECIDE,
        figures=(Verbatim("input"), Verbatim("taken"), Verbatim("unit"), Term("because", Because)),
    )


class InputTaken(Code):
    """What is taken for an input that was left out or is not known."""

    NOT_GIVEN = "{input}_not_given", _taken("An input was left out", "not given")
    UNKNOWN = "{input}_unknown", _taken("An input is not known", "not known")
