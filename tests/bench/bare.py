"""A bare Flask route that reads a body and returns one of a given size: what HTTP alone costs."""

import os

from flask import Flask, Response, request

from service.api import KEEPER

ANSWER_BYTES = "BENCH_ANSWER_BYTES"


class NoRules:
    """Stands where the settings of the service look for the rules to watch; without it no worker starts."""

    def watch(self, seconds: float) -> None:
        """There is nothing to watch."""


def create_app() -> Flask:
    app = Flask(__name__)
    app.extensions[KEEPER] = NoRules()
    answer = b'"' + b"x" * (int(os.environ[ANSWER_BYTES]) - 2) + b'"'

    @app.post("/echo")
    def echo() -> Response:
        request.get_data()
        return Response(answer, mimetype="application/json")

    return app
