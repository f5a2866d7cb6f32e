"""A bare Flask route that reads a body and returns one of a given size: what HTTP alone costs."""

import os

from flask import Flask, Response, request

ANSWER_BYTES = "BENCH_ANSWER_BYTES"


def create_app() -> Flask:
    app = Flask(__name__)
    answer = b'"' + b"x" * (int(os.environ[ANSWER_BYTES]) - 2) + b'"'

    @app.post("/echo")
    def echo() -> Response:
        request.get_data()
        return Response(answer, mimetype="application/json")

    return app
