#!/usr/bin/env python3
"""Writes the templates of the catalogues of words, and a pseudo-language by which tests see what escapes them."""

from __future__ import annotations

import argparse
import pkgutil
import sys
from collections.abc import Iterator
from functools import cache
from importlib import import_module
from io import BytesIO
from itertools import chain
from pathlib import Path
from string import Formatter

from babel.messages.catalog import Catalog
from babel.messages.extract import extract_from_file
from babel.messages.pofile import write_po

import service
from service.site.load_models import MODELS
from service.site.load_models.model import crew_texts
from service.site.load_models.surfaces import SIDES
from service.words import LOCALE, Audience, Code

ROOT = Path(service.__file__).parent
SHARED = ROOT / "words"
FOR_CREWS = (ROOT / "site" / "sheet", ROOT / "api" / "page")
SAID = {"say": None, "tell": None, "count": (1, 2), "tell_count": (1, 2)}
"""Functions that are called with a sentence in English, or with one for one thing and one for several."""
SAID_IN_PAGES = {name: SAID[name] for name in ("say", "count")}
LANGUAGES = {
    ".py": ("python", SAID),
    ".js": ("javascript", SAID_IN_PAGES),
    ".html": ("jinja2.ext:babel_extract", SAID_IN_PAGES),
}
PSEUDO = "qps"
HEADER = 'msgid ""\nmsgstr ""\n"Content-Type: text/plain; charset=UTF-8\\n"\n"Content-Transfer-Encoding: 8bit\\n"\n\n'
ACCENTED = str.maketrans({"a": "aá", "e": "eé", "i": "ií", "o": "oó", "u": "uú", "A": "AÁ", "E": "EÉ", "I": "IÍ",
                          "O": "OÓ", "U": "UÚ"})  # fmt: skip


@cache
def templates(audience: Audience) -> Catalog:
    """Collect the sentences for an audience.

    Args:
        audience: For whom.

    Returns:
        The sentences in English, with the files that they stand in; who asks again is given the very same.
    """
    found = Catalog()
    for path in _files(audience):
        method, keywords = LANGUAGES[path.suffix]
        for _, message, _, _ in extract_from_file(method, path, keywords=keywords):
            found.add(message, locations=[(_named(path), 0)])
    if audience is Audience.CREW:
        for model in MODELS.values():
            for text in crew_texts(model):
                found.add(text, locations=[(f"service/site/load_models/{model.name}.py", 0)])
        for text in chain.from_iterable(sides.values() for sides in SIDES.values()):
            found.add(text, locations=[("service/site/load_models/surfaces.py", 0)])
    for code, module in _codes():
        for template in (*code.says.templates(audience), *code.says.shorts):
            found.add(template, locations=[(_named(Path(str(module))), 0)])
    return found


def written(catalogue: Catalog) -> str:
    """Write a catalogue out, so that the same sentences give the same file.

    Args:
        catalogue: The catalogue.

    Returns:
        The text of the file.
    """
    file = BytesIO()
    write_po(file, catalogue, width=0, omit_header=True, sort_output=True, include_lineno=False)
    return HEADER + file.getvalue().decode()


def pseudo(catalogue: Catalog) -> Catalog:
    """Translate into a language that nobody speaks: longer, accented, in brackets, with what was put in marked.

    Args:
        catalogue: The sentences in English.

    Returns:
        The same with their translations.
    """
    made = Catalog()
    for message in catalogue:
        if isinstance(message.id, tuple):
            made.add(message.id, tuple(_pseudo(template) for template in message.id))
        elif message.id:
            made.add(message.id, _pseudo(message.id))
    return made


def write_pseudo(directory: Path) -> None:
    """Write the pseudo-language for every audience.

    Args:
        directory: Where the languages are.
    """
    (directory / PSEUDO).mkdir(parents=True, exist_ok=True)
    for audience in Audience:
        (directory / PSEUDO / f"{audience}.po").write_text(written(pseudo(templates(audience))), "utf-8")


def main(arguments: list[str]) -> int:
    """Write the templates, or the pseudo-language.

    Args:
        arguments: Arguments of the command line.

    Returns:
        The exit code.
    """
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--pseudo", metavar="DIR", type=Path, help=f"write DIR/{PSEUDO} instead of the templates")
    directory = parser.parse_args(arguments).pseudo
    if directory is not None:
        write_pseudo(directory)
        return 0
    LOCALE.mkdir(exist_ok=True)
    for audience in Audience:
        (LOCALE / f"{audience}.pot").write_text(written(templates(audience)), "utf-8")
    return 0


def _files(audience: Audience) -> Iterator[Path]:
    for path in sorted(path for path in ROOT.rglob("*") if path.suffix in LANGUAGES):
        for_crews = any(path.is_relative_to(room) for room in FOR_CREWS)
        if path.is_relative_to(SHARED) or for_crews == (audience is Audience.CREW):
            yield path


def _codes() -> Iterator[tuple[Code, str]]:
    """Every code that there is, with the file of its list."""
    for module in pkgutil.walk_packages(service.__path__, "service."):
        import_module(module.name)
    for kind in sorted(_kinds(Code), key=lambda kind: (kind.__module__, kind.__qualname__)):
        for code in kind:
            yield code, str(sys.modules[kind.__module__].__file__)


def _kinds(kind: type[Code]) -> Iterator[type[Code]]:
    for inner in kind.__subclasses__():
        if inner.__module__.startswith("service."):
            yield inner
        yield from _kinds(inner)


def _named(path: Path) -> str:
    return path.resolve().relative_to(ROOT.parent.resolve()).as_posix()


def _pseudo(template: str) -> str:
    parts = []
    for text, name, digits, _ in Formatter().parse(template):
        parts.append(text.translate(ACCENTED).replace("{", "{{").replace("}", "}}"))
        if name is not None:
            parts.append(f"‹{{{name}{':' + digits if digits else ''}}}›")
    return f"⟦{''.join(parts)}⟧"


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
