"""The operations of the API, a module for each thing that is asked."""

from service.api.operations import Operation
from service.api.routes import document, families, health, rulebooks, sizings, verifications


def operations() -> tuple[Operation, ...]:
    """List every operation, in the order of the contract.

    Returns:
        The operations.
    """
    modules = (verifications, sizings, families, rulebooks, health, document)
    return tuple(operation for module in modules for operation in module.OPERATIONS)
