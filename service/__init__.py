"""Anchor Rulebook: sizes and verifies fixings in concrete to EN 1992-4.

`load_rulebook`, `verify` and `size` are the service for a caller in Python; service/public.py documents them.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from service.public import RequestRefused, load_rulebook, size, verify

__all__ = ["RequestRefused", "__version__", "load_rulebook", "size", "verify"]
__version__ = "0.2.0"


def __getattr__(name: str) -> Any:
    """Import what is public when it is first asked for: whoever wants the engine alone does not load the web."""
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from service import public

    return getattr(public, name)
