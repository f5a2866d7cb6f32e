"""Answers in words and tables for a terminal; each function gives parts that rich can print."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from typing import Any

from rich.console import RenderableType
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from service.cli.terminal import Cell, cell, printed, table
from service.contract.names import edge_name, mode_name, spaced, stop_name, verdict_name
from service.contract.sizing_codes import TorqueTool
from service.contract.verification_codes import RequirementCode
from service.words.units import hundredths

VERDICT_COLOURS = {"verified": "green", "not_verified": "red", "outside_scope": "yellow"}

# Choices that stand side by side on 80 columns.
SIDE_BY_SIDE = 3

Families = Mapping[str, Mapping[str, Any]]
COMPONENTS: Mapping[str, tuple[str, str]] = {
    "normal_kn": ("N", "kN"),
    "shear_x_kn": ("V_x", "kN"),
    "shear_y_kn": ("V_y", "kN"),
    "moment_x_knm": ("M_x", "kNm"),
    "moment_y_knm": ("M_y", "kNm"),
    "torsion_knm": ("T", "kNm"),
}
"""How a table calls the components of a combination, and their units."""

SITE_FIRST = Text("No answer yet: improve the site first.", style="bold red")


def verification_tables(answer: Mapping[str, Any], families: Families) -> Iterator[RenderableType]:
    """Lay out the answer of a verification.

    Args:
        answer: The answer as the service gives it.
        families: The families of the rulebook by id, for the set depths.

    Yields:
        The verdict, the checks, what is not met, and what the answer stands on.
    """
    verdict = answer["verdict"]
    if _below_floor(entry for entry in answer["requirements"] if not entry["met"]):
        yield SITE_FIRST
    yield printed(verdict_name(verdict), style=f"bold {VERDICT_COLOURS[verdict]}")
    yield printed(f"{fastener_words(answer['fastener'], families)}; {_governing_words(answer['governing'])}")
    if answer.get("combinations"):
        yield _combinations_table(answer["combinations"])
    if answer["checks"]:
        yield _checks_table(answer["checks"])
    if answer["requirements"]:
        yield _requirements(answer["requirements"])
    yield from _listed("Outside the method", answer["scope_limits"], "detail")
    yield _site_reduction_words(answer["site_reduction"])
    yield from _footing(answer)


def sizing_tables(answer: Mapping[str, Any], families: Families) -> Iterator[RenderableType]:
    """Lay out the answer of a sizing.

    Args:
        answer: The answer as the service gives it.
        families: The families of the rulebook by id, for the set depths.

    Yields:
        The choices with their reasons and side by side, the families passed over and rejected, what would admit more,
        and what the answer stands on.
    """
    if not answer["choices"] and _below_floor(entry["cause"] for entry in answer["rejected"]):
        yield SITE_FIRST
    searched = answer["searched"]
    counted = f"{searched['families']} families, {searched['candidates']} candidates"
    yield printed(
        f"Searched {counted}: {searched['verified']} were calculated in full; {searched['pruned']} were left out, as a "
        "quick check shows that they cannot pass."
    )
    if answer["choices"]:
        yield from _choices(answer["choices"], families)
        yield from _side_by_side(answer["choices"])
    else:
        yield printed("No approved fixing passes its checks within these limits.", style="bold red")
    yield from _passed_over(answer["passed_over"])
    yield from _rejected(answer["rejected"], answer["rejected_groups"])
    yield from _relaxations(answer["relaxations"])
    yield from _footing(answer)


def _below_floor(stops: Iterable[Mapping[str, Any]]) -> bool:
    """Whether too little is known of the site for anything to be fixed there."""
    return any(stop["code"] == RequirementCode.SITE_ABOVE_FLOOR for stop in stops)


def _table(title: str, *texts: Cell, figures: tuple[Cell, ...] = ()) -> Table:
    made = table((*texts, *figures), title=title, right=range(len(texts), len(texts) + len(figures)))
    for column in made.columns[len(texts) :]:
        column.no_wrap = True
    return made


def _unbroken(table: Table) -> Table:
    """Make each column as wide as its longest word, so that no word is broken on a narrow terminal."""
    for column in table.columns:
        texts = (str(cell) for cell in (column.header, *column.cells))
        column.min_width = max((len(word) for text in texts for word in text.split()), default=0)
    return table


def fastener_words(fastener: Mapping[str, Any], families: Families) -> str:
    """Name a fastener as one would order and set it.

    Args:
        fastener: The `fastener` of an answer.
        families: The families of the rulebook by id.

    Returns:
        Family, size, set depth with the effective one and, where known, length and article code.
    """
    named = f"{fastener['title']}, size {fastener['size']}, {_depths(fastener, families)}"
    if fastener["length_mm"] is not None:
        named += f", length {fastener['length_mm']:g} mm"
    return named + (f" ({fastener['article_code']})" if fastener["article_code"] else "")


def _depths(fastener: Mapping[str, Any], families: Families) -> str:
    """The set depth first, as it is what is drilled and marked for; a size that is not in the rulebook has none."""
    effective = f"h_ef {fastener['embedment_mm']:g} mm"
    size = families.get(fastener["family"], {}).get("sizes", {}).get(fastener["size"])
    rows = (row["depth"] for row in (size["embedments"].values() if size else ()))
    found = next((row["nominal_mm"] for row in rows if row["effective_mm"] == fastener["embedment_mm"]), None)
    return effective if found is None else f"set depth (h_nom) {found:g} mm, {effective}"


def _governing_words(governing: Mapping[str, Any] | None) -> str:
    if governing is None:
        return "no check governs"
    edge = f" at {edge_name(governing['edge'])}" if governing["edge"] else ""
    used = f"{mode_name(governing['mode'])}{edge} governs in load case '{governing['load_case']}'"
    return f"{used}, utilisation {utilisation_words(governing['utilisation'])}"


def _combinations_table(combinations: list[Mapping[str, Any]]) -> Table:
    title, figures = "Combinations of actions to EN 1990 (design values)", tuple(COMPONENTS.values())
    made = _table(title, "Combination", "Leads", figures=figures)
    for combination in combinations:
        values = (_number(combination[name]) for name in COMPONENTS)
        made.add_row(*map(cell, (combination["name"], combination["leading"] or "", *values)))
    return _unbroken(made)


def _checks_table(checks: list[Mapping[str, Any]]) -> Table:
    figures = (("Action", "kN"), ("Resistance", "kN"), "Utilisation")
    title = (
        "Checks to EN 1992-4 (design values; resistances before the site reduction, utilisations after it; "
        "fasteners numbered from 1)"
    )
    made = _table(title, "Failure mode", "Load case", "Fasteners", "Clause", figures=figures)
    for check in checks:
        row = (
            mode_name(check["mode"]) + (f", {edge_name(check['edge'])}" if check["edge"] else ""),
            check["load_case"],
            ", ".join(map(str, check["fastener_numbers"])),
            check["clause"],
            _number(check["design_action_kn"]),
            _number(check["design_resistance_kn"]),
            utilisation_words(check["utilisation"]),
        )
        made.add_row(*map(cell, row), style="red" if check["utilisation"] > 1.0 else "")
    return _unbroken(made)


def _requirements(requirements: list[Mapping[str, Any]]) -> RenderableType:
    unmet = [requirement for requirement in requirements if not requirement["met"]]
    if not unmet:
        return printed(f"All {len(requirements)} requirements are met.")
    title = f"Requirements not met ({len(unmet)} of {len(requirements)})"
    made = _table(title, "Requirement", "Detail", "Given", "Limit", "Clause")
    for requirement in unmet:
        given, limit = (_figure(requirement[name], requirement["unit"]) for name in ("given", "limit"))
        row = (stop_name(requirement["code"]), requirement["detail"], given, limit, requirement["clause"] or "")
        made.add_row(*map(cell, row))
    return _unbroken(made)


def _choices(choices: list[Mapping[str, Any]], families: Families) -> Iterator[RenderableType]:
    yield _heading("Choices, best first")
    for choice in choices:
        fixing = f"{len(choice['positions'])} × {fastener_words(choice['fastener'], families)}"
        first = choice["rank"] == 1
        title = printed(f"First choice: {fixing}" if first else fixing, style="bold green" if first else "bold")
        yield _item(f"{choice['rank']}.", title)
        places = "; ".join(f"({p['x_mm']:g}, {p['y_mm']:g})" for p in choice["positions"])
        yield _bullet(f"Positions (x, y) in mm: {places}.", 3)
        for reason in choice["reasons"]:
            yield _bullet(f"{reason['text']}.", 3)


def _side_by_side(choices: list[Mapping[str, Any]]) -> Iterator[RenderableType]:
    for first in range(0, len(choices), SIDE_BY_SIDE):
        shown = choices[first : first + SIDE_BY_SIDE]
        headings = (f"{c['rank']}. {c['fastener']['title']} {c['fastener']['size']}" for c in shown)
        if first == 0:
            yield Text()
        made = _table("Side by side" if first == 0 else "", "", *headings)
        for heading, compared in COMPARED.items():
            made.add_row(*map(cell, (heading, *(compared(choice["comparison"]) for choice in shown))))
        yield made


def _holes(compared: Mapping[str, Any]) -> str:
    return str(compared["holes"]) if compared["holes"] else "none"


def _mm(name: str, otherwise: str) -> Callable[[Mapping[str, Any]], str]:
    def cell(compared: Mapping[str, Any]) -> str:
        return otherwise if compared[name] is None else f"{compared[name]:g} mm"

    return cell


def _governing_mode(compared: Mapping[str, Any]) -> str:
    return "none: no load" if compared["governing_mode"] is None else mode_name(compared["governing_mode"])


def _tightened_with(compared: Mapping[str, Any]) -> str:
    tool, torque_nm = compared["torque_tool"], compared["torque_nm"]
    at_most = "at most " if tool == TorqueTool.IMPACT_WRENCH else ""
    return spaced(tool) if torque_nm is None else f"{spaced(tool)}, {at_most}{torque_nm:g} N·m"


COMPARED: Mapping[str, Callable[[Mapping[str, Any]], str]] = {
    "Holes to drill": _holes,
    "Hole diameter": _mm("hole_diameter_mm", "none"),
    "Hole depth": _mm("hole_depth_mm", "none"),
    "Tightened with": _tightened_with,
    "Removable": lambda compared: "yes" if compared["removable"] else "no",
    "Beyond least edge distance": _mm("edge_left_over_mm", "no edge"),
    "Beyond least spacing": _mm("spacing_left_over_mm", "one fastener"),
    "Fixture up to": _mm("fixture_thickness_max_mm", "any thickness"),
    "Governing mode": _governing_mode,
    "Utilisation": lambda compared: utilisation_words(compared["utilisation"]),
}


def _passed_over(entries: list[Mapping[str, Any]]) -> Iterator[RenderableType]:
    if entries:
        yield _heading("Pass, but rank below")
    for e in entries:
        fixing = _fixing_words(e["fastener_count"], e)
        used = "" if e["utilisation"] is None else f", utilisation {utilisation_words(e['utilisation'])}"
        yield _bullet(f"{e['title']}: {fixing}{used}. {e['reason']['text']}.")


def _rejected(entries: list[Mapping[str, Any]], groups: list[Mapping[str, Any]]) -> Iterator[RenderableType]:
    if entries:
        yield _heading("Rejected, by what stopped the one that came nearest to passing")
    by_family = {entry["family"]: entry for entry in entries}
    for group in groups:
        over = " over its resistance" if group["kind"] == "mode" else ""
        heading = stop_name(group["code"]) + over
        yield printed(heading[:1].upper() + heading[1:], style="underline")
        listed = [by_family[family] for family in group["families"]]
        alike = len({(entry["cause"]["detail"], entry["nearest"] is None) for entry in listed}) == 1
        if alike and listed[0]["nearest"] is None and len(listed) > 1:
            yield _bullet(f"{'; '.join(entry['title'] for entry in listed)}: {_cause(listed[0]['cause'])}", 2)
        else:
            for entry in listed:
                yield _bullet(f"{entry['title']}: {_cause(entry['cause'])}{_nearest_words(entry['nearest'])}", 2)


def _cause(cause: Mapping[str, Any]) -> str:
    also = "; ".join(map(_stop, cause["also"]))
    return f"{cause['detail']} (also: {also})" if also else str(cause["detail"])


def _stop(stop: Mapping[str, Any]) -> str:
    """What is wrong in a few words; of a check also how far it is over."""
    used = f", utilisation {utilisation_words(stop['figures']['utilisation'])}" if stop["kind"] == "mode" else ""
    return stop_name(stop["code"]) + used


def _relaxations(entries: list[Mapping[str, Any]]) -> Iterator[RenderableType]:
    if entries:
        yield _heading("What would let a rejected family pass, each change by itself")
    for entry in entries:
        yield _bullet(f"{entry['detail']}.")


def _nearest_words(nearest: Mapping[str, Any] | None) -> str:
    if nearest is None:
        return ""
    named = _fixing_words(nearest["positions_count"], nearest)
    used = "" if nearest["utilisation"] is None else f", utilisation {utilisation_words(nearest['utilisation'])}"
    return f". Nearest: {named}{used}."


def _fixing_words(count: int, fixing: Mapping[str, Any]) -> str:
    return f"{count} of size {fixing['size']} with h_ef {fixing['embedment_mm']:g} mm"


def _heading(text: str) -> RenderableType:
    return printed("", text, style="bold")


def _bullet(text: str, indent: int = 0) -> RenderableType:
    return _item("-", printed(text), indent)


def _item(marker: str, text: Text, indent: int = 0) -> RenderableType:
    grid = Table.grid(padding=(0, 1, 0, 0))
    grid.add_column(no_wrap=True)
    grid.add_column(overflow="fold")
    grid.add_row(marker, text)
    return Padding(grid, (0, 0, 0, indent))


def _site_reduction_words(reduction: Mapping[str, Any]) -> Text:
    taken_off = [part for part in reduction["parts"] if part["factor"] < 1]
    parts = ", ".join(f"{spaced(p['condition'])} {spaced(str(p['value']))} {p['factor']:g}" for p in taken_off)
    floor = f", below the rulebook's floor of {reduction['floor']:g}" if reduction["below_floor"] else ""
    return printed(f"Site reduction {reduction['factor']:.3g}{floor}" + (f": {parts}" if parts else ""))


def _footing(answer: Mapping[str, Any]) -> Iterator[RenderableType]:
    assumptions = [{"text": entry["text"] + _only_for(entry.get("fasteners"))} for entry in answer["assumptions"]]
    yield from _listed("Assumptions, to check on site", assumptions, "text")
    yield from _listed("Cautions", answer["cautions"], "text")
    book = answer["rulebook"]
    yield printed(f"Rulebook {book['version']} ({book['status']}), assessed on {answer['assessed_on']}.", style="dim")


def _only_for(fasteners: list[Mapping[str, Any]] | None) -> str:
    """The fasteners that an assumption of a sizing holds for; nothing where it holds for all."""
    named = ", ".join(f"{fastener['family']} {fastener['size']}" for fastener in fasteners or ())
    return f" ({named})" if named else ""


def _listed(title: str, entries: Sequence[Mapping[str, Any]], field: str) -> Iterator[RenderableType]:
    if entries:
        yield printed(f"{title}:", style="bold")
    for entry in entries:
        yield _bullet(entry[field], 2)


def _figure(value: float | str | None, unit: str | None) -> str:
    if value is None or isinstance(value, str):
        return value or ""
    return f"{value:g} {unit or ''}".rstrip()


def utilisation_words(utilisation: float | None) -> str:
    """Write a utilisation; one over its resistance is rounded up, so that it never reads as met.

    Args:
        utilisation: The utilisation; None where no check remains.

    Returns:
        The figure, which says of itself that it is over.
    """
    if utilisation is None or utilisation <= 1.0:
        return _number(utilisation)
    return f"{hundredths(utilisation) / 100:g} (over)"


def _number(value: float | None) -> str:
    return "" if value is None else f"{value:.3g}" if abs(value) < 1000 else f"{value:.0f}"
