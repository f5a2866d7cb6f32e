"""The operations of the API: a module for each thing that is asked, found by being here."""

from importlib import import_module
from pkgutil import iter_modules

from service.api.operations import Operation
from service.contract.paths_stated import paths


def operations() -> tuple[Operation, ...]:
    """List every operation, in the order of the contract.

    Returns:
        The operations.

    Raises:
        ValueError: A path of the contract has no view, or a view no path.
    """
    modules = [import_module(f"{__name__}.{found.name}") for found in iter_modules(__path__)]
    bound = {one.path.name: one for module in modules for one in getattr(module, "OPERATIONS", ())}
    names = [path.name for path in paths()]
    if bound.keys() != set(names):
        raise ValueError(f"without a view or without a path: {', '.join(sorted(bound.keys() ^ set(names)))}")
    return tuple(bound[name] for name in names)
