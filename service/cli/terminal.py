"""What a terminal is told: text out of data is shown as it is; it neither steers the terminal nor is read as markup."""

import sys
from collections.abc import Iterable, Sequence

from rich.box import SIMPLE_HEAD
from rich.console import Console
from rich.table import Table
from rich.text import Text

from service.rulebook.printable import printable

Cell = str | Sequence[str]
"""A line, or some of them."""


def terminal(*, stderr: bool = False) -> Console:
    """Give the place that words and tables are printed at.

    Args:
        stderr: Whether it is standard error.

    Returns:
        The console; it takes no text for markup.
    """
    return Console(stderr=stderr, highlight=False, markup=False, emoji=False)


def printed(*lines: str, style: str = "") -> Text:
    """Give text to print.

    Args:
        *lines: The text, a line each; a line end within one of them is shown as an escape.
        style: Its style, in rich's words.

    Returns:
        The text.
    """
    return Text("\n".join(map(printable, lines)), style=style)


def cell(text: Cell) -> Text:
    """Give the text of a cell.

    Args:
        text: A line, or some of them.

    Returns:
        The text.
    """
    return printed(text) if isinstance(text, str) else printed(*text)


def table(
    columns: Iterable[Cell], rows: Iterable[Iterable[Cell]] = (), *, title: str = "", right: Iterable[int] = ()
) -> Table:
    """Lay out a table.

    Args:
        columns: Headings.
        rows: Cells of each row.
        title: Title; empty for none.
        right: Places of the columns that end flush right.

    Returns:
        The table; more rows can be added, each cell of them given by `cell`.
    """
    flush = frozenset(right)
    made = Table(
        title=printed(title, style="bold") if title else None,
        title_justify="left",
        box=SIMPLE_HEAD,
        padding=(0, 1, 0, 0),
    )
    for place, heading in enumerate(columns):
        made.add_column(cell(heading), overflow="fold", justify="right" if place in flush else "left")
    for row in rows:
        made.add_row(*map(cell, row))
    return made


def show(*lines: str) -> None:
    """Write lines to standard output."""
    sys.stdout.write("".join(f"{printable(line)}\n" for line in lines))


def warn(*lines: str) -> None:
    """Write lines to standard error."""
    sys.stderr.write("".join(f"{printable(line)}\n" for line in lines))
