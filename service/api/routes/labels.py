"""Labels, and the site reduction explained."""

from typing import Any

from service.api.operations import Call, bound
from service.contract.coherence import without_nulls
from service.contract.labels import PATHS
from service.site.labels import reading as labels
from service.site.labels import site_improvements


def read_label(call: Call) -> dict[str, Any]:
    """Read the label of a call."""
    request, rulebook, _ = call.resolved()
    return labels.read_label(without_nulls(request), rulebook)


def explain_site_reduction(call: Call) -> dict[str, Any]:
    """Explain the site reduction of a call."""
    request, rulebook, _ = call.resolved()
    return site_improvements.explained(without_nulls(request), rulebook)


OPERATIONS = bound(
    PATHS,
    {"readLabel": read_label, "explainSiteReduction": explain_site_reduction},
)
