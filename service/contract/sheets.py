"""What an installation sheet is asked for with, and what it holds."""

from collections.abc import Iterator, Mapping
from typing import Any, ClassVar

from marshmallow import ValidationError, fields

from service.contract.codes import refusal
from service.contract.coherence import Disagreement, Rule
from service.contract.faults import LARGEST_BYTES
from service.contract.fields import Day, Items, Part, Strict, Text, Whole
from service.contract.identity import RulebookIdentity, Suspension
from service.contract.paths import COMPONENTS, MEDIA_TYPE, Link, Path
from service.contract.pulls import SiteTestOrigin
from service.contract.quantities import concrete_temperature
from service.contract.replays import ReplayRequest
from service.contract.request_schema import RequestSchema
from service.contract.sheet_codes import SheetLineCode
from service.contract.statement import AnswerSchema, Free, code, flag, many, one_of, part, string
from service.contract.terms import DIGEST, EDGES, MECHANISMS, MODES, SETTINGS
from service.contract.verification import GUARDRAIL_POST, VerificationRequest

MOST_FIXINGS = 20
MOST_MADE = 10_000
STEPS = (
    "tools", "surface", "mark", "scan", "fixture_first", "drill", "clean", "resin", "set", "pour", "cure", "fixture_on",
    "grout", "tighten", "fill_holes", "check", "failed_hole", "removal",
)  # fmt: skip
MATERIALS = (
    "fastener",
    "bolt",
    "nut_and_washer",
    "bit",
    "resin_cartridge",
    "mixing_nozzle",
    "brush",
    "grout",
    "undercutting_tool",
    "setting_tool",
    "grout_for_holes",
    "filling_washer",
    "spanning_washer",
    "thread_adhesive",
)


class RequestOrRecord(Strict):
    """A verification request, or a record: a request with the answer that it was given."""

    component = "RequestOrRecord"
    schema: ClassVar[Mapping[str, Any]] = {
        "description": "A verification request, or a record: a request with the answer that it was given.",
        "anyOf": [{"$ref": f"{COMPONENTS}{schema.__name__}"} for schema in (VerificationRequest, ReplayRequest)],
    }
    """What the contract document has under that name."""

    def __init__(self, description: str, **rest: Any) -> None:
        super().__init__(description, **rest)
        self._request, self._record = VerificationRequest(), ReplayRequest()

    def read(self, value: Any) -> Any:
        """Take either."""
        if not isinstance(value, dict):
            raise ValidationError(
                refusal("wrong_type", "must be an object: a request, or a record with request and answer")
            )
        schema = self._record if value.keys() & {"request", "answer"} else self._request
        return schema.load(value)


def lists_fit(request: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find lists that do not go with the fixings."""
    fixings = len(request["fixings"])
    words = refusal("wrong_count", f"must have one entry for each fixing, {fixings}", count=fixings)
    for name in ("counts", "side_names"):
        if len(request.get(name, request["fixings"])) != fixings:
            yield (name,), words


def colder_later(request: Mapping[str, Any]) -> Iterator[Disagreement]:
    """Find a coldest temperature that stands alone or is warmer than the concrete when the fasteners are set."""
    setting, coldest = request.get("concrete_temperature_c"), request.get("coldest_until_cured_c")
    if coldest is not None and setting is None:
        words = "must be given beside coldest_until_cured_c: the working time of the resin goes by it"
        yield ("concrete_temperature_c",), refusal("required", words, fields=["coldest_until_cured_c"])
    if setting is not None and coldest is not None and coldest > setting:
        words = f"must be at most concrete_temperature_c, {setting:g}: the setting itself counts"
        yield ("coldest_until_cured_c",), refusal("above_maximum", words, maximum=setting)


def _own_words(where: str) -> Text:
    words = f"The caller's words for the side {where}, for example ahead of you."
    return Text(words, longest=40, absent="it goes by its letter and its place on the plan")


class SideNames(RequestSchema):
    """What the caller calls the four sides of a fixing, as one sees them where it is fixed."""

    x_minus = _own_words("on the left of the plan, towards −x")
    x_plus = _own_words("on the right of the plan, towards +x")
    y_minus = _own_words("at the bottom of the plan, towards −y")
    y_plus = _own_words("at the top of the plan, towards +y")


class InstallationSheetRequest(RequestSchema):
    """Fixings for one installation sheet."""

    title = Text("Title of the sheet.", longest=120, absent="Installation sheet")
    job = Text("What the caller calls the job.", longest=200, absent="no name")
    fixings = Items(
        RequestOrRecord("One fixing: a verification request, or a record, which is replayed first."),
        "The fixings. A request is verified first; one that does not verify yields no sheet. All of them stand under "
        f"one rulebook. The whole body has at most {LARGEST_BYTES} bytes, and a record with many fasteners and load "
        "cases may take a quarter of that: where they do not fit, give the requests in place of the records, as each "
        "is verified to the same answer, or make several sheets.",
        fewest=1,
        most=MOST_FIXINGS,
        required=True,
    )
    counts = Items(
        Whole("How many are made of the fixing at the same index.", minimum=1, maximum=MOST_MADE),
        "How many are made of each fixing, in the order of fixings; as many entries as there are fixings.",
        fewest=1,
        most=MOST_FIXINGS,
        absent="each is made once",
    )
    side_names = Items(
        Part(SideNames, "Words for the sides of the fixing at the same index; an empty object: none."),
        "The caller's own words for the sides of each fixing, in the order of fixings; as many entries as there are "
        "fixings. They stand on the plan and in the sentences, beside the letters A to D.",
        fewest=1,
        most=MOST_FIXINGS,
        absent="the sides go by their letters and places on the plan",
    )
    concrete_temperature_c = concrete_temperature(
        "Temperature of the concrete when the fasteners are set; resin is worked within the time for it. Only with "
        "resin.",
        absent="the whole table of the resin's times is shown and no row is marked",
    )
    coldest_until_cured_c = concrete_temperature(
        "Coldest temperature of the concrete from setting until the resin has cured, no higher than "
        "concrete_temperature_c; resin cures by it. Only with resin and beside concrete_temperature_c.",
        absent="taken as concrete_temperature_c, and the sheet says that the curing time holds for no colder concrete",
    )

    @staticmethod
    def rules() -> tuple[Rule, ...]:
        """Rules across fields."""
        return (lists_fit, colder_later)


FROM = (
    "JSON pointer of the place that it stands at: below #/request or #/answer in the record of the fixing, else in the "
    "request for the sheet; at a list, the number of its entries. Null: it stands elsewhere."
)


class SheetFigure(AnswerSchema):
    """A figure with its origin: a path of the rulebook, a place in record or request, or an expression of others."""

    name = string("What it is; ends in its unit where it has one.")
    value = Free("The value; a word where rulebook or record has a word there.", ("number", "string"))
    unit = string("Unit; 1: a ratio; count: a number of things; empty: a word.")
    rule = string("Rulebook path that it stands at; null: it stands elsewhere.", nullable=True)
    from_ = string(FROM, nullable=True)
    from_.data_key = "from"
    expression = string(
        "How it follows from the figures under of, in numbers; ceil rounds up. Null: it is taken as it is.",
        nullable=True,
    )
    of = Items(
        fields.Nested("SheetFigure", metadata={"description": "A figure of the expression, with its own origin."}),
        "The figures of the expression; empty where there is none.",
        required=True,
    )


class SheetLine(AnswerSchema):
    """One thing that the crew reads, with the figures in its words."""

    text = string("The words, figures included.")
    figures = many(SheetFigure, "The figures in the words.")
    rule = string(
        "Rulebook path of the words, where they are the rulebook's or follow from it; null: they don't.", nullable=True
    )
    from_ = string(
        "JSON pointer into the record: of the code with figures that the words are made from, or of recorded words "
        "that stay as they are, in English: a rulebook's own, and those of contract version 1, which has no figures. "
        "Null: they are not the record's.",
        nullable=True,
    )
    from_.data_key = "from"
    code = code(
        SheetLineCode,
        " Beside these the codes of the cautions, assumptions and site conditions that a line says, and of the lines "
        "of the company's own lists; null: none.",
        nullable=True,
    )


class SheetTick(SheetLine):
    """A condition that the crew ticks where it meets it."""

    in_step = one_of(
        "Step in which the crew meets it, to be ticked below its lines; null: before starting.", STEPS, nullable=True
    )


class SheetStep(AnswerSchema):
    """A step of the work."""

    code = one_of("The step.", STEPS)
    title = string("Its title.")
    lines = many(SheetLine, "What to do.")
    notice = string(
        "To be shown beside its figures: the rulebook is a demonstration; null: it is not, or the step has none.",
        nullable=True,
    )


class SheetResinRow(AnswerSchema):
    """Times of the resin in one range of temperature of the concrete."""

    temperature_min = part(SheetFigure, "Lowest temperature.")
    temperature_max = part(SheetFigure, "Highest temperature.")
    working_range = string("Temperatures for the working time, in words; a border counts to the shorter time.")
    curing_range = string("Temperatures for the curing times, in words; a border counts to the longer time.")
    working = part(SheetFigure, "Working (gel) time.")
    curing_dry = part(SheetFigure, "Curing time in a dry hole.")
    curing_wet = part(SheetFigure, "Curing time in a wet or flooded hole.")
    holds = flag("Whether its working time holds at concrete_temperature_c.")
    holds_for_curing = flag(
        "Whether its curing times hold at coldest_until_cured_c, or else at concrete_temperature_c."
    )


class SheetResin(AnswerSchema):
    """The resin of a bonded fastener."""

    rows = many(SheetResinRow, "Times by temperature, coldest first; outside them it may not be set.")
    concrete_temperature = part(SheetFigure, "Temperature of the concrete; null: not given.", nullable=True)
    coldest_until_cured = part(SheetFigure, "Coldest until it has cured; null: not given.", nullable=True)
    working = part(SheetFigure, "Working time; null: no temperature is given.", nullable=True)
    curing = part(
        SheetFigure, "Curing time at the coldest, in a hole as verified; null: no temperature is given.", nullable=True
    )
    volume_of_a_hole = part(SheetFigure, "Resin that a hole takes.")
    strokes_of_a_hole = part(
        SheetFigure, "The same in full strokes; null: the rulebook does not say what one gives.", nullable=True
    )


class SheetDistance(AnswerSchema):
    """A distance as it was verified, beside the least that is assessed."""

    code = string("Which distance, for example nearest_to_x_plus.")
    title = string("The same in words.")
    verified = part(SheetFigure, "The distance that was verified; spacings to the nearest tenth of a millimetre.")
    least = part(SheetFigure, "The least that is assessed; null: a limit does not concern it.", nullable=True)


class SheetSide(AnswerSchema):
    """A side of the fixing."""

    name = one_of("Which side, as the edges of the member are named.", EDGES)
    letter = one_of("Its letter on the plan.", ("A", "B", "C", "D"))
    on_plan = string("Where it is on the plan, in words.")
    own_words = string("The caller's words for it; null: none.", nullable=True)
    to_edge = part(
        SheetFigure,
        "Distance of the nearest fastener to the edge of the member on this side; null: the edge is not given.",
        nullable=True,
    )


class SheetPlace(AnswerSchema):
    """Where a fastener stands, or is to stand."""

    number = Whole("Its number on drawing and sheet, from 1.", minimum=1, required=True)
    x = part(SheetFigure, "x of the fastener.")
    y = part(SheetFigure, "y of the fastener.")
    stands = flag("Whether it stands by now, as an as-built check has found; false: it is still to be set.")


class SheetAsBuilt(AnswerSchema):
    """What of a fixing stands by now, and what is left to do."""

    replaces = string(
        "Id of the record whose sheet this one replaces; null: the record does not say.", nullable=True, pattern=DIGEST
    )
    standing = many(Whole("Number of a fastener.", minimum=1), "The fasteners that stand, and are left as they are.")
    to_set = many(
        Whole("Number of a fastener.", minimum=1),
        "Those that are still to be set: bill, steps and form are for these; empty: all stand.",
    )
    lines = many(
        SheetLine, "The same in words, with what was moved, is missing or has another length; to be shown first."
    )
    known = many(SheetLine, "What was measured by now, and is not asked again in the form.")


class SheetFastener(AnswerSchema):
    """What is bought for a fixing."""

    family = string("Family.")
    title = string("Title of the family.")
    mechanism = one_of("Mechanism.", MECHANISMS)
    size = string("Size.")
    setting = one_of("When the hole is drilled.", SETTINGS)
    article_code = string("Article code of the length.")
    length = part(SheetFigure, "Length to buy.")
    embedment = part(SheetFigure, "Effective embedment h_ef.")
    per_fixing = part(SheetFigure, "Fasteners of one fixing that are still to be set; as built none may be left.")


class SheetBlank(AnswerSchema):
    """Something that the crew writes down."""

    label = string("What.")
    as_built = string(
        "Field that it is told in: of as_built in an as-built check, one of a part behind a dot, or of a hole under "
        "aborted_holes; null: none.",
        nullable=True,
    )
    asked = part(SheetFigure, "What it has to be; null: the sheet asks for no figure.", nullable=True)
    numbers = many(
        Whole("Number of a fastener.", minimum=1),
        "The fasteners that it is written down for; empty: once for the fixing, or for each hole.",
    )
    least = part(SheetFigure, "The least that it may be; null: it has none.", nullable=True)
    most = part(SheetFigure, "The most that it may be; null: it has none.", nullable=True)


class SheetForm(AnswerSchema):
    """What the crew writes down."""

    each_fastener = many(SheetBlank, "For each fastener.")
    once = many(SheetBlank, "Once for the fixing.")
    aborted_hole = many(SheetBlank, "For each aborted hole; empty where nothing is drilled.")


class SheetProof(AnswerSchema):
    """What stands behind the sheet of a fixing."""

    record_id = string("Id of the record of its verification.", pattern=DIGEST)
    engine = string("Engine of the record.")
    assessed_on = Day("Day for which it was assessed.", required=True)
    utilisation = part(SheetFigure, "Governing utilisation; null: no check is left.", nullable=True)
    governing = one_of("Failure mode that governs; null: no check is left.", MODES, nullable=True)


class SheetJob(AnswerSchema):
    """Which job a fixing belongs to."""

    structure = string("The structure; null: not told, and the sheet leaves a line for it.", nullable=True)
    drawing = string("The drawing; null: not told.", nullable=True)
    revision = string("Its revision; null: not told.", nullable=True)
    issued_by = string("Who issues the sheet; null: not told.", nullable=True)
    call = string("Who is called where the sheet says stop or ask; null: not told.", nullable=True)


class SheetFixing(AnswerSchema):
    """The sheet of one fixing."""

    number = Whole("Its number on the sheet, from 1.", minimum=1, required=True)
    pointer = string("Where it stands in the request.")
    reference = string("The caller's own name for the fixing; null: none.", nullable=True)
    as_built = part(
        SheetAsBuilt, "What stands by now and what is left to do; null: nothing was checked as built.", nullable=True
    )
    job = part(SheetJob, "Which job it belongs to.")
    holds = many(SheetLine, "What it holds, in the crew's terms; to be shown first, to be ticked.")
    count = part(SheetFigure, "How many are made.")
    proof = part(SheetProof, "What stands behind it.")
    fastener = part(SheetFastener, "What is bought.")
    fixture_thickness = part(SheetFigure, "Thickness of the fixture.")
    clearance_hole = part(
        SheetFigure,
        "Largest hole in the fixture; null: there is no plate, it is welded, or it is wide and nobody told how wide.",
        nullable=True,
    )
    hole_diameter = part(SheetFigure, "Diameter of the hole; null: nothing is drilled.", nullable=True)
    hole_depth = part(
        SheetFigure,
        "Depth of the hole in the concrete; deeper than assessed where a head on a thin fixture lets the fastener "
        "reach deeper. Null: nothing is drilled.",
        nullable=True,
    )
    sides = many(SheetSide, "The sides: A at the top of the plan, then clockwise.")
    places = many(SheetPlace, "Where the fasteners stand.")
    distances = many(SheetDistance, "Thickness, edge distances and spacings.")
    before_work = many(
        SheetLine,
        "Cautions that decide what the crew does, the gravest first; to be shown before any figure. superseded: the "
        "rulebook is below the one in force today.",
    )
    on_site = many(SheetTick, "What the verification relied on and must be so on site, to be ticked.")
    steps = many(SheetStep, "The work in its order.")
    resin = part(SheetResin, "The resin; null: there is none.", nullable=True)
    protective_equipment = many(SheetLine, "What protects the crew.")
    to_fill_in = part(SheetForm, "What the crew writes down.")
    cautions = many(
        SheetLine, "All cautions of the record, but superseded: by which version it is today stands in before_work."
    )
    suspensions = many(Suspension, "What is suspended for new work today and touches the fixing.")
    site_test = part(SiteTestOrigin, "Pulls on site that the resistance comes from; null: none.", nullable=True)
    minutes = part(SheetFigure, "Working time of all that are made of it, without curing, for planning.")


class SheetShare(AnswerSchema):
    """What one piece of a fixing needs of a material."""

    fixing = Whole("Number of the fixing.", minimum=1, required=True)
    quantity = part(SheetFigure, "How many, spares left out.")


class SheetMaterial(AnswerSchema):
    """One line of the bill of materials."""

    kind = one_of("What it is.", MATERIALS)
    title = string("The same in words.")
    article_code = string("Article code; null: none.", nullable=True)
    quantity = part(SheetFigure, "How many; rounded up, spares and wastage included.")
    for_fixings = many(Whole("Number of a fixing.", minimum=1), "Fixings that need it.")
    per_fixing = many(SheetShare, "What one piece of each fixing needs; empty for what is shared, as bits are.")


class InstallationSheet(AnswerSchema):
    """What the crew does, for one or several fixings."""

    language = string("Language of the sheet, as Content-Language names it.")
    title = string("Title.")
    job = string("The job; null: no name.", nullable=True)
    notice = string("To be shown prominently: the rulebook is a demonstration; null: it is not.", nullable=True)
    rulebook = part(RulebookIdentity, "The rulebook of all fixings; superseded_by is that of today.")
    fixings = many(SheetFixing, "The fixings.")
    materials = many(SheetMaterial, "Bill of materials of all fixings together.")
    working_time = part(SheetFigure, "Working time of all fixings, without curing, for planning.")


QUAY_RAIL: dict[str, Any] = {
    "title": "Pumping station 4, quay rail",
    "job": "Refit, week 48",
    "fixings": [GUARDRAIL_POST],
    "counts": [12],
    "side_names": [{"x_plus": "ahead of you: the water", "x_minus": "behind you"}],
}
HANGERS_AND_PLINTH: dict[str, Any] = {
    "title": "Pumping station 4, valve room",
    "fixings": [
        {
            "assessed_on": "2026-11-25",
            "fixing_reference": "PS4-valve-004",
            "fastener": {"family": "bonded-rod-hybrid-fast", "size": "M12", "embedment_mm": 111},
            "member": {"strength_class": "C30/37", "state": "cracked", "thickness_mm": 400},
            "positions": [{"x_mm": x, "y_mm": y} for y in (-80, 80) for x in (-80, 80)],
            "fixture": {
                "width_mm": 240,
                "depth_mm": 240,
                "thickness_mm": 15,
                "yield_mpa": 235,
                "attached_section": {"width_mm": 100, "depth_mm": 100, "profile": "hollow"},
            },
            "load_cases": [{"name": "valve full", "normal_kn": 6, "sustained_share": 1}],
            "use": {"overhead": False, "exposure": "damp_internal", "hole": "dry", "temperature_range": "I"},
            "site": {"hole_cleaning": "verified", "torque_control": "calibrated_wrench", "drilling": "hammer"},
        },
        {
            "assessed_on": "2026-11-25",
            "fixing_reference": "PS4-pipe-021",
            "fastener": {"family": "screw-zinc", "size": "8", "embedment_mm": 55},
            "member": {"strength_class": "C30/37", "thickness_mm": 200},
            "positions": [{"x_mm": -60, "y_mm": 0}, {"x_mm": 60, "y_mm": 0}],
            "fixture": {
                "width_mm": 180,
                "depth_mm": 80,
                "thickness_mm": 8,
                "yield_mpa": 235,
                "attached_section": {"width_mm": 60, "depth_mm": 60, "profile": "hollow"},
            },
            "load_cases": [{"name": "pipe full", "normal_kn": 1.2, "sustained_share": 1}],
            "use": {"overhead": True, "exposure": "dry_internal", "hole": "dry"},
        },
    ],
    "counts": [2, 14],
    "concrete_temperature_c": 12,
}


HTML, SVG = "text/html", "image/svg+xml"

PATHS = (
    Path(
        method="POST",
        path="/v1/installation-sheets",
        name="makeInstallationSheet",
        summary="What does the crew do?",
        description=(
            "Makes an installation sheet for one or several fixings: tools, the work from surface to tightening, "
            "checks, what to do with a hole that fails, what to write down, bill of materials and working time. Accept "
            "chooses the form: JSON in which every figure names its origin, a page to print, or a drawing to scale. "
            "Accept-Language chooses the language; without a catalogue for it the sheet is in English. Texts of the "
            "rules and the caller's own words stay as they are. A request is verified first and a record replayed. "
            "What does not verify today gets no sheet: 409, with the reasons."
        ),
        tag="The work on site",
        body=InstallationSheetRequest,
        examples={
            "quay_rail": {"summary": "Twelve guardrail posts on a quay wall", "value": QUAY_RAIL},
            "valve_room": {"summary": "Rods in resin and screws overhead", "value": HANGERS_AND_PLINTH},
        },
        answer=InstallationSheet,
        media_types=(MEDIA_TYPE, HTML, SVG),
        may_conflict=True,
        links=(
            Link(
                name="rulebookOfTheSheet",
                description="The rulebook that the sheet stands on.",
                operation="getRulebook",
                parameters={"version": "$response.body#/rulebook/version"},
            ),
        ),
    ),
)
