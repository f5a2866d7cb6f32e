"""Saying what stands on a sheet in the language of the crew: figures with their units, sentences, lists of words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import TypeAlias

from service.site.sheet.content import Figure, Line
from service.words import Catalogue, Code

Part: TypeAlias = "Figure | Code | str | float"
"""What stands in a sentence: a figure with its unit, a word from a list, a name, or a plain number."""

SYMBOLS: Mapping[str, str] = MappingProxyType({"1": "", "count": "", "Nm": "N·m"})
DIGITS = ".10g"
MINUTES_PER_HOUR = 60
HOURS_FROM_MINUTES = 120


@dataclass(frozen=True)
class Wording:
    """Makes the words of a sheet from templates of the crew's catalogue."""

    catalogue: Catalogue

    def number(self, value: float) -> str:
        """Write a number as the language does; nothing is rounded.

        Args:
            value: The number.

        Returns:
            Its decimal digits.
        """
        return self.catalogue.figure(value, DIGITS)

    def text(self, figure: Figure) -> str:
        """Write a figure with its unit.

        Args:
            figure: The figure.

        Returns:
            The figure; a time in hours and minutes from two hours on.
        """
        if isinstance(figure.value, str):
            return figure.value
        if figure.unit == "min" and figure.value >= HOURS_FROM_MINUTES:
            hours, rest = divmod(figure.value, MINUTES_PER_HOUR)
            return f"{self.number(hours)} h" + (f" {self.number(rest)} min" if rest else "")
        return f"{self.number(figure.value)} {SYMBOLS.get(figure.unit, figure.unit)}".strip()

    def say(self, template: str, /, **parts: Part) -> str:
        """Say a sentence.

        Args:
            template: The sentence in English, its parts by name.
            **parts: The parts.

        Returns:
            The sentence in the language of the sheet.
        """
        return self.catalogue.say(template, **self._written(parts))

    def count(self, one: str, many: str, number: int, /, **parts: Part) -> str:
        """Say a sentence that depends on a number, which stands in it as ``{number}``.

        Args:
            one: The sentence for one.
            many: The sentence for any other number.
            number: The number.
            **parts: The other parts.

        Returns:
            The sentence in the language of the sheet.
        """
        return self.catalogue.count(one, many, number, **self._written(parts))

    def tell(
        self,
        template: str,
        /,
        *,
        code: str | None = None,
        rule: str | None = None,
        from_: str | None = None,
        **parts: Part,
    ) -> Line:
        """Write a line that the crew reads.

        Args:
            template: The sentence in English, its parts by name.
            code: Stable code of the line.
            rule: Rulebook path that the line follows from.
            from_: Place in the record that the line follows from.
            **parts: The parts; the figures among them go with the line.

        Returns:
            The line.
        """
        return Line(self.say(template, **parts), _figures(parts), rule, from_, code)

    def tell_count(self, one: str, many: str, number: Figure, /, **parts: Part) -> Line:
        """Write a line that depends on a number, which stands in it as ``{number}``.

        Args:
            one: The sentence for one.
            many: The sentence for any other number.
            number: The number, a figure of the line.
            **parts: The other parts; the figures among them go with the line.

        Returns:
            The line.
        """
        return Line(self.count(one, many, int(number.number), **parts), (*_figures(parts), number))

    def either(self, names: Sequence[str]) -> str:
        """Write a list of which one holds.

        Args:
            names: The names, at least one.

        Returns:
            The names, parted as the language does.
        """
        return self.catalogue.either(names)

    def every(self, names: Sequence[str]) -> str:
        """Write a list of which all hold.

        Args:
            names: The names, at least one.

        Returns:
            The names, parted as the language does.
        """
        return self.catalogue.every(names)

    def _written(self, parts: Mapping[str, Part]) -> dict[str, str]:
        return {name: self._part(part) for name, part in parts.items()}

    def _part(self, part: Part) -> str:
        if isinstance(part, Figure):
            return self.text(part)
        return self.catalogue.figure(part) if isinstance(part, Code | str) else self.number(part)


def _figures(parts: Mapping[str, Part]) -> tuple[Figure, ...]:
    return tuple(part for part in parts.values() if isinstance(part, Figure))
