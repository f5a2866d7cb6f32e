"""A family has the figures of its design method and no others."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding
from service.rulebook.lint.draft import Draft, Embedment, Size

RULE = __name__.rpartition(".")[2]
SUMMARY = (
    "full: steel, stress area and concrete; simplified: its one resistance, no concrete, pull-out or bond; "
    "bond for bonded fasteners only, a head for headed fasteners only, pull-out for neither"
)
WITHOUT_PULL_OUT = ("bonded", "headed_fastener")
TIP = "correct design_method or mechanism, or give exactly the groups that go with them"


def check(draft: Draft) -> Iterator[Finding]:
    """A family has the figures of its design method and no others."""
    for size in draft.sizes():
        yield from _size(size)
        for embedment in size.embedments():
            yield from _embedment(embedment)


def _size(size: Size) -> Iterator[Finding]:
    mechanism, full = size.family["mechanism"], size.family["design_method"] == "full"
    geometry = size.content["geometry"]
    wanted = {
        ("bond",): (size.content["bond"], full and mechanism == "bonded"),
        ("geometry", "head_diameter_mm"): (geometry["head_diameter_mm"], mechanism == "headed_fastener"),
    }
    if full:
        wanted |= {
            ("steel",): (size.content["steel"], True),
            ("geometry", "stress_area_mm2"): (geometry["stress_area_mm2"], True),
        }
    for steps, (value, needed) in wanted.items():
        if (value is not None) != needed:
            yield size.error(
                RULE, _message(size, steps[-1], needed), *steps, found=_state(value), allowed=_wish(needed), tip=TIP
            )


def _embedment(embedment: Embedment) -> Iterator[Finding]:
    size, content = embedment.size, embedment.content
    full = size.family["design_method"] == "full"
    wanted = {"simplified": not full, "concrete": full}
    if not full or size.family["mechanism"] in WITHOUT_PULL_OUT:
        wanted["pull_out"] = False
    for group, needed in wanted.items():
        if (content[group] is not None) != needed:
            yield embedment.error(
                RULE, _message(size, group, needed), group, found=_state(content[group]), allowed=_wish(needed), tip=TIP
            )


def _message(size: Size, group: str, needed: bool) -> str:
    kind = f"{size.family['mechanism']} fastener designed by the {size.family['design_method']} method"
    return f"a {kind} {'needs a' if needed else 'has no'} value for {group}"


def _state(value: object) -> str:
    return "null" if value is None else "figures"


def _wish(needed: bool) -> str:
    return "figures" if needed else "null"
