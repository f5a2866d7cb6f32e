"""The HTTP API: requests held against the contract, handed on, answered as JSON."""

import os
from pathlib import Path

from flask import Flask, Response

from service.api import docs, page, problems
from service.api.keeper import Keeper
from service.api.operations import register
from service.api.routes import operations, words
from service.api.serialisation import OrjsonProvider
from service.contract.faults import LARGEST_BYTES
from service.contract.resolution import Clock, today
from service.rulebook.shipped import DEMONSTRATION
from service.words import LOCALE

RULES_VARIABLE = "ANCHOR_RULES_DIR"
SIGNERS_VARIABLE = "ANCHOR_ALLOWED_SIGNERS"
KEEPER = "rules"
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


def create_app(
    rules: Path | None = None, *, clock: Clock = today, signers: Path | None = None, locale: Path = LOCALE
) -> Flask:
    """Make the WSGI application.

    Args:
        rules: Directory of the rulebook, or a packed rulebook; None: what ANCHOR_RULES_DIR names, or else the
            demonstration.
        clock: Says what day it is, where a request leaves that open.
        signers: File of allowed signers, kept outside the rules; None: what ANCHOR_ALLOWED_SIGNERS names, or else
            signatures are not asked for.
        locale: Directory of the languages that the page speaks beside English.

    Returns:
        The application; its extensions hold the keeper of the rules, whose `watch` starts the looking after them.
        Without a rulebook in the directory it starts all the same and answers 503.

    Raises:
        RulebookInvalid: The rulebook has errors, and no release can be served in its place.
        SignersMisplaced: The file of allowed signers is missing, or lies within the rules.
    """
    directory = rules or Path(os.environ.get(RULES_VARIABLE) or DEMONSTRATION)
    named = os.environ.get(SIGNERS_VARIABLE)
    keeper = Keeper(directory, _outside(signers or (Path(named) if named else None), directory), clock)
    app = Service("service.api", static_folder=None)
    app.json = OrjsonProvider(app)
    app.config["MAX_CONTENT_LENGTH"] = LARGEST_BYTES
    app.config[words.LOCALE] = locale
    # A redirect would be answered in HTML.
    app.url_map.merge_slashes = False
    app.url_map.strict_slashes = True
    problems.register(app)
    app.extensions[KEEPER] = keeper
    register(app, operations(), keeper)
    app.register_blueprint(docs.blueprint())
    app.register_blueprint(page.blueprint())
    app.after_request(_guarded)
    return app


class SignersMisplaced(ValueError):  # noqa: N818 - the name is part of the package's interface
    """A file of allowed signers that proves nothing."""


def _outside(signers: Path | None, rules: Path) -> Path | None:
    """Keep whoever may change the rules from naming who may sign them."""
    if signers is None:
        return None
    if not signers.is_file():
        raise SignersMisplaced(f"{signers}: no such file of allowed signers")
    if rules.is_dir() and signers.resolve().is_relative_to(rules.resolve()):
        raise SignersMisplaced(f"{signers} lies within the rules; keep it where whoever changes rules can't")
    return signers.resolve()


def _guarded(response: Response) -> Response:
    """Tell browsers to take nothing here for what it is not."""
    response.headers.setdefault("X-Content-Type-Options", "nosniff")
    response.headers.setdefault("Content-Security-Policy", API_POLICY)
    response.headers.setdefault("Referrer-Policy", "no-referrer")
    return response
