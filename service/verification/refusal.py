"""What a request is refused for, told so that the caller can mend it."""

from __future__ import annotations

from dataclasses import dataclass

from service.contract.faults import Fault


@dataclass(frozen=True, slots=True)
class Refusal:
    """One thing that is wrong with a request: where (JSON pointer), a stable code, and words that help."""

    pointer: str
    code: str
    detail: str


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
        return tuple(Fault(error.code, error.detail, pointer=error.pointer) for error in self.errors)
