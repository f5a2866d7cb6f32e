"""Installation sheets: what does the crew do?"""

from flask import Response, jsonify, request

from service.api.operations import Call, bound
from service.api.routes.opened import opened
from service.contract.faults import NO_SHEET, Refused
from service.contract.paths import DIGEST_HEADER, MEDIA_TYPE, VERSION_HEADER
from service.contract.sheets import HTML, PATHS, SVG
from service.site import sheet
from service.site.sheet import drawing, page
from service.words import ENGLISH, Audience, catalogue, languages


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
        faults = [reason.fault for reason in none.reasons]
        raise Refused(409, faults, NO_SHEET) from None
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


OPERATIONS = bound(
    PATHS,
    {"makeInstallationSheet": make_sheet},
)
