"""What counts where no torque is named is a value of the condition that takes off at least as much."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding, error, pointer_to
from service.rulebook.lint.draft import Draft

RULE = __name__.rpartition(".")[2]
SUMMARY = "what counts in place of a value where no torque is named is a value of the condition, its factor no greater"
FILE = "factors/site-conditions.json"


def check(draft: Draft) -> Iterator[Finding]:
    """What counts where no torque is named is a value of the condition that takes off at least as much."""
    conditions = draft.factor("site-conditions")
    for name, condition in conditions["conditions"].items() if conditions else ():
        values = condition["values"]
        for value, entry in values.items():
            counted = entry.get("without_torque")
            if counted is None or (counted in values and values[counted]["factor"] <= entry["factor"]):
                continue
            allowed = [other for other, one in values.items() if other != value and one["factor"] <= entry["factor"]]
            yield error(
                FILE,
                pointer_to("conditions", name, "values", value, "without_torque"),
                RULE,
                "a torque that nobody can read must not count for more",
                found=counted,
                allowed=", ".join(allowed) or "none",
                tip="name the value that counts for a fastener without a torque, or leave it out",
            )
