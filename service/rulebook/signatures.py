"""Signatures of releases: OpenSSH's own, made and verified by its own program."""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
from dataclasses import dataclass
from pathlib import Path

from service.rulebook.register import Entry

NAMESPACE = "anchor-rulebook-release"
PATIENCE_SECONDS = 10.0


@dataclass(frozen=True)
class SignatureFault:
    """What keeps a signature from proving a release.

    Attributes:
        detail: In words.
        proven: Whether the signature was looked at, and is none.
    """

    detail: str
    proven: bool


class SigningFault(RuntimeError):  # noqa: N818 - the name is part of the package's interface
    """A signature could not be made."""


def fault_of(entry: Entry, signature: bytes, signers: Path) -> SignatureFault | None:
    """Say what keeps a signature from proving a release.

    Args:
        entry: The register's entry.
        signature: The signature beside it.
        signers: The file of allowed signers, in OpenSSH's form.

    Returns:
        The fault; None where the signatory's key signed exactly this entry.
    """
    program = shutil.which("ssh-keygen")
    if program is None:
        return SignatureFault("ssh-keygen, which verifies signatures, is not installed", proven=False)
    if not os.access(signers, os.R_OK):
        return SignatureFault("the file of allowed signers cannot be read", proven=False)
    with tempfile.NamedTemporaryFile(suffix=".sig") as file:
        file.write(signature)
        file.flush()
        words = ("-Y", "verify", "-f", str(signers), "-I", entry.signatory, "-n", NAMESPACE, "-s", file.name)
        try:
            done = subprocess.run(  # noqa: S603 - a list of words, the register's checked by its schema; no shell
                [program, *words], input=entry.message(), capture_output=True, timeout=PATIENCE_SECONDS, check=False
            )
        except (OSError, subprocess.SubprocessError):
            return SignatureFault("ssh-keygen could not be run", proven=False)
    if done.returncode == 0:
        return None
    detail = f"the signature is not that of an allowed key of {entry.signatory} over this entry of the register"
    return SignatureFault(detail, proven=True)


def sign(entry: Entry, key: Path) -> bytes:
    """Sign a release.

    Args:
        entry: The register's entry.
        key: The private key, or the public one of a key that an agent holds.

    Returns:
        The signature, as it lies beside the register.

    Raises:
        SigningFault: OpenSSH did not sign.
    """
    program = shutil.which("ssh-keygen")
    if program is None:
        raise SigningFault("ssh-keygen, which signs, is not installed; install openssh-client")
    with tempfile.TemporaryDirectory() as directory:
        file = Path(directory) / "entry"
        file.write_bytes(entry.message())
        words = ("-Y", "sign", "-f", str(key), "-n", NAMESPACE, str(file))
        try:
            done = subprocess.run([program, *words], capture_output=True, check=False)  # noqa: S603 - no shell
        except OSError as problem:
            raise SigningFault("ssh-keygen could not be run") from problem
        made = file.with_suffix(".sig")
        if done.returncode != 0 or not made.is_file():
            said = done.stderr.decode("utf-8", "replace").strip().splitlines()
            raise SigningFault(f"ssh-keygen did not sign with {key}: {said[-1] if said else 'it says nothing'}")
        return made.read_bytes()
