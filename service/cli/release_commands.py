"""Commands about releases: make one, list and prove all, pack them into one file."""

import argparse
import os
import sys
from collections.abc import Iterable
from dataclasses import asdict
from pathlib import Path
from typing import Any

from rich.table import Table

from service.api import SIGNERS_VARIABLE
from service.audit.release import ReleaseRefused, Wanted, notes_of, prepare, rewritten_entries, write
from service.cli.commands import loaded
from service.cli.shared import DONE, NOT_PASSED, Subcommand, as_json, complain, rules_of
from service.cli.terminal import cell, printed, show, terminal, warn
from service.contract.resolution import today
from service.rulebook.pack import packed
from service.rulebook.repository import Repository, RepositoryFault
from service.rulebook.shelf import Release, Shelf
from service.rulebook.signatures import SigningFault

KEY_VARIABLE = "ANCHOR_SIGNING_KEY"


def add(subparsers: Any, subcommand: Subcommand) -> None:
    """Put the commands on the parser."""
    making = subcommand(subparsers, "release", "enter the committed rules into the register of releases")
    making.set_defaults(run=release)
    making.add_argument("version", metavar="VERSION", help="version, year.number.patch, as rulebook.json has it")
    making.add_argument("--reason", required=True, help="why there is a release")
    making.add_argument("--checker", help="role of who read the changes against their sources")
    making.add_argument("--approver", help="role of who agreed")
    making.add_argument("--author", help="who makes the release (default: whom git is set up with)")
    making.add_argument("--date", metavar="DAY", default=None, help="day of the release, ISO 8601 (default: today)")
    making.add_argument("--signatory", help="whose key signs (default: the rulebook's signatory, joined by hyphens)")
    words = "why earlier versions may still be named by a request, asked for where the rules became stricter"
    making.add_argument("--earlier-versions", metavar="WHY", help=words)
    named = os.environ.get(KEY_VARIABLE)
    words = f"SSH key that signs (default: ${KEY_VARIABLE}); without one nothing is signed"
    making.add_argument("--key", type=Path, metavar="FILE", default=Path(named) if named else None, help=words)
    listing = subcommand(subparsers, "releases", "list the releases and prove each of them")
    listing.set_defaults(run=releases)
    listing.add_argument("--json", action="store_true", help="print the list as JSON")
    packing = subcommand(subparsers, "pack", "pack every release into one file, for places without git")
    packing.set_defaults(run=pack)
    packing.add_argument("file", metavar="FILE", type=Path, help="file to write")


def release(arguments: argparse.Namespace) -> int:
    """Release the committed rules.

    Args:
        arguments: `version`, `reason`, `checker`, `approver`, `author`, `date`, `signatory`,
            `earlier_versions`, `key`, `rules`.

    Returns:
        0 where the release is made, 1 where something stands against it, 2 where it could not be written.
    """
    rules = rules_of(arguments)
    day = arguments.date or today().isoformat()
    wanted = Wanted(
        version=arguments.version,
        date=day,
        reason=arguments.reason,
        author=arguments.author,
        checker=arguments.checker,
        approver=arguments.approver,
        signatory=arguments.signatory,
        earlier=arguments.earlier_versions,
    )
    try:
        prepared = prepare(rules, wanted)
        commit = write(rules, prepared, notes_of(prepared), arguments.key)
    except ReleaseRefused as refused:
        warn(f"anchor-rulebook: {arguments.version} is not released.", *(f"- {reason}" for reason in refused.reasons))
        return NOT_PASSED
    except (SigningFault, RepositoryFault, OSError) as fault:
        return complain(f"{arguments.version} is not released: {fault}")
    entry = prepared.entry
    signed = f"signed for {entry.signatory}" if arguments.key else "not signed: no key was given"
    show(
        f"Released {entry.version}, {signed}.",
        f"  digest  {entry.digest}",
        f"  commit  {commit}",
        f"  tag     rules/{entry.version}",
        f"  notes   notes/{entry.version}.md",
        "Next: git push --follow-tags",
    )
    return DONE


def releases(arguments: argparse.Namespace) -> int:
    """List the releases, prove each, and hold the register against its own history.

    Args:
        arguments: `json`, `rules`.

    Returns:
        0 where everything is proven, 1 where not, 2 where the rules can't be read.
    """
    shelf = loaded(arguments)
    shelf.check_all()
    repository = Repository.of(shelf.path) if shelf.path.is_dir() else None
    entries = tuple(release.entry for release in shelf.releases)
    rewritten = list(rewritten_entries(repository, entries)) if repository else []
    signed = bool(os.environ.get(SIGNERS_VARIABLE))
    if arguments.json:
        sys.stdout.write(as_json(_document(shelf, rewritten, signed)))
    else:
        _print(shelf, rewritten, signed)
    return NOT_PASSED if shelf.faults or rewritten else DONE


def pack(arguments: argparse.Namespace) -> int:
    """Pack every release that can be proven.

    Args:
        arguments: `file`, `rules`.

    Returns:
        0 where the file is written, 2 where not.
    """
    shelf = loaded(arguments)
    if not shelf.served:
        return complain("there is no release to pack; anchor-rulebook release makes one")
    raw = packed(shelf.tree, shelf.served)
    try:
        arguments.file.write_bytes(raw)
    except OSError as fault:
        return complain(f"{arguments.file}: {fault.strerror}")
    show(f"Packed {len(shelf.served)} releases into {arguments.file}, {len(raw) / 1000:.0f} kB.")
    return DONE


def _document(shelf: Shelf, rewritten: list[str], signed: bool) -> dict[str, Any]:
    return {
        "releases": [
            asdict(release.entry) | {"state": release.state, "commit": release.content and release.content.commit}
            for release in shelf.releases
        ],
        "faults": [fault.told for fault in shelf.faults],
        "rewritten": rewritten,
        "signatures_asked_for": signed,
        "note": shelf.note,
    }


def _print(shelf: Shelf, rewritten: list[str], signed: bool) -> None:
    console = terminal()
    console.print(_table(shelf.releases))
    proof = "content, signature and tag" if signed else f"content and tag; set {SIGNERS_VARIABLE} to prove signatures"
    console.print(printed(f"Proven by {proof}."))
    if shelf.note:
        console.print(printed(f"Note: {shelf.note}."))
    for fault in shelf.faults:
        told = printed(f"Fault: {fault.version or 'rules'}: {fault.code}: {fault.detail}")
        console.print(told, soft_wrap=True)
    for line in rewritten:
        console.print(printed(f"Fault: register: {line}"), soft_wrap=True)


def _table(releases: Iterable[Release]) -> Table:
    made = Table(box=None, pad_edge=False)
    for heading in ("Version", "Date", "State", "Digest", "Commit", "Why"):
        made.add_column(heading)
    for release in releases:
        commit = (release.content and release.content.commit) or "none"
        entry = release.entry
        row = (entry.version, entry.date, release.state, entry.digest[7:19], commit[:12], entry.reason)
        made.add_row(*map(cell, row))
    return made
