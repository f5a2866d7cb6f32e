"""Actions against the second calculation: combined here anew, each combination calculated as a design load case.

Source: EN 1990:2002, Eq. (6.10) and (6.11), from memory; the resistances are those of `tests/independent/`.
"""

from __future__ import annotations

import random
from itertools import product
from typing import TYPE_CHECKING, Any

import pytest

from service.rulebook import Rulebook
from service.verification import verify
from tests.independent.calculation import calculate, without_plate
from tests.independent.fixings import random_fixing
from tests.shipped import shipped_rules

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

NUMBER_OF_FIXINGS = 60
COMPONENTS = ("normal_kn", "shear_x_kn", "shear_y_kn", "moment_x_knm", "moment_y_knm", "torsion_knm")


@pytest.fixture(scope="module")
def rulebook() -> Rulebook:
    return shipped_rules()


def acting_on(seed: int, request: Mapping[str, Any]) -> list[dict[str, Any]]:
    """The first load case as weight, two variable actions and, in every third fixing, an accident."""
    r, case = random.Random(seed), request["load_cases"][0]  # noqa: S311 (no secret is made of it)
    kinds = [("weight", "permanent", 0.3), ("load", "variable", 0.3), ("wind", "variable", 0.2)]
    if seed % 3 == 0:
        kinds.append(("truck", "accidental", 0.4))
    found: list[dict[str, Any]] = []
    for name, kind, part in kinds:
        values = {n: round(part * r.choice((1, 1, -1, 0)) * float(case.get(n) or 0.0), 5) for n in COMPONENTS}
        psi: dict[str, Any] = {"psi_0": 0.7, "psi_1": 0.5, "psi_2": 0.3} if kind == "variable" else {}
        if any(values.values()):
            found.append({"name": name, "kind": kind} | values | psi)
    if len(found) > 1 and seed % 4 == 0 and found[-1]["kind"] == "variable":
        found[-1]["excludes"] = ["load"] if found[-1]["name"] != "load" else []
    return found


def summed(counted: Sequence[tuple[float, Mapping[str, Any]]]) -> dict[str, Any]:
    return {name: sum(factor * action[name] for factor, action in counted) for name in COMPONENTS}


def combined(actions: Sequence[Mapping[str, Any]], accident: Mapping[str, Any] | None) -> Iterator[dict[str, Any]]:
    """Every choice of factors: the weight at its most or 0.9, each variable action leading, accompanying or absent."""
    weights = [each for each in actions if each["kind"] == "permanent"]
    variable = [each for each in actions if each["kind"] == "variable"]
    most = 1.35 if accident is None else 1.0
    lead, beside = ("lead", "beside")
    for factors in product((most, 0.9), repeat=len(weights)):
        for roles in product((lead, beside, None), repeat=len(variable)):
            acting = {each["name"] for each, role in zip(variable, roles, strict=True) if role}
            apart = any(acting & set(each.get("excludes", ())) and each["name"] in acting for each in variable)
            if roles.count(lead) != min(1, len(acting)) or apart:
                continue
            counted = list(zip(factors, weights, strict=True))
            for each, role in zip(variable, roles, strict=True):
                if role and accident is None:
                    counted.append((1.5 if role == lead else 1.5 * each["psi_0"], each))
                elif role:
                    counted.append((each["psi_1"] if role == lead else each["psi_2"], each))
            yield summed([*counted, *([] if accident is None else [(1.0, accident)])])


@pytest.mark.parametrize("seed", range(NUMBER_OF_FIXINGS))
def test_engine_agrees_with_combinations_made_apart(seed: int, rulebook: Rulebook) -> None:
    # What of an action stays for long matters for bonds, and asks for forces; rings and hooks have no plate.
    others = {
        name: family
        for name, family in rulebook.families.items()
        if family["mechanism"] != "bonded" and not name.startswith(("sleeve-hook", "sleeve-eyebolt"))
    }
    request = random_fixing(seed, others)
    actions = acting_on(seed, request)
    if not actions:
        pytest.skip("nothing acts")
    use = {name: value for name, value in request["use"].items() if name not in {"situation", "redundancy"}}
    bare = {name: value for name, value in request.items() if name != "load_cases"} | {"use": use}
    answer = verify(bare | {"actions": actions}, rulebook)
    theirs: dict[str, float] = {}
    verdicts = set()
    accidents: list[Any] = [each for each in actions if each["kind"] == "accidental"]
    for accident in [None, *accidents]:
        cases = [case for case in combined(actions, accident) if any(abs(value) > 1e-12 for value in case.values())]
        if not cases:
            continue
        named = [{"name": str(number), "kind": "design"} | case for number, case in enumerate(cases)]
        situation = "persistent" if accident is None else "accidental"
        asked = bare | {"load_cases": named, "use": use | {"situation": situation}}
        other = calculate(asked, others[request["fastener"]["family"]], rulebook.document, rulebook.factors)
        verdicts.add(other.verdict)
        for (mode, _), utilisation in other.worst().items():
            theirs[mode] = max(theirs.get(mode, 0.0), utilisation)
    if "outside_scope" in verdicts:
        assert without_plate(answer) == "outside_scope"
        return
    assert without_plate(answer) == ("verified" if verdicts == {"verified"} else "not_verified")
    ours: dict[str, float] = {}
    for check in answer["checks"]:
        ours[check["mode"]] = max(ours.get(check["mode"], 0.0), check["utilisation"])
    assert ours == pytest.approx(theirs, rel=1e-4)
