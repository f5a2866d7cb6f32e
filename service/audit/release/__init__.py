"""Releasing the rules: what keeps them from it, and what a release writes."""

from service.audit.release.notes import notes_of
from service.audit.release.releasing import Prepared, ReleaseRefused, Wanted, prepare, rewritten_entries, write

__all__ = (
    "Prepared",
    "ReleaseRefused",
    "Wanted",
    "notes_of",
    "prepare",
    "rewritten_entries",
    "write",
)
