"""What a request is refused for, told so that the caller can mend it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from service.contract.faults import Fault


@dataclass(frozen=True, slots=True)
class Refusal:
    """One thing that is wrong with a request: where (JSON pointer), a stable code, and words that help."""

    pointer: str
    code: str
    detail: str
    figures: Mapping[str, Any] = field(default_factory=dict)

    @property
    def fault(self) -> Fault:
        """The refusal as the contract tells it."""
        return Fault(self.code, self.detail, pointer=self.pointer, figures=self.figures)


class RefusedRequest(ValueError):  # noqa: N818 - the interface speaks of a refused request, not of an error
    """A request that names something the rulebook does not know or allow."""

    def __init__(self, *errors: Refusal) -> None:
        """Keep the refusals.

        Args:
            errors: At least one refusal.
        """
        super().__init__("; ".join(f"{error.pointer}: {error.detail}" for error in errors))
        self.errors = errors

    @property
    def faults(self) -> tuple[Fault, ...]:
        """The refusals as the contract tells them."""
        return tuple(error.fault for error in self.errors)
