"""The operations of the API, a module for each thing that is asked."""

from service.api.operations import Operation
from service.api.routes import (
    as_built,
    changes,
    document,
    families,
    health,
    labels,
    load_models,
    replays,
    rulebooks,
    sheets,
    site_tests,
    sizings,
    verifications,
    words,
)


def operations() -> tuple[Operation, ...]:
    """List every operation, in the order of the contract.

    Returns:
        The operations.
    """
    modules = (
        verifications,
        sizings,
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
        document,
    )
    return tuple(operation for module in modules for operation in module.OPERATIONS)
