"""What the checker says about one place in the rules."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from service.rulebook.printable import printable

Severity = Literal["error", "warning"]


@dataclass(frozen=True)
class Finding:
    """One thing wrong at one place of one file.

    Attributes:
        file: Path of the file, relative to the rules directory.
        pointer: JSON pointer to the place, as a fragment ("#/sizes/M12").
        rule: Name of the check that found it.
        severity: An error keeps the service from starting, a warning does not.
        found: What stands there.
        allowed: What may stand there.
        tip: What to do about it.
        message: What is wrong, in one sentence.
    """

    file: str
    pointer: str
    rule: str
    severity: Severity
    found: str
    allowed: str
    tip: str
    message: str

    @property
    def text(self) -> str:
        """All of it on one line, safe to print."""
        line = (
            f"{self.file}{self.pointer}: {self.severity} [{self.rule}] {self.message}; "
            f"found: {self.found}; allowed: {self.allowed}; tip: {self.tip}"
        )
        return printable(line)


def error(file: str, pointer: str, rule: str, message: str, *, found: str, allowed: str, tip: str) -> Finding:
    """Make a finding that keeps the service from starting.

    Args:
        file: Path of the file, relative to the rules directory.
        pointer: JSON pointer to the place, as a fragment.
        rule: Name of the check that found it.
        message: What is wrong, in one sentence.
        found: What stands there.
        allowed: What may stand there.
        tip: What to do about it.

    Returns:
        The finding.
    """
    return Finding(file, pointer, rule, "error", found, allowed, tip, message)


def pointer_to(*steps: str | int) -> str:
    """Write the way into a document as a JSON pointer (RFC 6901) in a fragment.

    Args:
        steps: Keys and indices from the root of the document.

    Returns:
        "#" for the root, else for example "#/sizes/M12/embedments/70".
    """
    return "#" + "".join("/" + _escaped(str(step)) for step in steps)


def _escaped(step: str) -> str:
    speakable = step.encode("utf-8", "backslashreplace").decode("utf-8")
    return speakable.replace("~", "~0").replace("/", "~1")
