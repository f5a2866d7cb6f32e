"""The curing table has no gap, and warmth shortens every time in it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import Any

from service.rulebook.finding import Finding, error
from service.rulebook.lint.draft import Draft

RULE = __name__.rpartition(".")[2]
SUMMARY = (
    "temperature intervals follow each other without gap; no time rises with temperature; "
    "curing in a wet hole takes no less than in a dry one; bonded families have a table and no others do"
)
PLACE = "#/installation/working_and_curing"
TIMES = ("working_minutes", "curing_dry_minutes", "curing_wet_minutes")
TIP = "copy the table of the assessment row by row, coldest first"


def check(draft: Draft) -> Iterator[Finding]:
    """The curing table has no gap, and warmth shortens every time in it."""
    for file, family in draft.families():
        rows, bonded = family["installation"]["working_and_curing"], family["mechanism"] == "bonded"
        if bool(rows) != bonded:
            yield error(
                file,
                PLACE,
                RULE,
                "a curing table and a bonded fastener go together",
                found=f"{len(rows)} rows, {family['mechanism']}",
                allowed="at least one row" if bonded else "no row",
                tip=TIP,
            )
        for index, row in enumerate(rows):
            yield from _row(file, index, row)
        for index, (colder, warmer) in enumerate(pairwise(rows), start=1):
            yield from _neighbours(file, index, colder, warmer)


def _row(file: str, index: int, row: Mapping[str, Any]) -> Iterator[Finding]:
    low, high, wet, dry = (
        row[name] for name in ("temperature_min_c", "temperature_max_c", "curing_wet_minutes", "curing_dry_minutes")
    )
    if high <= low:
        yield error(
            file,
            f"{PLACE}/{index}/temperature_max_c",
            RULE,
            "the interval of temperature is empty",
            found=f"{low:g} to {high:g} °C",
            allowed=f"over {low:g} °C",
            tip=TIP,
        )
    if wet is not None and wet < dry:
        yield error(
            file,
            f"{PLACE}/{index}/curing_wet_minutes",
            RULE,
            "the resin would cure faster in a wet hole",
            found=f"{wet:g} min wet, {dry:g} min dry",
            allowed=f"at least {dry:g} min",
            tip=TIP,
        )


def _neighbours(file: str, index: int, colder: Mapping[str, Any], warmer: Mapping[str, Any]) -> Iterator[Finding]:
    if warmer["temperature_min_c"] != colder["temperature_max_c"]:
        yield error(
            file,
            f"{PLACE}/{index}/temperature_min_c",
            RULE,
            "the interval does not begin where the one before ends",
            found=f"{warmer['temperature_min_c']:g} °C",
            allowed=f"{colder['temperature_max_c']:g} °C",
            tip=TIP,
        )
    for name in TIMES:
        if None not in (warmer[name], colder[name]) and warmer[name] > colder[name]:
            yield error(
                file,
                f"{PLACE}/{index}/{name}",
                RULE,
                "the time is longer although it is warmer",
                found=f"{warmer[name]:g} min after {colder[name]:g} min",
                allowed=f"at most {colder[name]:g} min",
                tip=TIP,
            )
