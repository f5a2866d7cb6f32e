"""The contract for people: a page that works without internet and under a strict content policy."""

from importlib.resources import files

from flask import Blueprint, Response, send_from_directory

# The viewer sets style attributes and draws its marks from data URLs; no script may stand in the page itself.
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data:; "
    "connect-src 'self'; font-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
VIEWER_FILES = ("swagger-ui.css", "swagger-ui-bundle.js", "favicon-32x32.png")
OWN_FILES = ("start.js", "page.css")

_VIEWER = str(files("flask_swagger_ui").joinpath("dist"))
_OWN = str(files("service.api").joinpath("docs_page"))


def blueprint() -> Blueprint:
    """Make the blueprint of the page."""
    pages = Blueprint("docs", __name__)
    pages.add_url_rule("/docs", "page", _page)
    for name in VIEWER_FILES:
        pages.add_url_rule(
            f"/docs/{name}", name.replace(".", "_"), _file, defaults={"directory": _VIEWER, "name": name}
        )
    for name in OWN_FILES:
        pages.add_url_rule(f"/docs/{name}", name.replace(".", "_"), _file, defaults={"directory": _OWN, "name": name})
    return pages


def _page() -> Response:
    """Serve the page."""
    return _file(_OWN, "page.html")


def _file(directory: str, name: str) -> Response:
    """Serve a file of the page under its policy."""
    response = send_from_directory(directory, name)
    response.headers["Content-Security-Policy"] = POLICY
    return response
