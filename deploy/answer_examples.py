"""Writes schemas/answer-examples.json: what the service really answers to the examples of the contract.

.venv-test/bin/python deploy/answer_examples.py

The contract document shows them. To each operation goes the first example of its request, under the demonstration
rulebook of this repository. Answers are cut for reading: a list to its first two entries, an object of more than MOST
members to its first. Commits and their authors differ from one copy of the repository to another, so stand-ins stand
for them. Run it before `python -m service.contract.document`.
"""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path
from typing import Any

import orjson
from flask.testing import FlaskClient

from service.api import create_app
from service.contract.document import ANSWER_EXAMPLES
from service.contract.paths import Path as StatedPath
from service.contract.paths_stated import paths

ROOT = Path(__file__).parents[1]
FILE = ROOT / "schemas" / ANSWER_EXAMPLES
DAY = date(2026, 11, 25)
"""The day that the answers are of, where a request names none."""
KEPT = 2
MOST = 32
ANY_COMMIT = "0" * 40
ANYBODY = "rules editor"


def obtained(client: FlaskClient) -> dict[str, Any]:
    """Ask the service.

    Args:
        client: A client of the application.

    Returns:
        The answer to the example of each operation, cut, by the name of the operation.

    Raises:
        ValueError: An example is not answered.
    """
    return {stated.name: _whole_without_itself(stated, shortened(_asked(client, stated))) for stated in paths()}


def shortened(value: Any) -> Any:
    """Cut an answer for reading.

    Args:
        value: The answer or a part of it.

    Returns:
        The same with the first two entries of each list, the first member of each large object, and stand-ins for
        commits.
    """
    if isinstance(value, list):
        return [shortened(entry) for entry in value[:KEPT]]
    if not isinstance(value, dict):
        return value
    kept = dict(list(value.items())[:1]) if len(value) > MOST else value
    return {name: _stand_in(name, value) or shortened(inner) for name, inner in kept.items()}


def rendered(examples: dict[str, Any]) -> bytes:
    """Write the examples out.

    Args:
        examples: The examples.

    Returns:
        The file.
    """
    return orjson.dumps(examples, option=orjson.OPT_INDENT_2 | orjson.OPT_APPEND_NEWLINE)


def application_client() -> FlaskClient:
    """Make a client of the service on the day of the examples."""
    return create_app(ROOT / "rules", clock=lambda: DAY).test_client()


def _asked(client: FlaskClient, stated: StatedPath) -> Any:
    place = stated.path.format(**{parameter.name: parameter.example for parameter in stated.path_parameters})
    if stated.body:
        response = client.post(place, json=next(iter(stated.examples.values()))["value"])
    else:
        response = client.get(place, query_string=dict(stated.query_examples))
    if response.status_code != 200:
        raise ValueError(f"{stated.name}: the example is answered by {response.status_code}: {response.text}")
    return response.get_json()


def _whole_without_itself(stated: StatedPath, answer: dict[str, Any]) -> dict[str, Any]:
    """The document without what holds these very examples."""
    return answer | {"paths": {}, "components": {}} if stated.name == "getContract" else answer


def _stand_in(name: str, holder: dict[str, Any]) -> str | None:
    if name == "commit" and holder[name] is not None:
        return ANY_COMMIT
    return ANYBODY if name == "author" and "commit" in holder else None


if __name__ == "__main__":
    FILE.write_bytes(rendered(obtained(application_client())))
    sys.stdout.write(f"{FILE.relative_to(ROOT)} written\n")
