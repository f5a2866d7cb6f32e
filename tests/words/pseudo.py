"""The pseudo-language, and what of a text it shows not to have come from a catalogue."""

from __future__ import annotations

import importlib.util
from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path
from types import ModuleType

ROOT = Path(__file__).resolve().parents[2]
OPENS, CLOSES = "⟦‹", "⟧›"
CUT = "…"
"""Where a text is cut to the room there is, what is open stays open."""


@cache
def catalogues_script() -> ModuleType:
    """The script that writes the templates and the pseudo-language."""
    spec = importlib.util.spec_from_file_location("catalogues", ROOT / "deploy" / "catalogues.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def outside(texts: Iterable[str]) -> Iterator[str]:
    """Pieces of texts that no template brought: outside every bracket, or put into a template as they are.

    A sentence may go on in the next text, as it does where it is broken into lines.
    """
    opened: list[str] = []
    piece = ""
    for text in texts:
        for letter in text:
            if letter in OPENS or letter in CLOSES:
                if not opened or opened[-1] == "‹":
                    yield piece
                piece = ""
                if letter in OPENS:
                    opened.append(letter)
                else:
                    assert opened, text
                    assert OPENS.index(opened.pop()) == CLOSES.index(letter), text
            elif not opened or opened[-1] == "‹":
                piece += letter
        if text.endswith(CUT):
            opened.clear()
        if not opened or opened[-1] == "‹":
            if opened:
                piece += " "
            else:
                yield piece
                piece = ""
    assert not opened, opened
