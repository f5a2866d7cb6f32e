"""Answers in words and tables for a terminal; each function gives parts that rich can print."""

from collections.abc import Iterator, Mapping
from typing import Any

from rich.box import SIMPLE_HEAD
from rich.console import RenderableType
from rich.table import Table
from rich.text import Text

from service.sizing.words import words

VERDICTS = {
    "verified": ("verified: passes its checks", "green"),
    "not_verified": ("not verified: does not pass", "red"),
    "outside_scope": ("outside scope: the method does not cover this case", "yellow"),
}

KEPT_WHOLE = ("Clause", "Size")


def verification_tables(answer: Mapping[str, Any]) -> Iterator[RenderableType]:
    """Lay out the answer of a verification.

    Args:
        answer: The answer as the service gives it.

    Yields:
        The verdict, the checks, what is not met, and what the answer stands on.
    """
    verdict, style = VERDICTS[answer["verdict"]]
    yield Text(verdict, style=f"bold {style}")
    yield Text(f"{fastener_words(answer['fastener'])}; {_governing_words(answer['governing'])}")
    if answer["checks"]:
        yield _checks_table(answer["checks"])
    if answer["requirements"]:
        yield _requirements(answer["requirements"])
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


def _table(title: str, *texts: str, figures: tuple[str, ...] = ()) -> Table:
    table = Table(title=title, title_justify="left", title_style="bold", box=SIMPLE_HEAD, padding=(0, 1, 0, 0))
    for heading in texts:
        table.add_column(heading, overflow="fold", no_wrap=heading in KEPT_WHOLE)
    for heading in figures:
        table.add_column(heading, justify="right", no_wrap=True)
    return table


def fastener_words(fastener: Mapping[str, Any]) -> str:
    """Name a fastener as one would order it.

    Args:
        fastener: The `fastener` of an answer.

    Returns:
        Family, size, embedment and, where known, length and article code.
    """
    named = f"{fastener['title']} {fastener['size']}, effective embedment {fastener['embedment_mm']:g} mm"
    if fastener["length_mm"] is not None:
        named += f", length {fastener['length_mm']:g} mm"
    return named + (f" ({fastener['article_code']})" if fastener["article_code"] else "")


def _governing_words(governing: Mapping[str, Any] | None) -> str:
    if governing is None:
        return "no check governs"
    edge = f" at edge {words(governing['edge'])}" if governing["edge"] else ""
    used = f"{words(governing['mode'])}{edge} governs in load case '{governing['load_case']}'"
    return f"{used}, utilisation {_number(governing['utilisation'])}"


def _checks_table(checks: list[Mapping[str, Any]]) -> Table:
    figures = ("Action\nkN", "Resistance\nkN", "Utilisation")
    table = _table("Checks (design values)", "Mode", "Load case", "Fasteners", "Clause", figures=figures)
    for check in checks:
        table.add_row(
            words(check["mode"]) + (f", {words(check['edge'])}" if check["edge"] else ""),
            check["load_case"],
            ", ".join(map(str, check["fasteners"])),
            check["clause"],
            _number(check["design_action_kn"]),
            _number(check["design_resistance_kn"]),
            _number(check["utilisation"]),
            style="red" if check["utilisation"] > 1.0 else "",
        )
    return table


def _requirements(requirements: list[Mapping[str, Any]]) -> RenderableType:
    unmet = [requirement for requirement in requirements if not requirement["met"]]
    if not unmet:
        return Text(f"All {len(requirements)} requirements are met.")
    title = f"Requirements not met ({len(unmet)} of {len(requirements)})"
    table = _table(title, "Requirement", "Detail", "Given", "Limit", "Clause")
    for requirement in unmet:
        given, limit = (_figure(requirement[name], requirement["unit"]) for name in ("given", "limit"))
        table.add_row(words(requirement["code"]), requirement["detail"], given, limit, requirement["clause"] or "")
    return table


def _choices_table(choices: list[Mapping[str, Any]]) -> Table:
    headings = ("", "Fixing", "Holes", "Torque Nm", "Governing mode")
    table = _table("Choices, best first", *headings, figures=("Utilisation",))
    for choice in choices:
        governing = choice["governing"]
        table.add_row(
            str(choice["rank"]),
            f"{len(choice['positions'])} × {fastener_words(choice['fastener'])}",
            _hole_words(choice["hole"]),
            _torque_words(choice),
            words(governing["mode"]) if governing else "none",
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
    table = _table("Pass, but rank below", "Family", "Size", "Why", figures=("Utilisation",))
    for e in entries:
        size = f"{e['size']}, {e['embedment_mm']:g} mm"
        table.add_row(e["title"], size, e["reason"], _number(e["utilisation"]))
    return table


def _rejected_table(entries: list[Mapping[str, Any]]) -> Table:
    table = _table("Rejected", "Family", "What stopped it", "Nearest candidate")
    for e in entries:
        cause = e["cause"]
        table.add_row(e["title"], f"{words(cause['code'])}: {cause['detail']}", _nearest_words(e["nearest"]))
    return table


def _nearest_words(nearest: Mapping[str, Any] | None) -> str:
    if nearest is None:
        return "none"
    named = f"{nearest['positions_count']} × {nearest['size']}, {nearest['embedment_mm']:g} mm"
    return named if nearest["utilisation"] is None else f"{named}, utilisation {_number(nearest['utilisation'])}"


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
    parts = ", ".join(f"{words(p['condition'])} {words(str(p['value']))} {p['factor']:g}" for p in taken_off)
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


def _figure(value: float | str | None, unit: str | None) -> str:
    if value is None or isinstance(value, str):
        return value or ""
    return f"{value:g} {unit or ''}".rstrip()


def _number(value: float | None) -> str:
    return "" if value is None else f"{value:.3g}" if abs(value) < 1000 else f"{value:.0f}"
