"""What every command does alike: where the rules lie, JSON on standard output, and faults on standard error."""

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import Any

import orjson

from service.cli.terminal import warn
from service.rulebook.printable import printable_json
from service.rulebook.shipped import DEMONSTRATION

DONE, NOT_PASSED, UNUSABLE = 0, 1, 2
Subcommand = Callable[[Any, str, str], argparse.ArgumentParser]


def rules_of(arguments: argparse.Namespace) -> Path:
    """Name the rules that a command works with.

    Args:
        arguments: `rules`.

    Returns:
        The directory or packed rulebook that was named, or else the demonstration.
    """
    return arguments.rules or DEMONSTRATION


def as_json(value: object) -> str:
    """Write a value as JSON that people can read."""
    return printable_json(orjson.dumps(value, option=orjson.OPT_INDENT_2).decode()) + "\n"


def complain(*lines: str) -> int:
    """Tell on standard error why a command can't do its work.

    Args:
        *lines: What to tell, for the person who gave the command.

    Returns:
        The exit code for it.
    """
    warn(f"anchor-rulebook: {lines[0]}", *lines[1:])
    return UNUSABLE
