"""The HTTP API: requests held against the contract, handed on, answered as JSON."""

import os
from pathlib import Path

from flask import Flask, Response

from service import rulebook
from service.api import docs, problems
from service.api.body import LARGEST_BYTES
from service.api.operations import register
from service.api.routes import operations
from service.api.serialisation import OrjsonProvider
from service.api.serving import Clock, Serving, today

RULES_VARIABLE = "ANCHOR_RULES_DIR"
CHECKOUT_RULES = Path(__file__).resolve().parents[2] / "rules"
API_POLICY = "default-src 'none'; frame-ancestors 'none'"


class Service(Flask):
    """Flask, with nothing in the body where a caller asks for the methods of a path."""

    def make_default_options_response(self) -> Response:
        """Answer OPTIONS.

        Returns:
            204 with the methods in the Allow header.
        """
        response = super().make_default_options_response()
        response.status_code = 204
        response.headers.remove("Content-Type")
        return response


def create_app(rules: Path | None = None, *, clock: Clock = today) -> Flask:
    """Make the WSGI application.

    Args:
        rules: Directory of the rulebook; None: what ANCHOR_RULES_DIR names, or else the checkout's rules/.
        clock: Says what day it is, where a request leaves that open.

    Returns:
        The application. Without a rulebook in the directory it starts all the same and answers 503.

    Raises:
        RulebookInvalid: The rulebook has errors.
    """
    directory = rules or Path(os.environ.get(RULES_VARIABLE) or CHECKOUT_RULES)
    present = (directory / "rulebook.json").is_file()
    serving = Serving(rulebook.load(directory) if present else None, clock)
    app = Service("service.api", static_folder=None)
    app.json = OrjsonProvider(app)
    app.config["MAX_CONTENT_LENGTH"] = LARGEST_BYTES
    # A redirect would be answered in HTML.
    app.url_map.merge_slashes = False
    app.url_map.strict_slashes = True
    problems.register(app)
    register(app, operations(), serving)
    app.register_blueprint(docs.blueprint())
    app.after_request(_guarded)
    return app


def _guarded(response: Response) -> Response:
    """Tell browsers to take nothing here for what it is not."""
    response.headers.setdefault("X-Content-Type-Options", "nosniff")
    response.headers.setdefault("Content-Security-Policy", API_POLICY)
    response.headers.setdefault("Referrer-Policy", "no-referrer")
    return response
