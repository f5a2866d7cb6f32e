"""The command line: verify and size fixings from files, serve the API, lint a rulebook.

Exit codes: 0 the fixing is verified, a fixing was found, or nothing is wrong; 1 it is not verified, none was found, or
lint found an error; 2 the command was misused, the request is refused, or the rulebook can't be loaded.
"""

import argparse
import os
import sys
from pathlib import Path

from service import __version__
from service.api import RULES_VARIABLE
from service.audit.changes import UnknownFigure, UnreadableRules
from service.audit.impact import WorkerFailed
from service.cli import audit_commands, commands, release_commands, replay_commands
from service.cli.reading import RefusalError, UnusableError
from service.cli.shared import UNUSABLE, as_json, complain
from service.rulebook.repository import RepositoryFault, UnknownRevision

__all__ = ["main"]

EXIT_CODES = """\
FILE may be -, which reads standard input. --rules may stand before or after the command.

exit codes:
  0  verified; a fixing found; nothing found by lint
  1  not verified or outside scope; no fixing found; lint found an error
  2  misused command, refused request, or a rulebook that can't be loaded
"""


def main(argv: list[str] | None = None) -> int:
    """Run the command line.

    Args:
        argv: The arguments; None takes those of the process.

    Returns:
        The exit code.
    """
    arguments = _parser().parse_args(argv)
    try:
        code: int = arguments.run(arguments)
    except RefusalError as refusal:
        if not arguments.json:
            return complain(*refusal.lines)
        sys.stdout.write(as_json(refusal.document))
        return UNUSABLE
    except UnusableError as unusable:
        return complain(*unusable.lines)
    except (RepositoryFault, UnknownFigure, UnknownRevision, UnreadableRules, WorkerFailed) as fault:
        return complain(str(fault))
    return code


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="anchor-rulebook",
        description="Sizes and verifies fixings in concrete to EN 1992-4 by a versioned rulebook.",
        epilog=EXIT_CODES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    given = os.environ.get(RULES_VARIABLE)
    _add_rules(parser, Path(given) if given else None)
    parser.add_argument("--version", action="version", version=f"%(prog)s {__version__}")
    subparsers = parser.add_subparsers(title="commands", required=True, metavar="COMMAND")
    verify = _subcommand(subparsers, "verify", "does this fixing pass its checks?")
    verify.set_defaults(run=commands.verify)
    _add_request(verify, "a verification request as JSON, as for POST /v1/verifications; - reads standard input")
    size = _subcommand(subparsers, "size", "which approved fixing passes under these actions?")
    size.set_defaults(run=commands.size)
    _add_request(size, "a sizing request as JSON, as for POST /v1/sizings; - reads standard input")
    lint = _subcommand(subparsers, "lint", "is the rulebook in order?")
    lint.set_defaults(run=commands.lint)
    lint.add_argument("--json", action="store_true", help="print the findings as JSON")
    serve = _subcommand(subparsers, "serve", "start the API under gunicorn")
    serve.set_defaults(run=commands.serve)
    serve.add_argument("--host", default="127.0.0.1", help="address to listen on (default: %(default)s)")
    serve.add_argument("--port", type=_port, default=8080, help="port to listen on (default: %(default)s)")
    audit_commands.add_changes(subparsers, _subcommand)
    audit_commands.add_history(subparsers, _subcommand)
    replay_commands.add_replay(subparsers, _subcommand)
    replay_commands.add_impact(subparsers, _subcommand)
    replay_commands.add_guard(subparsers, _subcommand)
    release_commands.add(subparsers, _subcommand)
    return parser


def _subcommand(
    subparsers: "argparse._SubParsersAction[argparse.ArgumentParser]", name: str, words: str
) -> argparse.ArgumentParser:
    parser = subparsers.add_parser(name, help=words, description=words.capitalize())
    # Left out here, it must not undo what stands before the command.
    _add_rules(parser, argparse.SUPPRESS)
    return parser


def _add_rules(parser: argparse.ArgumentParser, default: Path | str | None) -> None:
    help_words = f"directory of the rulebook, or a packed rulebook (default: ${RULES_VARIABLE}, else the demonstration)"
    parser.add_argument("--rules", type=Path, metavar="DIR", default=default, help=help_words)


def _add_request(parser: argparse.ArgumentParser, words: str) -> None:
    parser.add_argument("file", metavar="FILE", help=words)
    help_words = "print the answer as JSON instead of tables; where the request is refused, the problem document"
    parser.add_argument("--json", action="store_true", help=help_words)


def _port(text: str) -> int:
    if not text.isdecimal() or not 0 < int(text) < 65536:
        raise argparse.ArgumentTypeError(f"must be a port from 1 to 65535, not {text!r}")
    return int(text)
