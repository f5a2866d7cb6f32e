"""Refusals and failures as problem documents (RFC 9457), with nothing of an exception in them."""

from collections.abc import Iterable
from dataclasses import replace

from flask import Flask, Response, current_app, g, request
from werkzeug.exceptions import HTTPException

from service.contract.faults import MEDIA_TYPE, Fault, Refused, document, told
from service.contract.given import shortened
from service.verification.refusal import RefusedRequest


def problem(status: int, faults: Iterable[Fault] = (), detail: str | None = None) -> Response:
    """Build the response for a problem.

    Args:
        status: HTTP status.
        faults: What is wrong, each thing by itself.
        detail: What is wrong in words, where the kind's own words do not do.

    Returns:
        The response.
    """
    body = current_app.json.dumps(document(status, faults, detail))
    return Response(body, status=status, mimetype=MEDIA_TYPE)


def register(app: Flask) -> None:
    """Make every refusal and failure of the application a problem document."""
    app.register_error_handler(Refused, _of_refused)
    app.register_error_handler(RefusedRequest, _of_refused_request)
    app.register_error_handler(HTTPException, _of_http_exception)
    app.register_error_handler(Exception, _of_failure)


def _of_refused(refused: Refused) -> Response:
    return problem(refused.status, _told(refused.faults), refused.detail)


def _of_refused_request(refused: RefusedRequest) -> Response:
    return problem(422, _told(refused.faults))


def _told(faults: Iterable[Fault]) -> list[Fault]:
    """Say what was given at the place of each fault, in the body that was read or as a parameter."""
    named = (replace(fault, given=_parameter(fault.parameter)) for fault in faults)
    return told(named, g.body) if "body" in g else list(named)


def _parameter(name: str | None) -> str | None:
    value = None if name is None else (request.view_args or {}).get(name, request.args.get(name))
    return None if value is None else shortened(value)


def _of_http_exception(error: HTTPException) -> Response:
    response = problem(error.code or 500)
    for name, value in error.get_headers():
        if name == "Allow":
            response.headers[name] = value
    return response


def _of_failure(error: Exception) -> Response:
    current_app.logger.error("a request failed", exc_info=error)
    return problem(500)
