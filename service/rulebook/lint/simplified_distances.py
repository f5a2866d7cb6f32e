"""A label and the limits of its row ask for the same distances."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding
from service.rulebook.lint.draft import Draft

RULE = __name__.rpartition(".")[2]
SUMMARY = "with a simplified resistance, its spacing and edge distance are the least ones; else a warning"


def check(draft: Draft) -> Iterator[Finding]:
    """A label and the limits of its row ask for the same distances."""
    for embedment in draft.embedments():
        simple, limits = embedment.content["simplified"], embedment.content["limits"]
        for name in ("spacing", "edge") if simple else ():
            if simple[f"{name}_mm"] != limits[f"{name}_min_mm"]:
                yield embedment.warning(
                    RULE,
                    "the label and the limits ask for different distances, and the larger one counts",
                    "simplified",
                    f"{name}_mm",
                    found=f"{simple[f'{name}_mm']:g} mm, least {limits[f'{name}_min_mm']:g} mm",
                    allowed="the same",
                    tip="check both against the label",
                )
