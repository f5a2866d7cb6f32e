"""Load models: requests made of what each model asks for, the answer, and examples."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from service.contract.common import Assumption
from service.contract.fields import UNKNOWN, Choice, Day, Number, Strict, Text, Whole, Word
from service.contract.fixing import CONSEQUENCES, Action, LoadCase, LoadsFrom
from service.contract.identity import RulebookIdentity
from service.contract.load_model_codes import Caution, InputTaken, Note, StepCode
from service.contract.paths import Link, Path
from service.contract.request_schema import RequestSchema
from service.contract.statement import AnswerSchema, Free, Said, code, flag, many, number, one_of, part, string
from service.contract.terms import MOST_ACTIONS
from service.site.load_models import MODELS, inputs
from service.site.load_models.inputs import Condition
from service.site.load_models.model import LoadModel
from service.site.load_models.surfaces import SOFFIT, TOP_OF_SLAB, VERTICAL_FACE
from service.words import Code

KINDS = ("number", "whole_number", "word")
SURFACES = tuple(surface.name for surface in (TOP_OF_SLAB, VERTICAL_FACE, SOFFIT))


class RulebookChoice(RequestSchema):
    """By which rulebook an answer is made, and for which day."""

    rulebook = Text("Version of the rulebook.", longest=40, absent="the version in force")
    assessed_on = Day("Day for which the answer is made.", absent="today, which the answer names")


class LoadModelQuery(RequestSchema):
    """Query parameters of the list of load models."""

    rulebook = Text(
        "Version whose words are listed, one listed at /v1/rulebooks.", longest=40, absent="the version in force"
    )


def request_of(model: LoadModel) -> type[RequestSchema]:
    """Make the request schema of a load model of what it asks for."""
    name = "".join(word.title() for word in model.name.split("_")) + "Request"
    fields = {asked.name: _field(asked) for asked in model.inputs}
    return type(name, (RulebookChoice,), {"__doc__": f"{model.title} to be turned into load cases."} | fields)


def _field(asked: inputs.Input) -> Strict:
    """Make the field of an input."""
    common: dict[str, Any] = {"required": asked.absent is None, "absent": asked.absent, "default": asked.default}
    if isinstance(asked, inputs.NumberInput):
        if asked.whole:
            return Whole(asked.words, minimum=int(asked.minimum), maximum=int(asked.maximum), **common)
        return Number(asked.words, asked.unit, minimum=asked.minimum, maximum=asked.maximum, **common)
    if isinstance(asked, inputs.Word):
        return Choice(asked.words, asked.values, **common)
    if isinstance(asked, inputs.RuleWord):
        listed = f"{asked.words} What a rulebook allows is listed at /v1/load-models."
        contract = {"x-rules": f"factors/{asked.file}#/{asked.table}"}
        return Word(listed, **common, **contract)
    raise TypeError(f"{asked.name} is no kind of input that a request can have")


REQUESTS: Mapping[str, type[RequestSchema]] = MappingProxyType({
    name: request_of(model) for name, model in MODELS.items()
})


def inputs_taken(code: Code) -> tuple[str, ...]:
    """List the inputs that a code of what is taken for an input may be of.

    Args:
        code: A member of InputTaken.

    Returns:
        The names of the inputs of all load models, each once.
    """
    unknown = code is InputTaken.UNKNOWN
    asked = (one for model in MODELS.values() for one in model.inputs if one.default is not None)
    return tuple(dict.fromkeys(one.name for one in asked if not unknown or one.default == UNKNOWN))


class Where(AnswerSchema):
    """What has to hold of another input."""

    name = string("The other input.")
    condition = one_of(
        "What has to hold of it: is, the word in value; above, the figure in above; given, or not given.",
        tuple(Condition),
    )
    value = string("The word that it has to be; null: any.", nullable=True)
    above = number("The figure that it has to exceed, in its unit; null: none.", "1", nullable=True)


class CrewInput(AnswerSchema):
    """What a form for crews says of an input, where they stand at the thing and know no axes."""

    label = string("What it is called.")
    hint = string("What it means.")
    left_empty = string("What leaving it empty means; null: it must be given.", nullable=True)
    first = flag("Whether it is asked at once; the others may be folded away.")
    directed = flag("Whether it is answered as seen from where one stands.")


class AllowedWord(AnswerSchema):
    """A word that an input may be."""

    value = string("The word.")
    title = string("What it means, in a few words.")


class LoadModelInput(AnswerSchema):
    """What a load model asks for, enough for a form."""

    name = string("Name of the field.")
    title = string("What a form calls it, in a few words; its unit stands beside.")
    meaning = string("What it means.")
    kind = one_of("What kind of value it takes.", KINDS)
    unit = string("Unit, 1 for a ratio or a count; null: it is a word.", nullable=True)
    minimum = number("Least value; null: it is a word.", "1", nullable=True)
    maximum = number("Greatest value; null: it is a word.", "1", nullable=True)
    allowed = many(AllowedWord, "The words it may be; null: it is a number.", nullable=True)
    required = flag("Whether it must be given whatever the others say.")
    absent = string("What leaving it out means; null: it must be given.", nullable=True)
    default = Free("What is taken where it is left out; null: nothing, or what follows from others.")
    needed_where = part(Where, "Where it must be given all the same; null: nowhere.", nullable=True)
    only_where = part(Where, "Where alone it has an effect, and is refused elsewhere; null: everywhere.", nullable=True)
    crew = part(CrewInput, "What a form for crews says of it.")


class SurfaceAxes(AnswerSchema):
    """The concrete surface, and which way x, y and z point."""

    name = one_of("Name of the surface.", SURFACES)
    title = string("What people call it.")
    x = string("Where x points.")
    y = string("Where y points.")
    z = string("Where z points.")
    stand = string("Where a crew stands and looks along x on a slab, or at a wall, to tell the sides.")
    looking = string("The way they look, in few words.")


class ExamplePlate(AnswerSchema):
    """A plate as it is common for a thing: an example in a form, never taken."""

    width_mm = number("Along x.", "mm")
    depth_mm = number("Along y.", "mm")
    thickness_mm = number("Thickness.", "mm")
    spacing_x_mm = number("Between holes along x.", "mm")
    spacing_y_mm = number("Between holes along y.", "mm")
    section_x_mm = number("Of what stands on it, along x.", "mm")
    section_y_mm = number("Of what stands on it, along y.", "mm")


class SharedMass(AnswerSchema):
    """What shares the mass with others of its kind."""

    count = string("The input that counts them.")
    one = string("What one is called.")
    many = string("What several are called.")


class CrewThing(AnswerSchema):
    """What a form for crews needs of a thing beside its inputs."""

    words = string("What the model does, without signs.")
    told_apart = string("One line that tells it from a thing it may be taken for; null: none.", nullable=True)
    example = part(ExamplePlate, "A plate as it is common for the thing.")
    shared = part(SharedMass, "What shares its mass; null: nothing does.", nullable=True)


class LoadModelSummary(AnswerSchema):
    """A load model with what it asks for."""

    model = string("Name of the model.")
    title = string("What people call it.")
    words = string("What it does.")
    path = string("Where to post its inputs.")
    surfaces = many(SurfaceAxes, "Surfaces that the thing may be fixed to.")
    inputs = many(LoadModelInput, "What it asks for, in the order of a form.")
    exactly_one = many(
        string("Name of an input."), "Inputs of which exactly one must be given; empty: there are none such."
    )
    crew = part(CrewThing, "What a form for crews needs beside.")


class LoadModelList(AnswerSchema):
    """The load models."""

    models = many(LoadModelSummary, "The models.")
    rulebook = part(RulebookIdentity, "The rulebook that the allowed words come from.")


class Components(AnswerSchema):
    """Forces and moments at the origin in the concrete surface."""

    normal_kn = number("Normal force, positive when it pulls.", "kN")
    shear_x_kn = number("Shear along x.", "kN")
    shear_y_kn = number("Shear along y.", "kN")
    moment_x_knm = number("Moment about x, Σ y·F.", "kNm")
    moment_y_knm = number("Moment about y, −Σ x·F.", "kNm")
    torsion_knm = number("Moment about z, Σ (x·V_y − y·V_x).", "kNm")


class CharacteristicActions(AnswerSchema):
    """One situation with its characteristic actions."""

    situation = string("What happens, in words.")
    permanent = part(Components, "Permanent actions.")
    variable = part(Components, "Variable actions.")
    sustained = part(Components, "What of both stays for long.")


class WorkingStep(AnswerSchema):
    """One step of the working."""

    symbol = string("Symbol.")
    code = code(StepCode)
    figures = Free(
        "Figures that go with the code, by name; a number has the unit that the name ends in.", ("object",)
    )
    words = string("What it is.")
    value = number("Value, rounded to six significant digits.", "as told")
    unit = string("Unit of the value.")
    expression = string("How it follows from earlier ones; null: it is taken as it is.", nullable=True)
    source = string("Clause, or what the step rests on; null: it is given.", nullable=True)
    rule = string("Rulebook path of the figure; null: it is no figure of the rulebook.", nullable=True)
    weighs = flag("Whether it is the weight of the thing, to be compared with what is known of it.")


class LoadModelCaution(Said):
    """What to beware of."""

    code = code(Caution, " Beside these suspended, superseded and the cautions of the rulebook.")
    text = string("The caution in words.")


class LoadModelAssumption(Assumption):
    """What was taken because the request leaves it open."""

    code = code(Note, " Beside these the name of an input with _not_given or _unknown.")


class LoadModelUse(AnswerSchema):
    """What the thing says of the use."""

    consequence = many(
        one_of("A consequence.", CONSEQUENCES),
        "What comes of it for people if the fixing fails; null: the thing alone does not tell, so ask.",
        nullable=True,
    )


class LoadModelAnswer(AnswerSchema):
    """Load cases of a thing to be fixed, with their working."""

    model = string("Name of the model.")
    title = string("What people call it.")
    surface = part(SurfaceAxes, "The surface and its axes.")
    load_cases = many(
        LoadCase,
        "Design load cases, complete: to be posted as load_cases of a verification or a sizing as they stand. They are "
        "alternatives; those that only press are left out while others pull or push.",
    )
    actions = many(
        Action,
        "The characteristic actions, to be posted as actions of a verification or a sizing in place of the design load "
        "cases, alone or with others: the weight, whose name says of what and which counts less where it holds the "
        "thing down (`holding_down`), and what varies in each situation, each excluding the others. Names have to "
        "differ where those of two things of one kind are posted together. Null where the situations have no weight in "
        f"common or come to more than {MOST_ACTIONS}, as those of a machine do that swings: the load cases are to be "
        "posted.",
        nullable=True,
    )
    situations = many(CharacteristicActions, "Characteristic actions of every situation.")
    working = many(WorkingStep, "The working, step by step.")
    assumptions = many(LoadModelAssumption, "What was taken because the request leaves it open.")
    cautions = many(LoadModelCaution, "What to beware of.")
    use = part(LoadModelUse, "To be posted among `use` of a verification or a sizing.")
    loads_from = part(
        LoadsFrom,
        "To be posted among `loads_from` of a verification or a sizing, so that its cautions go with the answer.",
    )
    rulebook = part(RulebookIdentity, "The rulebook.")
    assessed_on = Day("Day for which the answer is made.", required=True)


EXAMPLES: Mapping[str, Mapping[str, Any]] = MappingProxyType({
    "guardrail_post": {
        "quay_edge": {
            "summary": "Post on a quay wall, 125 mm from its edge",
            "value": {
                "mounting": "top",
                "category": "E",
                "rail_height_mm": 1100,
                "post_spacing_mm": 1200,
                "post": "intermediate",
                "mass_kg": 18,
            },
        },
        "slab_face": {
            "summary": "Post on the front face of a walkway slab",
            "value": {
                "mounting": "side",
                "category": "E",
                "rail_height_mm": 1100,
                "post_spacing_mm": 1000,
                "post": "end",
                "fixing_below_floor_mm": 150,
                "post_off_face_mm": 60,
                "mass_kg": 18,
            },
        },
    },
    "wall_bracket": {
        "valve_actuator": {
            "summary": "Two brackets that hold 180 kg off a wall",
            "value": {
                "mass_kg": 180,
                "reach_mm": 350,
                "brackets": 2,
                "levelling": "levelled",
                "permanent_share": 1,
                "bracket_mass_kg": 6,
                "fastener_spacing_mm": 250,
            },
        },
    },
    "soffit_hanger": {
        "pipe_hanger": {
            "summary": "Pipe hanger with 180 kg under a cracked slab",
            "value": {"mass_kg": 180, "permanent_share": 0.4},
        },
    },
    "racking_upright": {
        "spares_store": {
            "summary": "Upright of a rack in the spares store",
            "value": {"load_height_mm": 3200, "upright_spacing_mm": 1000, "frame_mass_kg": 95},
        },
    },
    "pipe_clamp": {
        "rising_main": {
            "summary": "Steel pipe full of sewage along a wall",
            "value": {
                "surface": "wall",
                "span_mm": 3000,
                "other_span_mm": 3000,
                "span_beyond_mm": 3000,
                "other_span_beyond_mm": 3000,
                "axis_off_surface_mm": 180,
                "outer_diameter_mm": 168.3,
                "wall_mm": 4.5,
                "material": "steel",
                "contents": "sewage",
                "held": "sliding_guide",
            },
        },
        "duct": {
            "summary": "Duct under a slab, its mass known",
            "value": {
                "surface": "soffit",
                "span_mm": 2500,
                "other_span_mm": 1200,
                "span_beyond_mm": 2500,
                "other_span_beyond_mm": 2500,
                "axis_off_surface_mm": 400,
                "mass_per_metre_kg": 22,
                "empty_mass_per_metre_kg": 22,
                "held": "swinging_rod",
            },
        },
    },
    "machine_base": {
        "pump": {
            "summary": "Pump and motor on one base plate on a plinth",
            "value": {
                "mass_kg": 420,
                "centre_height_mm": 450,
                "machine": "rotating_balanced",
                "torque_knm": 0.15,
                "shaft": "x",
                "horizontal_kn": 1.2,
                "horizontal_direction": "x",
                "horizontal_height_mm": 500,
            },
        },
    },
    "eyebolt": {
        "pump_lifting": {
            "summary": "Eyebolt over a pump, pulled at 30 degrees in an unknown direction",
            "value": {
                "surface": "soffit",
                "mass_kg": 250,
                "lifting": "hand_hoist",
                "angle_degrees": 30,
                "eye_height_mm": 45,
            },
        },
    },
})


LIST_PATH = "/v1/load-models"
TAG = "Loads and labels"


def operation_of(model: str) -> str:
    """Name the operation of a load model.

    Args:
        model: Name of the model.

    Returns:
        The operation's name.
    """
    return f"loadsOf{_titled(model)}"


def _titled(model: str) -> str:
    return "".join(word.title() for word in model.split("_"))


def _path_of(model: LoadModel) -> Path:
    return Path(
        method="POST",
        path=f"{LIST_PATH}/{model.name}",
        name=operation_of(model.name),
        summary=f"{model.title}: which load cases?",
        description=(
            f"{model.words} Load cases act at the origin in the concrete surface, so moments include force times "
            "height; they can be posted to a verification or a sizing as they stand."
        ),
        tag=TAG,
        body=REQUESTS[model.name],
        examples=EXAMPLES[model.name],
        answer=LoadModelAnswer,
        links=(
            Link(
                name=f"rulebookOfThe{_titled(model.name)}",
                description="The rulebook that the loads were found with.",
                operation="getRulebook",
                parameters={"version": "$response.body#/rulebook/version"},
            ),
        ),
    )


PATHS = (
    Path(
        method="GET",
        path=LIST_PATH,
        name="listLoadModels",
        summary="Which things can be turned into load cases?",
        description=(
            "Lists the load models with what each asks for: unit, range, words allowed, default and meaning of each "
            "input, enough to build a form. The words are those of the version in force, or of the one named."
        ),
        tag=TAG,
        query=LoadModelQuery,
        query_examples={"rulebook": "2026.8.2"},
        answer=LoadModelList,
        changes_with_the_rulebook=True,
    ),
    *(_path_of(model) for model in MODELS.values()),
)
