"""What a verification shows of checks, forces, plate, fastener and site, each field with where its value comes from."""

from service.contract.fields import Items, Part, Whole
from service.contract.statement import AnswerSchema, Free, flag, many, number, one_of, part, sentence, string, words
from service.contract.terms import COMBINATIONS, EDGES, MECHANISMS, MODES
from service.contract.verification_codes import FixtureFigure


class Governing(AnswerSchema):
    """The check with the highest utilisation."""

    mode = one_of("Failure mode.", MODES, of="check.mode.value")
    load_case = string("Name of the load case, or of the combination of actions.", of="case.name")
    edge = one_of("Edge of the member, where the mode belongs to one.", EDGES, nullable=True, of="check.edge")
    utilisation = number("Utilisation, site reduction included.", "1", minimum=0, of="check.utilisation")


class TraceEntry(AnswerSchema):
    """One step of the calculation."""

    symbol = string("Symbol of EN 1992-4, for example N0_Rk,c.")
    value = Free("Value, rounded to six significant digits.", ("number", "string", "boolean", "null"))
    unit = string("Unit of the value; null: none.", nullable=True)
    expression = sentence("How the value follows from earlier ones; null: it is taken as it is.", nullable=True)
    clause = string("Clause or equation; null: none.", nullable=True)
    rule = string("Rulebook path of the figure; null: it is no figure of the rulebook.", nullable=True)


class Check(AnswerSchema):
    """One failure mode under one load case."""

    mode = one_of("Failure mode.", MODES, of="check.mode.value")
    load_case = string("Name of the load case, or of the combination of actions.", of="case.name")
    combination = one_of("Which factors stand on the load case.", COMBINATIONS, of="case.combination")
    fastener_numbers = many(
        Whole("Number of a fastener.", minimum=1),
        "Fasteners that the check is about, from 1 in the order of positions.",
        of="check.fastener_numbers",
    )
    edge = one_of("Edge of the member, where the mode belongs to one.", EDGES, nullable=True, of="check.edge")
    clause = string("Clause of the standard.", of="check.clause")
    design_action_kn = number("Design action; null for interaction.", "kN", nullable=True, of="check.action_n")
    characteristic_resistance_kn = number(
        "Characteristic resistance; null for interaction.", "kN", nullable=True, of="check.characteristic_n"
    )
    partial_factor = number(
        "Partial factor of the resistance; null for interaction.", "1", nullable=True, of="check.partial_factor"
    )
    design_resistance_kn = number(
        "Design resistance, before the site reduction; null for interaction.", "kN", nullable=True, of="check.design_n"
    )
    utilisation = number("Utilisation, site reduction included.", "1", minimum=0, of="check.utilisation")
    trace = Items(Part(TraceEntry, "One step of the calculation."), "Steps in order of use; with detail full only.")


class ChosenFastener(AnswerSchema):
    """The fastener that the answer is about."""

    family = string("Family.", of="selection.family_id")
    title = sentence("Title of the family.", of="selection.title")
    mechanism = one_of("Mechanism.", MECHANISMS, of="selection.mechanism")
    size = string("Size.", of="selection.size_name")
    embedment_mm = number("Effective embedment depth h_ef.", "mm", minimum=0, of="request.fastener.embedment_mm")
    length_mm = number(
        "Length to buy; null: the family has no lengths, or none is found.",
        "mm",
        nullable=True,
        of="length.length_mm",
    )
    article_code = string("Article code of that length; null: none.", nullable=True, of="length.article_code")


class FastenerForce(AnswerSchema):
    """Forces of one fastener."""

    x_mm = number("x of the fastener.", "mm")
    y_mm = number("y of the fastener.", "mm")
    tension_kn = number("Tension; negative: compression in the fastener.", "kN", of="tension_n")
    shear_x_kn = number("Shear along x.", "kN", of="shear_x_n")
    shear_y_kn = number("Shear along y.", "kN", of="shear_y_n")
    shear_kn = number("Resultant shear.", "kN", minimum=0, of="shear_n")
    number = Whole("Number of the fastener, from 1 in the order of positions.", minimum=1, required=True)


class Contact(AnswerSchema):
    """Pressure between fixture and concrete."""

    compression_kn = number("Resultant of the pressure.", "kN", minimum=0, of="compression_n")
    x_mm = number("x of the resultant.", "mm")
    y_mm = number("y of the resultant.", "mm")
    pressure_mpa = number("Highest pressure.", "MPa", minimum=0)


class ActionFactor(AnswerSchema):
    """What an action counts in a combination."""

    action = string("Name of the action.")
    factor = number("Its factor: partial factor times combination factor.", "1", minimum=0)


class ActionCombination(AnswerSchema):
    """Actions that act together, with their factors and their sum."""

    name = string("Name of the combination, which stands as load_case of its checks.")
    combination = one_of("Equation of EN 1990, 6.4.3.", COMBINATIONS, of="found.equation.value")
    leading = string("The leading variable action; null: none acts.", nullable=True, of="found.leading")
    factors = many(ActionFactor, "The actions that act, each with its factor.")
    normal_kn = number("Design normal force, positive when it pulls.", "kN", of="components.normal_kn")
    shear_x_kn = number("Design shear along x.", "kN", of="components.shear_x_kn")
    shear_y_kn = number("Design shear along y.", "kN", of="components.shear_y_kn")
    moment_x_knm = number("Design moment about x.", "kNm", of="components.moment_x_knm")
    moment_y_knm = number("Design moment about y.", "kNm", of="components.moment_y_knm")
    torsion_knm = number("Design moment about z.", "kNm", of="components.torsion_knm")


def action_combinations(of: str | None = None) -> Items:
    """State the combinations of an answer to a request with actions.

    Args:
        of: Where they come from.

    Returns:
        The field.
    """
    return Items(
        Part(ActionCombination, "One combination."),
        "The combinations of the actions, all of which are verified; equal ones once, and none that is only a smaller "
        "multiple of another. Only where the request has actions.",
        of=of,
    )


class LoadCaseForces(AnswerSchema):
    """Forces under one load case."""

    load_case = string("Name of the load case, or of the combination of actions.", of="case.name")
    combination = one_of("Which factors stand on the load case.", COMBINATIONS, of="case.combination")
    fasteners = many(FastenerForce, "Forces of each fastener.")
    contact = part(Contact, "Contact between fixture and concrete; null: none.", nullable=True)


class Permissible(AnswerSchema):
    """What the group may carry in service in the direction and eccentricity of a load case."""

    load_case = string("Name of the load case, or of the combination of actions.")
    growth = number("Factor by which all actions may grow together; null: no check limits it.", "1", nullable=True)
    service_kn = number("What the group may carry in service; null: no check limits it.", "kN", nullable=True)
    service_kg = number("The same as a hanging mass; null unless it is a pure pull.", "kg", nullable=True)
    basis = sentence("How the figures follow.")


class Plate(AnswerSchema):
    """Whether the fixture is stiff enough for the method."""

    status = one_of("Whether the plate was checked.", ("checked", "not_checked"))
    reason = sentence("Why not; null: it was.", nullable=True)
    missing = words(
        "What of the fixture is not given, without which it cannot be checked.",
        tuple(each.value for each in FixtureFigure),
    )
    load_case = string("Name of the load case that uses most of the plate; null: none.", nullable=True)
    stress_mpa = number("Elastic stress in the plate.", "MPa", nullable=True)
    yield_mpa = number("Yield strength of the plate.", "MPa", nullable=True)
    stress_ratio = number("Stress over yield strength.", "1", nullable=True)
    deformation_mm = number(
        "How far the plate bends out of its plane between fasteners and what it carries.", "mm", nullable=True
    )
    deformation_max_mm = number("The most that is negligible beside what the fasteners give way.", "mm", nullable=True)
    contact_pressure_mpa = number("Highest contact pressure.", "MPa", nullable=True)
    utilisation_half_contact_stiffness = number(
        "Governing utilisation under half the contact stiffness.", "1", nullable=True
    )


class SiteFactor(AnswerSchema):
    """What one condition of the site costs."""

    condition = string("Condition, for example torque_control.")
    value = string("Value of the condition.")
    factor = number("Factor on the resistance.", "1", minimum=0, maximum=1)
    reason = sentence("Why it is so, in words.")
    rule = string("Rulebook path of the factor; null: the condition does not matter for the mechanism.", nullable=True)


class SiteReduction(AnswerSchema):
    """What is taken off because of how sure the site can be."""

    factor = number("Product of the site factors; no floor lifts it.", "1", minimum=0, maximum=1)
    floor = number("Floor of the rulebook: below it nothing is fixed.", "1", minimum=0, maximum=1)
    below_floor = flag("True: the product is below the floor; improve the site first.")
    parts = many(SiteFactor, "The factors.")
