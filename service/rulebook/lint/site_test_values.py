"""What site tests are judged by is what the trade uses, so that a slip of the pen stands out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from service.rulebook.finding import Finding, error, pointer_to
from service.rulebook.lint.draft import Draft

RULE = __name__.rpartition(".")[2]
SUMMARY = "figures and pairs that site tests are judged by (fractile, confidence, proof load and share, …) are in use"
FILE = "factors/site-tests.json"

# ISO 16269-6 and European assessments for the fractile, EAD 330232 for the cracks, both from memory.
ALLOWABLE: Mapping[str, tuple[float, ...]] = {
    "content": (0.95,),
    "confidence": (0.75, 0.9),
    "outlier_significance": (0.01, 0.05),
    "crack_width_min_mm": (0.3, 0.5),
    "partial_factor": (1.5, 1.8, 2.1, 2.5),
}
# BS 8539, from memory: 1.5 times on one in forty, or 1.25 times on one in twenty.
PAIRS = ((1.5, 0.025), (1.25, 0.05))


def check(draft: Draft) -> Iterator[Finding]:
    """Figures that site tests are judged by are in use."""
    factor = draft.factor("site-tests")
    if not factor:
        return
    given = factor["allowable_tests"]
    for name, allowed in ALLOWABLE.items():
        if name in given and given[name] not in allowed:
            yield error(
                FILE,
                pointer_to("allowable_tests", name),
                RULE,
                "no such figure is in use for tests to failure",
                found=f"{given[name]:g}",
                allowed=", ".join(f"{one:g}" for one in allowed),
                tip="correct it; another one has to be shown by who decides it, and the rule of the checker to follow",
            )
    for name, scheme in factor["proof_tests"]["schemes"].items():
        if (scheme["load_factor"], scheme["share"]) not in PAIRS:
            yield error(
                FILE,
                pointer_to("proof_tests", "schemes", name),
                RULE,
                "no such pair of proof load and share is in use",
                found=f"{scheme['load_factor']:g} times on {scheme['share']:.3g}",
                allowed=", ".join(f"{load:g} times on {share:g}" for load, share in PAIRS),
                tip="pull harder where fewer are pulled",
            )
