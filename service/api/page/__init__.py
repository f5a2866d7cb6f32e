"""A page for people: one question after another, answered by the public API."""

from importlib.resources import files

from flask import Blueprint, Response, current_app, render_template, request, send_from_directory

from service.api.page.questions import CONCRETE_SIDES, RANGES
from service.site.sheet.page import content_policy as sheet_policy
from service.words import ENGLISH, Audience, catalogue, languages

OWN_FILES = (
    "page.css", "plan.svg", "start.js", "numbers.js", "words.js", "sides.js", "calls.js", "fields.js",
    "edges.js", "others.js", "plan.js", "answers.js", "keeping.js",
)  # fmt: skip

_STATIC = str(files("service.api.page").joinpath("static"))


def policy() -> str:
    """Write the content policy of the page.

    A sheet that the page opens inherits its policy, so that the style of a sheet is let in by its digest.

    Returns:
        The policy.
    """
    parts = (part.split() for part in sheet_policy().split(";"))
    digests = " ".join(word for part in parts if part and part[0] == "style-src" for word in part[1:] if "sha" in word)
    return (
        f"default-src 'none'; script-src 'self'; style-src 'self' {digests}; img-src 'self'; connect-src 'self'; "
        "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
    )


def blueprint() -> Blueprint:
    """Make the blueprint of the page."""
    pages = Blueprint("page", __name__, template_folder="templates")
    pages.add_url_rule("/", "shell", _shell)
    for name in OWN_FILES:
        pages.add_url_rule(f"/page/{name}", name.replace(".", "_"), _file, defaults={"name": name})
    return pages


def _shell() -> Response:
    """Serve the page without any figure in it, in the language of whoever asks: the figures it asks the API for."""
    words = catalogue(Audience.CREW, _language(), current_app.config["LOCALE"])
    told = {"sides": CONCRETE_SIDES, "ranges": RANGES, "words": words, "say": words.say}
    response = Response(render_template("page.html", **told), mimetype="text/html")
    response.headers["Cache-Control"] = "no-cache"
    response.vary.add("Accept-Language")
    return _under_policy(response)


def _language() -> str:
    """The language asked for, by its name in the address or by the browser; English where there are no words in it."""
    there = languages(current_app.config["LOCALE"])
    asked = request.args.get("lang")
    return asked if asked in there else request.accept_languages.best_match(there, ENGLISH)


def _file(name: str) -> Response:
    """Serve a file of the page."""
    return _under_policy(send_from_directory(_STATIC, name))


def _under_policy(response: Response) -> Response:
    response.headers["Content-Security-Policy"] = policy()
    return response
