"""Answers in words and tables for a terminal; each function gives parts that rich can print."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from rich.console import RenderableType
from rich.table import Table
from rich.text import Text

VERDICTS = {
    "verified": ("verified: passes its checks", "green"),
    "not_verified": ("not verified: does not pass", "red"),
    "outside_scope": ("outside scope: the method does not cover this case", "yellow"),
}


def verification_tables(answer: Mapping[str, Any]) -> Iterator[RenderableType]:
    """Lay out the answer of a verification.

    Args:
        answer: The answer as the service gives it.

    Yields:
        The verdict, the checks, what is not met, and what the answer stands on.
    """
    words, style = VERDICTS[answer["verdict"]]
    yield Text(words, style=f"bold {style}")
    yield Text(f"{fastener_words(answer['fastener'])}; {_governing_words(answer['governing'])}")
    if answer["checks"]:
        yield _checks_table(answer["checks"])
    if answer["requirements"]:
        yield _requirements_table(answer["requirements"])
    yield from _listed("Outside the method", answer["scope_limits"], "detail")
    yield _site_reduction_words(answer["site_reduction"])
    yield from _footing(answer)


def sizing_tables(answer: Mapping[str, Any]) -> Iterator[RenderableType]:
    """Lay out the answer of a sizing.

    Args:
        answer: The answer as the service gives it.

    Yields:
        The choices with their reasons, the families passed over and rejected, and what the answer stands on.
    """
    searched = answer["searched"]
    yield Text(f"Searched {searched['families']} families, {searched['candidates']} candidates.")
    if answer["choices"]:
        yield _choices_table(answer["choices"])
        yield from _choice_words(answer["choices"][0])
    else:
        yield Text("No approved fixing passes its checks within these limits.", style="bold red")
    if answer["passed_over"]:
        yield _passed_over_table(answer["passed_over"])
    if answer["rejected"]:
        yield _rejected_table(answer["rejected"])
    yield from _footing(answer)


def findings_table(findings: Iterable[Mapping[str, Any]]) -> Table:
    """Lay out what lint found.

    Args:
        findings: The findings as mappings.

    Returns:
        One row a finding.
    """
    table = Table(title="Findings", title_justify="left")
    for heading in ("Severity", "Rule", "Where", "Found", "Allowed", "What to do"):
        table.add_column(heading, overflow="fold")
    for f in findings:
        where = f"{f['file']}{f['pointer']}"
        table.add_row(f["severity"], f["rule"], where, f"{f['message']} ({f['found']})", str(f["allowed"]), f["tip"])
    return table


def fastener_words(fastener: Mapping[str, Any]) -> str:
    """Name a fastener as one would order it.

    Args:
        fastener: The `fastener` of an answer.

    Returns:
        Family, size, embedment and, where known, length and article code.
    """
    words = f"{fastener['title']} {fastener['size']}, effective embedment {fastener['embedment_mm']:g} mm"
    if fastener["length_mm"] is not None:
        words += f", length {fastener['length_mm']:g} mm"
    return words + (f" ({fastener['article_code']})" if fastener["article_code"] else "")


def _governing_words(governing: Mapping[str, Any] | None) -> str:
    if governing is None:
        return "no check governs"
    edge = f" at edge {_words(governing['edge'])}" if governing["edge"] else ""
    used = f"{_words(governing['mode'])}{edge} governs in load case '{governing['load_case']}'"
    return f"{used}, utilisation {_number(governing['utilisation'])}"


def _checks_table(checks: list[Mapping[str, Any]]) -> Table:
    table = Table(title="Checks", title_justify="left")
    for heading in ("Mode", "Load case", "Fasteners", "Edge", "Clause"):
        table.add_column(heading, overflow="fold")
    for heading in ("Action kN", "Design resistance kN", "Utilisation"):
        table.add_column(heading, justify="right")
    for check in checks:
        table.add_row(
            _words(check["mode"]),
            check["load_case"],
            ", ".join(map(str, check["fasteners"])),
            _words(check["edge"] or ""),
            check["clause"],
            _number(check["design_action_kn"]),
            _number(check["design_resistance_kn"]),
            _number(check["utilisation"]),
            style="red" if check["utilisation"] > 1.0 else "",
        )
    return table


def _requirements_table(requirements: list[Mapping[str, Any]]) -> Table:
    table = Table(title="Requirements", title_justify="left")
    for heading in ("Met", "Requirement", "Detail", "Clause"):
        table.add_column(heading, overflow="fold")
    for requirement in sorted(requirements, key=lambda r: bool(r["met"])):
        met = "yes" if requirement["met"] else "no"
        style = "" if requirement["met"] else "red"
        table.add_row(met, _words(requirement["code"]), requirement["detail"], requirement["clause"] or "", style=style)
    return table


def _choices_table(choices: list[Mapping[str, Any]]) -> Table:
    table = Table(title="Choices, best first", title_justify="left")
    for heading in ("", "Fixing", "Holes"):
        table.add_column(heading, overflow="fold")
    table.add_column("Torque Nm", justify="right")
    table.add_column("Governing mode", overflow="fold")
    table.add_column("Utilisation", justify="right")
    for choice in choices:
        governing = choice["governing"]
        table.add_row(
            str(choice["rank"]),
            f"{len(choice['positions'])} × {fastener_words(choice['fastener'])}",
            _hole_words(choice["hole"]),
            _torque_words(choice),
            _words(governing["mode"]) if governing else "none",
            _number(choice["utilisation"]),
        )
    return table


def _choice_words(choice: Mapping[str, Any]) -> Iterator[Text]:
    yield Text(f"First choice: {len(choice['positions'])} × {fastener_words(choice['fastener'])}", style="bold green")
    places = "; ".join(f"({p['x_mm']:g}, {p['y_mm']:g})" for p in choice["positions"])
    yield Text(f"  at x, y in mm: {places}")
    for reason in choice["reasons"]:
        yield Text(f"  {reason}")


def _passed_over_table(entries: list[Mapping[str, Any]]) -> Table:
    table = Table(title="Pass, but rank below", title_justify="left")
    for heading in ("Family", "Size", "Utilisation", "Why"):
        table.add_column(heading, overflow="fold")
    for e in entries:
        size = f"{e['size']}, {e['embedment_mm']:g} mm"
        table.add_row(e["title"], size, _number(e["utilisation"]), e["reason"])
    return table


def _rejected_table(entries: list[Mapping[str, Any]]) -> Table:
    table = Table(title="Rejected", title_justify="left")
    for heading in ("Family", "What stopped it", "Nearest candidate"):
        table.add_column(heading, overflow="fold")
    for e in entries:
        cause = e["cause"]
        table.add_row(e["title"], f"{_words(cause['code'])}: {cause['detail']}", _nearest_words(e["nearest"]))
    return table


def _nearest_words(nearest: Mapping[str, Any] | None) -> str:
    if nearest is None:
        return "none"
    words = f"{nearest['positions_count']} × {nearest['size']}, {nearest['embedment_mm']:g} mm"
    return words if nearest["utilisation"] is None else f"{words}, utilisation {_number(nearest['utilisation'])}"


def _hole_words(hole: Mapping[str, Any]) -> str:
    if hole["diameter_mm"] is None:
        return "none drilled"
    return f"{hole['count']} × ø {hole['diameter_mm']:g}, {hole['depth_mm']:g} mm deep"


def _torque_words(choice: Mapping[str, Any]) -> str:
    if choice["torque_nm"] is not None:
        return _number(choice["torque_nm"])
    driver = choice["impact_driver_torque_max_nm"]
    return "none" if driver is None else f"impact driver up to {driver:g}"


def _site_reduction_words(reduction: Mapping[str, Any]) -> Text:
    taken_off = [part for part in reduction["parts"] if part["factor"] < 1]
    parts = ", ".join(f"{_words(p['condition'])} {_words(str(p['value']))} {p['factor']:g}" for p in taken_off)
    floor = f", held at the floor of {reduction['floor']:g}" if reduction["floor_applied"] else ""
    return Text(f"Site reduction {reduction['factor']:.3g}{floor}" + (f": {parts}" if parts else ""))


def _footing(answer: Mapping[str, Any]) -> Iterator[RenderableType]:
    yield from _listed("Assumed", answer["assumptions"], "text")
    yield from _listed("Cautions", answer["cautions"], "text")
    book = answer["rulebook"]
    yield Text(f"Rulebook {book['version']} ({book['status']}), assessed on {answer['assessed_on']}.", style="dim")


def _listed(title: str, entries: list[Mapping[str, Any]], field: str) -> Iterator[Text]:
    if entries:
        yield Text(f"{title}:", style="bold")
    for entry in entries:
        yield Text(f"  - {entry[field]}")


def _number(value: float | None) -> str:
    return "" if value is None else f"{value:.3g}" if abs(value) < 1000 else f"{value:.0f}"


def _words(code: str) -> str:
    return code.replace("_", " ")
