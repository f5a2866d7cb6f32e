"""From a characteristic resistance to a utilisation: the last lines of every check."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TypeVar

from service.engine.codes import Mode
from service.engine.en1992_4 import partial_factors
from service.engine.model import EdgeName
from service.engine.results import Check
from service.engine.trace import Trace

Group = TypeVar("Group")


def finish(
    mode: Mode,
    clause: str,
    suffix: str,
    kind: str,
    fasteners: tuple[int, ...],
    action_n: float,
    characteristic_n: float,
    partial_factor: float,
    site_factor: float,
    trace: Trace,
    edge: EdgeName | None = None,
) -> Check:
    """Close a check: design resistance, site reduction and utilisation.

    EN 1992-4:2018, 4.4.2 and Tables 7.1 and 7.2; the site reduction is the company's and not of the standard.

    Args:
        mode: The failure mode.
        clause: Clause of the characteristic resistance.
        suffix: Index of the resistance in the standard's notation, such as ``c`` in N_Rk,c.
        kind: ``N`` for tension, ``V`` for shear, ``F`` for any direction.
        fasteners: Indices of the fasteners concerned.
        action_n: Design action (N).
        characteristic_n: Characteristic resistance (N).
        partial_factor: Partial factor of the resistance (no unit).
        site_factor: Site reduction factor, at most 1 (no unit).
        trace: Where the working goes.
        edge: The edge concerned, for edge failure and blow-out.

    Returns:
        The check, its utilisation including the site reduction (no unit).
    """
    design = characteristic_n / partial_factor
    used = action_n / (design * site_factor)
    if trace.wanted:
        trace.add(f"{kind}_Rd,{suffix}", design, "N", f"{kind}_Rk,{suffix}/{partial_factors.symbol(suffix)}", clause)
        trace.add(f"{kind}_Ed", action_n, "N", "design action on the fasteners of this check", "6.2")
        trace.add("eta_site", site_factor, "-", "site reduction factor", "company rule")
        trace.add(f"beta_{kind}", used, "-", f"{kind}_Ed/({kind}_Rd,{suffix}·eta_site)", clause)
    return Check(
        mode, fasteners, edge, clause, action_n, characteristic_n, partial_factor, design, used, trace.entries()
    )


def governing(groups: Iterable[Group], check: Callable[[Group, bool], Check], want_trace: bool) -> Check:
    """Check groups and keep the worst, the first of equals, whose working alone is written.

    EN 1992-4:2018, Tables 7.1 and 7.2.

    Args:
        groups: What is to be checked, at least one.
        check: Checks one, with or without its working.
        want_trace: Whether the working is wanted.

    Returns:
        The worst check.
    """
    found = [(check(group, False), group) for group in groups]
    most, group = max(found, key=lambda pair: pair[0].utilisation)
    return check(group, True) if want_trace else most


def worst(checks: list[Check]) -> Check:
    """The check with the largest utilisation, the first of equals."""
    return max(checks, key=lambda check: check.utilisation)
