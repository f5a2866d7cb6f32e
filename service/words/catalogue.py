"""Catalogues: the sentences of one language for one audience. English stands in the templates themselves."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache, reduce
from gettext import GNUTranslations, NullTranslations
from io import BytesIO
from math import isclose
from pathlib import Path
from string import Formatter

from babel.core import Locale
from babel.localedata import exists
from babel.messages.catalog import Message
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po
from babel.numbers import format_decimal

from service.words.codes import Audience, Code, Statement, Value, digits_in

ENGLISH = "en"
LOCALE = Path(__file__).parent / "locale"
"""Holds ``LANGUAGE/AUDIENCE.po`` for every language but English."""

COUNTED = range(201)
"""Numbers by which the forms of a language are found; CLDR tells none apart beyond."""
NO_DIFFERENCE = 1e-9
"""Figures that differ by no more are the same, in any unit: sums of floating numbers do."""
ROUNDED_AWAY = 1e-2
"""Share by which two figures that are written alike differ at most."""
WRITTEN_OUT = "0.##########"
_NUMBERS = (int, float)
_PLAIN = re.compile(r"^-?\d+(\.\d+)?$")


@dataclass(frozen=True)
class Catalogue:
    """The words of one language for one audience."""

    language: str
    audience: Audience
    translations: NullTranslations
    texts: Mapping[str, str] = field(default_factory=dict)
    """Every sentence of the language by its English; none where the language is English."""
    counted: tuple[tuple[str, str], ...] = ()
    """The sentences that depend on a number, for one and for any other, in English."""
    _filling: dict[str, Callable[[Mapping[str, Value]], str]] = field(default_factory=dict)
    """What fills a template that was asked for."""
    _names: dict[tuple[type[Code], Code], str] = field(default_factory=dict)
    """Names that were asked for; members of two lists are equal where their words are, so the list counts too."""

    def say(self, template: str, /, **figures: Value) -> str:
        """Say a sentence that stands in English where it is called, which is how the catalogues find it.

        Args:
            template: The sentence, its figures by name: ``Drill {depth_mm} mm deep``.
            **figures: The figures.

        Returns:
            The sentence in the language.
        """
        return self._filled(self.translations.gettext(template), figures)

    def count(self, one: str, many: str, number: int, /, **figures: Value) -> str:
        """Say a sentence that depends on a number, which stands in it as ``{number}``.

        Args:
            one: The sentence for one.
            many: The sentence for any other number.
            number: The number.
            **figures: The other figures.

        Returns:
            The sentence in the language.
        """
        template = self.translations.ngettext(one, many, number)
        return self._filled(template, {"number": number, **figures})

    def either(self, names: Sequence[str]) -> str:
        """Write a list of names of which one holds: ``dry, wet or flooded``.

        Args:
            names: The names, at least one.

        Returns:
            The list as the language writes it.
        """
        return self.say("{names} or {last}", names=self._listed(names[:-1]), last=names[-1]) if names[1:] else names[0]

    def every(self, names: Sequence[str]) -> str:
        """Write a list of names that all hold: ``curing and hardening``.

        Args:
            names: The names, at least one.

        Returns:
            The list as the language writes it.
        """
        return self.say("{names} and {last}", names=self._listed(names[:-1]), last=names[-1]) if names[1:] else names[0]

    def _listed(self, names: Sequence[str]) -> str:
        if len(names) < 2:
            return names[0] if names else ""
        return reduce(lambda listed, name: self.say("{names}, {next}", names=listed, next=name), names)

    def forms(self, one: str, many: str) -> dict[str, str]:
        """The templates of a sentence that depends on a number, by the names of CLDR for numbers: one, few, other.

        Args:
            one: The sentence for one, in English.
            many: The sentence for any other number.

        Returns:
            The templates of the language; other is always there.
        """
        plural = _locale(self.language).plural_form
        found = {plural(number): self.translations.ngettext(one, many, number) for number in reversed(COUNTED)}
        return {"other": self.translations.ngettext(one, many, 0)} | found

    def translated(self, template: str) -> str:
        """A template in the language, its figures not yet put in."""
        return self.translations.gettext(template)

    def name(self, code: Code) -> str:
        """A few words for a code: the name of a failure mode, or what is wrong where a requirement is not met."""
        key = (type(code), code)
        if key not in self._names:
            self._names[key] = self.translations.gettext((code.says.shorts or code.says.templates(self.audience))[-1])
        return self._names[key]

    def sentence(self, statement: Statement) -> str:
        """The sentence of a code with its figures."""
        template = self.translations.gettext(statement.code.says.template(self.audience, statement.figures))
        figures = statement.figures
        for given, limit in statement.code.compared:
            figures = self._told_apart(template, figures, given, limit)
        return self._filled(template, figures)

    def _told_apart(self, template: str, figures: Mapping[str, Value], given: str, limit: str) -> Mapping[str, Value]:
        """Figures in which one that is written as its limit and is not it says on which side it lies."""
        one, other = figures[given], figures[limit]
        if not (isinstance(one, _NUMBERS) and isinstance(other, _NUMBERS)):
            return figures
        # Most are far from their limit, which is seen before anything else is asked for.
        if not isclose(one, other, rel_tol=ROUNDED_AWAY) or isclose(one, other, rel_tol=0.0, abs_tol=NO_DIFFERENCE):
            return figures
        digits = digits_in(template)
        if not {given, limit} <= digits.keys():
            return figures
        written = self.figure(one, digits[given])
        if written != self.figure(other, digits[limit]):
            return figures
        if one > other:
            return {**figures, given: self.say("just over {figure}", figure=written)}
        return {**figures, given: self.say("just under {figure}", figure=written)}

    def _filled(self, template: str, figures: Mapping[str, Value]) -> str:
        if template not in self._filling:
            self._filling[template] = _compiled(template, self.figure)
        return self._filling[template](figures)

    def figure(self, value: Value, digits: str = "") -> str:
        """Write a figure.

        Args:
            value: A number, a name or a code, or several.
            digits: How many digits of a number count, as ``.3g``; six where nothing is said.

        Returns:
            The number as the language writes it, the name of the code, or the name itself; several with commas.
        """
        # By exact type where it is one of the two that most figures are.
        if type(value) is str:
            return value
        if type(value) is float:
            return self._number(value, digits or "g")
        if value is None:
            return self.say("not known")
        if isinstance(value, tuple):
            return self._listed([self.figure(each, digits) for each in value])
        if isinstance(value, str):
            return self.name(value) if isinstance(value, Code) else value
        return self._number(value, digits or "d")

    def _number(self, value: float, digits: str) -> str:
        short = format(value, digits)
        if self.language == ENGLISH or not _PLAIN.match(short):
            return short
        return str(format_decimal(short, format=WRITTEN_OUT, locale=_locale(self.language)))


@cache
def catalogue(audience: Audience, language: str = ENGLISH, directory: Path = LOCALE) -> Catalogue:
    """Open a catalogue.

    Args:
        audience: For whom.
        language: Code of the language; English needs no file.
        directory: Where the files of the other languages are.

    Returns:
        The catalogue.

    Raises:
        ValueError: There is no such language; the message lists those there are. Or a translation names other figures
            than its sentence has; the message says which.
    """
    if language == ENGLISH:
        return Catalogue(language, audience, NullTranslations())
    if language not in languages(directory):
        raise ValueError(f"no catalogue for the language {language!r}; there are: {', '.join(languages(directory))}")
    with (directory / language / f"{audience}.po").open("rb") as file:
        read = read_po(file, locale=language if _known(language) else None)
    for message in read:
        _refuse_other_figures(message, f"{language}/{audience}.po")
    written = BytesIO()
    write_mo(written, read)
    written.seek(0)
    messages = [message for message in read if message.id and message.string]
    texts = {str(message.id): str(message.string) for message in messages if isinstance(message.id, str)}
    counted = tuple((message.id[0], message.id[1]) for message in messages if not isinstance(message.id, str))
    return Catalogue(language, audience, GNUTranslations(written), texts, counted)


def _refuse_other_figures(message: Message, file: str) -> None:
    """Refuse a translation in which a figure would be missing, or that asks for one that is not there."""
    asked, told = (each if isinstance(each, tuple | list) else (each,) for each in (message.id, message.string))
    allowed = {name for template in asked for name in _named(template or "")}
    for template in told if message.id else ():
        if strange := _named(template or "") - allowed:
            words = f"{', '.join(sorted(strange))} in the translation of {asked[0]!r} in {file}"
            raise ValueError(f"no figure of that name: {words}; there are: {', '.join(sorted(allowed)) or 'none'}")


def _named(template: str) -> set[str]:
    return {name for _, name, _, _ in Formatter().parse(template) if name is not None}


def languages(directory: Path = LOCALE) -> tuple[str, ...]:
    """The languages there are words in, English first.

    Args:
        directory: Where the files are.

    Returns:
        Codes of the languages.
    """
    found = sorted(path.name for path in directory.iterdir() if path.is_dir()) if directory.is_dir() else []
    return (ENGLISH, *found)


def _compiled(template: str, figure: Callable[[Value, str], str]) -> Callable[[Mapping[str, Value]], str]:
    """What puts figures into a template: compiled, as an answer has dozens of sentences."""
    parts = []
    for text, name, digits, _ in Formatter().parse(template):
        parts.append(repr(text))
        if name is not None:
            parts.append(f"figure(figures[{name!r}], {digits or ''!r})")
    # Texts and names stand in it as literals, so nothing of a catalogue is run.
    filling: Callable[[Mapping[str, Value]], str] = eval(  # noqa: S307
        f"lambda figures: ''.join(({', '.join(parts)},))", {"figure": figure}
    )
    return filling


@cache
def _locale(language: str) -> Locale:
    return Locale.parse(language if _known(language) else ENGLISH)


@cache
def _known(language: str) -> bool:
    return bool(exists(language))
