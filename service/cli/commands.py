"""What each command does; every function takes the parsed arguments and returns the exit code."""

import argparse
import os
import sys
from collections.abc import Callable, Iterator, Mapping
from dataclasses import asdict
from pathlib import Path
from typing import Any

from marshmallow import Schema
from rich.console import RenderableType

from service import rulebook
from service.api import RULES_VARIABLE, SIGNERS_VARIABLE
from service.cli.reading import UnusableError, answered
from service.cli.shared import DONE, NOT_PASSED, as_json, complain, rules_of
from service.cli.tables import Families, sizing_tables, verification_tables
from service.cli.terminal import printed, terminal
from service.contract.sizing import SizingRequest
from service.contract.verification import VerificationRequest
from service.rulebook import Rulebook, RulebookInvalid
from service.rulebook.pack import PackInvalid
from service.rulebook.repository import RepositoryFault
from service.rulebook.shelf import Shelf, UnknownVersion, open_shelf
from service.site import new_requests
from service.verification.asking import Calculation

SERVING_DEMONSTRATION = (
    "anchor-rulebook: no --rules given, so this serves the demonstration rulebook. Every fastener in it is invented: "
    "build nothing from its answers.\n"
)
Tables = Callable[[Mapping[str, Any], Families], Iterator[RenderableType]]
NO_SUCH_RULES = "{}: no such directory. Name the directory of a rulebook, or a packed rulebook, with --rules."


def verify(arguments: argparse.Namespace) -> int:
    """Verify the fixing in a file and print the answer.

    Args:
        arguments: `file`, `rules`, `json`.

    Returns:
        0 where it is verified, 1 where not, 2 where there is no answer.
    """
    return _answered(arguments, VerificationRequest(), new_requests.verify, verification_tables, _is_verified)


def size(arguments: argparse.Namespace) -> int:
    """Size a fixing for the request in a file and print the answer.

    Args:
        arguments: `file`, `rules`, `json`.

    Returns:
        0 where a fixing is found, 1 where none is, 2 where there is no answer.
    """
    return _answered(arguments, SizingRequest(), new_requests.size, sizing_tables, _has_choice)


def lint(arguments: argparse.Namespace) -> int:
    """Check a rulebook and print the findings.

    Args:
        arguments: `rules`, `json`.

    Returns:
        0 without errors, 1 with errors, 2 where there is no such rulebook.
    """
    rules = rules_of(arguments)
    if not rules.exists():
        return complain(NO_SUCH_RULES.format(rules))
    try:
        findings = rulebook.lint(rules)
    except PackInvalid as invalid:
        return complain(str(invalid))
    errors = sum(finding.severity == "error" for finding in findings)
    if arguments.json:
        sys.stdout.write(as_json([asdict(finding) for finding in findings]))
    else:
        console = terminal()
        for finding in findings:
            style = "red" if finding.severity == "error" else "yellow"
            console.print(printed(finding.text, style=style), soft_wrap=True)
        console.print(printed(f"{rules}: {errors} errors, {len(findings) - errors} warnings"), soft_wrap=True)
    return NOT_PASSED if errors else DONE


def serve(arguments: argparse.Namespace) -> int:
    """Start the API under gunicorn in place of this process, which so never returns."""
    rules = _servable(arguments)
    settings = ["--config", "python:service.cli.gunicorn_settings", "--bind", f"{arguments.host}:{arguments.port}"]
    command = [sys.executable, "-m", "gunicorn", *settings, "service.api:create_app()"]
    if not arguments.rules:
        sys.stderr.write(SERVING_DEMONSTRATION)
    os.environ[RULES_VARIABLE] = str(rules)
    sys.exit(os.execv(sys.executable, command))  # noqa: S606  no shell is wanted


def _answered(
    arguments: argparse.Namespace,
    schema: Schema,
    calculate: Calculation,
    tables: Tables,
    passes: Callable[[Mapping[str, Any]], bool],
) -> int:
    answer, book = answered(arguments.file, schema, loaded(arguments), calculate)
    if arguments.json:
        sys.stdout.write(as_json(answer))
    else:
        console = terminal()
        for part in tables(answer, book.families):
            console.print(part)
    return DONE if passes(answer) else NOT_PASSED


def _is_verified(answer: Mapping[str, Any]) -> bool:
    return bool(answer["verdict"] == "verified")


def _has_choice(answer: Mapping[str, Any]) -> bool:
    return bool(answer["choices"])


def _servable(arguments: argparse.Namespace) -> Path:
    """The rules to serve, looked at here so that faults are told before gunicorn starts; releases are proven there."""
    rules = rules_of(arguments)
    if not rules.is_dir():
        return loaded(arguments).path
    try:
        return rulebook.load(rules).path
    except RulebookInvalid:
        return loaded(arguments).path


def loaded(arguments: argparse.Namespace) -> Shelf:
    """Open the rules that a command works with.

    Args:
        arguments: `rules`.

    Returns:
        Every version that can be answered by.

    Raises:
        UnusableError: There is no such directory, or nothing in it can be calculated with.
    """
    rules = rules_of(arguments)
    if not rules.exists():
        raise UnusableError(NO_SUCH_RULES.format(rules))
    named = os.environ.get(SIGNERS_VARIABLE)
    try:
        shelf = open_shelf(rules, Path(named) if named else None)
    except RulebookInvalid as invalid:
        raise UnusableError(*str(invalid).splitlines(), "See all of it with: anchor-rulebook lint") from None
    except (PackInvalid, RepositoryFault) as fault:
        raise UnusableError(str(fault)) from None
    if not shelf.versions:
        raise UnusableError(f"{rules}: no version can be served.", *(fault.detail for fault in shelf.faults))
    return shelf


def book_of(version: str, arguments: argparse.Namespace) -> Rulebook:
    """Give the rules of a version.

    Args:
        version: The version.
        arguments: `rules`.

    Returns:
        The rulebook.

    Raises:
        UnusableError: It is not served.
    """
    try:
        return loaded(arguments).book(version)
    except UnknownVersion as unknown:
        raise UnusableError(f"{unknown}.") from None
