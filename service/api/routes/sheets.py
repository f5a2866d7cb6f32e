"""Installation sheets: what does the crew do?"""

from flask import Response, jsonify, request

from service.api.operations import DIGEST_HEADER, MEDIA_TYPE, VERSION_HEADER, Call, Link, Operation
from service.api.routes.opened import opened
from service.contract.faults import Fault, Refused
from service.contract.sheets import HANGERS_AND_PLINTH, QUAY_RAIL, InstallationSheet, InstallationSheetRequest
from service.site import sheet
from service.site.sheet import drawing, page
from service.words import ENGLISH, Audience, catalogue, languages

HTML, SVG = "text/html", "image/svg+xml"


def make_sheet(call: Call) -> Response:
    """Make the sheet of a call.

    Args:
        call: The call, with fixings as its body.

    Returns:
        The sheet, in the form and, where there is a catalogue in it, the language that was asked for.

    Raises:
        Refused: A fixing does not verify, or the sheet would lack what the crew needs.
    """
    fixings = call.body["fixings"]
    counts = call.body.get("counts") or [None] * len(fixings)
    names = call.body.get("side_names") or [{}] * len(fixings)
    jobs = []
    for index, (given, count, sides) in enumerate(zip(fixings, counts, names, strict=True)):
        fixing = opened(call, given, f"/fixings/{index}")
        # What is suspended today stops new work, whatever the record says.
        answer = fixing.answer if fixing.now["verdict"] == "verified" else fixing.now
        suspended = fixing.now["suspensions"]
        jobs.append(sheet.Job(fixing.request, answer, fixing.rulebook, suspended, count, f"/fixings/{index}", sides))
    try:
        made = sheet.make(
            jobs,
            title=call.body.get("title"),
            job=call.body.get("job"),
            temperature_c=call.body.get("concrete_temperature_c"),
            coldest_c=call.body.get("coldest_until_cured_c"),
            newest=call.serving.rulebook.version,
            words=catalogue(Audience.CREW, request.accept_languages.best_match(languages(), ENGLISH)),
        )
    except sheet.NoSheet as none:
        faults = [Fault(reason.code, reason.detail, pointer=reason.pointer) for reason in none.reasons]
        raise Refused(409, faults, "There is no sheet for this: the errors say why, fixing by fixing.") from None
    return _in_form(made, call.media_type)


def _in_form(made: sheet.Made, media_type: str) -> Response:
    if media_type == MEDIA_TYPE:
        response = jsonify(sheet.as_json(made.sheet))
    elif media_type == HTML:
        response = Response(page.page(made), mimetype=HTML)
        response.headers["Content-Security-Policy"] = page.content_policy()
    else:
        response = Response(drawing.of_sheet(made), mimetype=SVG)
    response.headers[VERSION_HEADER] = made.sheet.rulebook["version"]
    response.headers[DIGEST_HEADER] = made.sheet.rulebook["digest"]
    response.headers["Content-Language"] = made.sheet.language
    response.vary.add("Accept-Language")
    return response


OPERATIONS = (
    Operation(
        method="POST",
        path="/v1/installation-sheets",
        name="makeInstallationSheet",
        summary="What does the crew do?",
        description=(
            "Makes an installation sheet for one or several fixings: tools, surface, marking out, scan, drilling, "
            "cleaning, resin, setting, the fixture, tightening, checks, what to do with a hole that fails, what is "
            "written down, bill of materials and working time. "
            "Accept chooses the form: JSON, in which every figure names its origin, a page to print, or a drawing to "
            "scale. Accept-Language chooses the language, English where there is no catalogue in it; texts of the "
            "rules and the caller's own words stay as they are. A request is verified first and a record is replayed "
            "first; what does not verify today yields no sheet: 409, with the reasons."
        ),
        tag="The work on site",
        view=make_sheet,
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
