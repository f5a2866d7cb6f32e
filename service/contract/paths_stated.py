"""Every path that the contract states, a module for each thing that is asked."""

from service.contract import (
    as_built,
    changes,
    families,
    health,
    labels,
    load_models,
    replays,
    rulebooks,
    sheets,
    site_tests,
    sizing,
    verification,
    words,
)
from service.contract.paths import Path


def paths() -> tuple[Path, ...]:
    """List every path, in the order of the document."""
    modules = (
        verification,
        sizing,
        sheets,
        as_built,
        replays,
        families,
        rulebooks,
        changes,
        health,
        site_tests,
        load_models,
        labels,
        words,
    )
    return (*(path for module in modules for path in module.PATHS), *health.DOCUMENT_PATHS)
