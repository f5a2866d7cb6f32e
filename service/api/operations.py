"""An operation of the API: a path of the contract and the view that answers it."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any, TypeAlias

from flask import Flask, Response, g, jsonify, request
from flask.typing import ResponseReturnValue
from marshmallow import Schema
from werkzeug.datastructures import MIMEAccept

from service.api import body
from service.api.keeper import Keeper
from service.api.serving import Serving, headers_of
from service.contract.faults import Fault, Refused, faults_of
from service.contract.paths import DIGEST_HEADER, MEDIA_TYPE, VERSION_HEADER, Path
from service.contract.reading import checked
from service.contract.resolution import resolved, rulebook_on
from service.rulebook import Rulebook

UTF_8 = re.compile(r';\s*charset="?utf-8"?', re.IGNORECASE)


@dataclass(frozen=True)
class Call:
    """What a caller asks of an operation, read and found sound."""

    serving: Serving
    path: Mapping[str, str]
    query: Mapping[str, str]
    body: Mapping[str, Any]
    media_type: str = MEDIA_TYPE

    def resolved(self) -> tuple[dict[str, Any], Rulebook, bool]:
        """The body with its day, the rulebook to answer it by, and whether the day was filled in."""
        return resolved(self.body, self.serving.shelf, self.serving.clock)

    def rulebook(self, version: str, parameter: str) -> Rulebook:
        """The rulebook of a version that a parameter names."""
        return rulebook_on(self.serving.shelf, version, self.serving.clock(), parameter=parameter)


View: TypeAlias = Callable[[Call], dict[str, Any] | Response]


@dataclass(frozen=True)
class Operation:
    """A path of the contract with the view that answers it."""

    path: Path
    view: View

    def endpoint(self, keeper: Keeper) -> Callable[..., ResponseReturnValue]:
        """Make the function that Flask calls.

        Args:
            keeper: Who holds what the application serves from.

        Returns:
            The function: it reads the call, has it answered and names the rulebook in the headers.
        """
        # A schema costs more to build than to use.
        query_schema = self.path.query() if self.path.query else None
        body_schema = self.path.body() if self.path.body else None

        def respond(**path: str) -> Response:
            accepted = _accepted(self.path.media_types)
            if accepted is None:
                raise Refused(406, detail=f"The answer can be given as {', '.join(self.path.media_types)}.")
            query = {} if self.path.ignores_parameters else _read_query(query_schema)
            taken = _read_body(body_schema) if body_schema else {}
            # The rules may change while this is answered: it ends under those it began with.
            serving = keeper.serving
            answer = self.view(Call(serving, path, query, taken, accepted))
            response = answer if isinstance(answer, Response) else jsonify(answer)
            if self.path.names_rulebook:
                named = {} if isinstance(answer, Response) else answer
                version, digest = headers_of(named, serving)
                # A view that writes its own response knows which rulebook it stands on.
                response.headers.setdefault(VERSION_HEADER, version)
                response.headers.setdefault(DIGEST_HEADER, digest)
            if len(self.path.media_types) > 1:
                response.vary.add("Accept")
            return _as_known(response, serving) if self.path.changes_with_the_rulebook else response

        return respond


def bound(paths: tuple[Path, ...], views: Mapping[str, View]) -> tuple[Operation, ...]:
    """Give each path the view that answers it.

    Args:
        paths: The paths.
        views: A view for each, by the name of the operation.

    Returns:
        The operations, in the order of the paths.

    Raises:
        ValueError: A path has no view, or a view no path.
    """
    if [path.name for path in paths] != list(views):
        raise ValueError(f"paths {[path.name for path in paths]} and views {list(views)} do not go together")
    return tuple(Operation(path, views[path.name]) for path in paths)


def register(app: Flask, operations: tuple[Operation, ...], keeper: Keeper) -> None:
    """Put operations on the application.

    Args:
        app: The application.
        operations: The operations.
        keeper: Who holds what the application serves from.
    """
    for operation in operations:
        stated = operation.path
        app.add_url_rule(stated.rule, stated.name, operation.endpoint(keeper), methods=[stated.method])


def _as_known(response: Response, serving: Serving) -> Response:
    """Let a caller keep what changes with nothing but the rulebook and the service, and ask whether it still stands."""
    response.cache_control.no_cache = True
    # Weak, as the same facts may be written in other bytes.
    response.set_etag(serving.entity_tag(), weak=True)
    response.make_conditional(request)
    return response


def _accepted(offered: tuple[str, ...]) -> str | None:
    """The media type to answer in; all of them come in UTF-8, so a charset that asks for it changes nothing."""
    if not request.accept_mimetypes:
        return MEDIA_TYPE
    asked = MIMEAccept([(UTF_8.sub("", name), quality) for name, quality in request.accept_mimetypes])
    return asked.best_match(offered)


def _read_query(schema: Schema | None) -> dict[str, str]:
    """Read the query parameters, each at most once."""
    if not request.query_string and not schema:
        return {}
    twice = [name for name, values in request.args.lists() if len(values) > 1]
    if twice:
        raise Refused(422, [Fault("duplicate_parameter", "must be given once", parameter=name) for name in twice])
    given = request.args.to_dict()
    known = schema.fields if schema else {}
    unknown = [name for name in given if name not in known]
    if unknown:
        words = f"not a parameter of this path; the parameters are: {', '.join(known) or 'none'}"
        allowed = {"allowed": list(known)}
        raise Refused(422, [Fault("unknown_parameter", words, parameter=name, figures=allowed) for name in unknown])
    messages = schema.validate(given) if schema else {}
    faults = [
        replace(fault, pointer=None, parameter=str(name))
        for name, found in messages.items()
        for fault in faults_of(found)
    ]
    if faults:
        raise Refused(422, faults)
    return given


def _read_body(schema: Schema) -> dict[str, Any]:
    """Read the body and hold it against its schema."""
    raw = g.body = body.read(request)
    return checked(schema, raw)
