"""Compares what two checkouts answer: the same requests to both, and every figure, verdict and code held together.

.venv-test/bin/python -m tests.bench.compare_answers --before DIR --after DIR

Requests: random fixings of the second calculation (with things left out, unknown, or refused), every reference fixing,
the requests of the record vectors, the README's examples, and the examples of the contract of the code before. They go
through the HTTP API of each checkout, in a process of its own. A figure, verdict, code or refusal that differs ends it
with 1; so does one that is gone. Sentences and added fields are told and pass.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import re
import subprocess
import sys
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from tests.independent.fixings import random_fixing

ROOT = Path(__file__).resolve().parents[2]
DAY = "2026-11-25"
NUMBER = 2_000
FIRST_SEED = 10_000
"""Beyond the seeds of the second calculation, so that these are other fixings."""
FIGURES = 1e-9
SHOWN = 3
VERIFICATIONS = "/v1/verifications"
COMPARED_PATHS = (VERIFICATIONS, "/v1/sizings", "/v1/load-models/", "/v1/labels", "/v1/site-tests/", "/v1/site-red")
"""Paths whose contract examples are compared; the others take records, whose ids are another matter."""

WORKER = """
import json, sys
from datetime import date
from pathlib import Path
root = Path(sys.argv[1])
sys.path.insert(0, str(root))
import service
from service.api import create_app
if Path(service.__file__).resolve().parents[1] != root:
    sys.exit(f"service is that of {service.__file__}, not of {root}")
client = create_app(root / "rules", clock=lambda: date.fromisoformat(sys.argv[2])).test_client()
for line in sys.stdin:
    path, body = json.loads(line)
    answer = client.post(path, json=body)
    print(json.dumps({"status": answer.status_code, "body": answer.get_json()}), flush=True)
"""

MOVED = (
    # place before, place after, what is added to a number on the way
    (r"(fastener_forces/.*/fasteners/.*)/index", r"\1/number", 1),
    (r"(checks/.*)/fasteners/(.*)", r"\1/fastener_numbers/\2", 1),
)
"""Places that have another name in the code after; used where the code after no longer has the old one."""

NOT_COMPARED = re.compile(r"^record/|^rulebook/commit$|/record/")
KEYS = (
    ("mode", "load_case", "edge", "combination"),
    ("load_case", "combination"),
    ("family", "size", "embedment_mm"),
    ("symbol", "expression"),
    ("condition", "better"),
    ("code", "pointer", "rule"),
    ("pointer", "code"),
    ("code",),
    ("name",),
)
"""Members that tell the objects of a list apart, so that a new entry moves no other; otherwise the place does."""
SERIOUS_TEXTS = re.compile(
    r"(^|/)(verdict|mode|code|governing|edge|load_case|combination|clause|rule|symbol|unit|outcome|met|family|size|"
    r"value|condition|article_code|mechanism)$"
)
"""Texts that are no sentences: names, codes and paths."""

WAS_PROSE = re.compile(r"requirements/.*/(given|limit|unit)$|/cause/(figure|limit|unit)$")
"""Places that held prose or several values in one text, and now a single value or null, the figures standing beside."""

WERE_TEXTS = re.compile(r"(^choices/\[[^\]]*\]/reasons|^passed_over/\[[^\]]*\]/reason|/also)/")
"""Places whose entries were bare texts, and now are codes with figures and the text made of them."""

Place = tuple[str, ...]
Request = tuple[str, str, Any]
"""Group, path and body."""


def seeded_requests(number: int) -> Iterator[Request]:
    """Random fixings with each thing now and then left out or unknown, and now and then out of what is allowed.

    Args:
        number: How many.

    Yields:
        The requests.
    """
    files = sorted((ROOT / "rules" / "families").glob("*.json"))
    families = {path.stem: json.loads(path.read_text("utf-8")) for path in files}
    for seed in range(FIRST_SEED, FIRST_SEED + number):
        body = random_fixing(seed, families)
        _vary(random.Random(seed), body)  # noqa: S311 (no secret is made of it)
        yield "seeded", VERIFICATIONS, body


def _vary(r: random.Random, body: dict[str, Any]) -> None:
    body["detail"] = r.choice(("summary", "full", "full"))
    member, use = body["member"], body["use"]
    for holder, names in (
        (body, ("use", "site", "assessed_on")),
        (member, ("state", "strength_class", "reinforcement", "edges")),
        (use, tuple(use)),
        (body["fixture"], ("clearance", "rotation", "washer_clamped", "stand_off_mm", "centre", "thickness_mm")),
    ):
        for name in names:
            if name in holder and r.random() < 0.06:
                del holder[name]
    for name in ("state", "strength_class"):
        if name in member and r.random() < 0.08:
            member[name] = "unknown"
    if r.random() < 0.5:
        post = {"width_mm": 40, "depth_mm": 40, "profile": "hollow"}
        body["fixture"] |= {"yield_mpa": r.choice((235, 355)), "attached_section": post}
    if r.random() < 0.3:
        body["fixing_reference"] = f"fixing {r.randint(1, 99)}"
    if r.random() < 0.04:  # refused, each with codes of its own
        holder, name, value = r.choice((
            (member, "thickness_mm", -5), (body["fastener"], "size", "M99"), (body["fastener"], "family", "none"),
            (body["fixture"], "width_mm", "wide"), (body, "load_cases", []), (body, "colour", "red"),
            (body, "positions", body["positions"][:1] * 2), (use, "exposure", "moon"), (body, "rulebook", "1.0.0"),
            (member, "edges", {"x_plus_mm": -1e5}),
        ))  # fmt: skip
        holder[name] = value


def fixed_requests(before: Path) -> Iterator[Request]:
    """What the rules, the vectors, the README and the contract ask.

    Args:
        before: The checkout of the code before.

    Yields:
        The requests.
    """
    for path in sorted((before / "rules" / "reference").glob("*.json")):
        request = json.loads(path.read_text("utf-8"))["request"]
        for detail in ("summary", "full"):
            yield "reference", VERIFICATIONS, {**request, "detail": detail}
    for vector in json.loads((before / "schemas" / "record-vectors.json").read_text("utf-8"))["vectors"]:
        yield "vectors", VERIFICATIONS, vector.get("sent", vector["request"])
    example = before / "deploy" / "example"
    yield "readme", VERIFICATIONS, json.loads((example / "verification.json").read_text("utf-8"))
    sizings = (path for name in ("sizing.json", "*/fixing.json", "*/too-*.json") for path in sorted(example.glob(name)))
    for path in sizings:
        yield "readme", "/v1/sizings", json.loads(path.read_text("utf-8"))
    contract = json.loads((before / "schemas" / "openapi.json").read_text("utf-8"))
    for path, operations in contract["paths"].items():
        body = operations.get("post", {}).get("requestBody")
        if body and path.startswith(COMPARED_PATHS):
            for given in body["content"]["application/json"]["examples"].values():
                yield "contract", path, given["value"]


def answers(checkout: Path, python: Path, requests: list[Request]) -> list[dict[str, Any]]:
    """Ask a checkout.

    Args:
        checkout: Its directory.
        python: The interpreter to run it by.
        requests: The requests.

    Returns:
        Status and body of each answer.
    """
    lines = "".join(json.dumps([path, body]) + "\n" for _, path, body in requests)
    environment = {**os.environ, "PYTHONPATH": str(checkout), "PYTHONDONTWRITEBYTECODE": "1"}
    command = [str(python), "-c", WORKER, str(checkout), DAY]
    done = subprocess.run(
        command, cwd=checkout, env=environment, input=lines, stdout=subprocess.PIPE, text=True, check=True
    )
    return [json.loads(line) for line in done.stdout.splitlines()]


def leaves(value: Any, place: Place = ()) -> Iterator[tuple[Place, Any]]:
    """Every value that holds no other, by its place; an empty list or object is one.

    Args:
        value: An answer or part of one.
        place: Where it stands.

    Yields:
        Place and value.
    """
    if isinstance(value, dict) and value:
        for name, inner in value.items():
            yield from leaves(inner, (*place, name))
    elif isinstance(value, list) and value:
        seen: Counter[str] = Counter()
        for index, inner in enumerate(value):
            name = _name_of(inner, index)
            seen[name] += 1
            yield from leaves(inner, (*place, f"[{name}]" if seen[name] == 1 else f"[{name} #{seen[name]}]"))
    else:
        yield place, value


def _name_of(entry: Any, index: int) -> str:
    if isinstance(entry, dict):
        for names in KEYS:
            if names[0] in entry and all(name in entry or name in {"pointer", "rule", "combination"} for name in names):
                return ",".join(str(entry.get(name)) for name in names)
    return str(index)


@dataclass
class Comparison:
    """What came of it.

    Attributes:
        same: Answers that say the same, by group.
        verdicts: Verdicts compared, by verdict.
        figures: Number of figures compared.
        serious: What differs and may not, by place; each with examples.
        other: What differs and may, likewise.
    """

    same: Counter[str] = field(default_factory=Counter)
    asked: Counter[str] = field(default_factory=Counter)
    verdicts: Counter[str] = field(default_factory=Counter)
    figures: int = 0
    serious: dict[str, list[str]] = field(default_factory=lambda: defaultdict(list))
    other: dict[str, list[str]] = field(default_factory=lambda: defaultdict(list))

    def compare(self, number: int, group: str, before: Mapping[str, Any], after: Mapping[str, Any]) -> None:
        """Compare a pair of answers.

        Args:
            number: Number of the request.
            group: Where it comes from.
            before: Status and body of the code before.
            after: Those of the code after.
        """
        self.asked[group] += 1
        least = len(self.serious), sum(map(len, self.serious.values()))
        if before["status"] != after["status"]:
            self._differs("status", number, before["status"], after["status"])
        elif before["status"] == 200:
            self.verdicts[str(before["body"].get("verdict", "(none)"))] += 1
            self._bodies(number, before["body"], after["body"])
        else:
            self.verdicts[f"refused {before['status']}"] += 1
            self._refusals(number, before["body"], after["body"])
        self.same[group] += least == (len(self.serious), sum(map(len, self.serious.values())))

    def _refusals(self, number: int, before: Mapping[str, Any], after: Mapping[str, Any]) -> None:
        told = [sorted((e["pointer"], e["code"]) for e in body.get("errors", ())) for body in (before, after)]
        if told[0] != told[1]:
            self._differs("refusals", number, told[0], told[1])

    def _bodies(self, number: int, before: Any, after: Any) -> None:
        new = {"/".join(place): value for place, value in leaves(after)}
        old = dict(_moved("/".join(place), value, new) for place, value in leaves(before))
        for place, value in old.items():
            if NOT_COMPARED.search(place):
                continue
            if place not in new:
                self._gone(number, place, value, new)
            elif not _is_number(value) or not _is_number(new[place]):
                if value != new[place]:
                    self._text(number, place, value, new[place])
            else:
                self.figures += 1
                if abs(value - new[place]) > FIGURES * max(abs(value), abs(new[place])):
                    self._differs(general(place), number, value, new[place])
        for place in new.keys() - old.keys():
            if not NOT_COMPARED.search(place) and not any(other.startswith(f"{place}/") for other in old):
                self._added(number, place, new[place])

    def _gone(self, number: int, place: str, value: Any, new: Mapping[str, Any]) -> None:
        if value in ([], {}) and any(other.startswith(f"{place}/") for other in new):
            self._differs(f"{general(place)}: was empty", number, value, "entries")
        elif _is_sentence(place, value):
            self.other[f"{general(place)}: text gone"].append(f"{number}: {value!r}")
        else:
            self._differs(f"{general(place)}: gone", number, value, "nothing")

    def _text(self, number: int, place: str, old: Any, new: Any) -> None:
        if WAS_PROSE.search(place) and _same_as_figures(old, new):
            self.other[f"{general(place)}: prose became figures"].append(f"{number}: {old!r}")
        elif isinstance(old, str) and isinstance(new, str) and _is_sentence(place, old):
            self.other[f"{general(place)}: other words"].append(f"{number}: {old!r} -> {new!r}")
        else:
            self._differs(general(place), number, old, new)

    def _added(self, number: int, place: str, value: Any) -> None:
        lists = re.match(r"(checks|requirements|scope_limits|cautions|assumptions|fastener_forces|choices)/\[", place)
        if lists and not WERE_TEXTS.search(place) and place.endswith(("/code", "/mode", "/load_case")):
            self._differs(f"{general(place)}: added entry", number, "nothing", value)
        else:
            self.other[f"{general(place)}: added"].append(f"{number}: {value!r}")

    def _differs(self, place: str, number: int, old: Any, new: Any) -> None:
        self.serious[place].append(f"{number}: {old!r} -> {new!r}")


def _moved(place: str, value: Any, new: Mapping[str, Any]) -> tuple[str, Any]:
    for before, after, plus in MOVED:
        if re.fullmatch(before, place) and place not in new:
            return re.sub(before, after, place), value + plus if _is_number(value) else value
    return place, value


def general(place: str) -> str:
    """A place without what tells the entries of its lists apart.

    Args:
        place: The place.

    Returns:
        It, as in "checks/[]/utilisation".
    """
    return re.sub(r"\[[^\]]*\]", "[]", place)


def _same_as_figures(old: Any, new: Any) -> bool:
    """Whether a text became null, or a number that stood in it, or a unit was given to it."""
    return new is None or old is None or (isinstance(old, str) and _is_number(new) and f"{new:g}" in old)


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _is_sentence(place: str, value: Any) -> bool:
    return isinstance(value, str) and not SERIOUS_TEXTS.search(place) and (" " in value or place.endswith("]"))


def told(comparison: Comparison) -> Iterator[str]:
    """Put the comparison into lines.

    Args:
        comparison: What came of it.

    Yields:
        The lines.
    """
    for group, asked in comparison.asked.items():
        yield f"{group:>10}: {comparison.same[group]} of {asked} the same"
    yield f"  answers: {', '.join(f'{count} {name}' for name, count in comparison.verdicts.most_common())}"
    yield f"  figures compared: {comparison.figures}"
    for title, places in (("MAY NOT DIFFER", comparison.serious), ("may differ", comparison.other)):
        yield f"\n{title}: {len(places)} places" if places else f"\n{title}: nothing"
        for place, examples in sorted(places.items(), key=lambda entry: -len(entry[1])):
            yield f"  {len(examples):>6} {place}"
            yield from (f"           request {example[:240]}" for example in examples[:SHOWN])


def main() -> int:
    """Compare two checkouts.

    Returns:
        0 where every figure, verdict, code and refusal is the same, otherwise 1.
    """
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--before", type=Path, required=True, help="checkout of the code before")
    parser.add_argument("--after", type=Path, default=ROOT, help="checkout of the code after (default: this one)")
    parser.add_argument("--before-python", type=Path, default=Path(sys.executable), help="interpreter for the first")
    parser.add_argument("--after-python", type=Path, default=Path(sys.executable), help="interpreter for the second")
    parser.add_argument("--number", type=int, default=NUMBER, help="how many random fixings (default: %(default)s)")
    given = parser.parse_args()
    before, after = given.before.resolve(), given.after.resolve()
    requests = [*seeded_requests(given.number), *fixed_requests(before)]
    pairs = zip(
        requests, answers(before, given.before_python, requests), answers(after, given.after_python, requests),
        strict=True,
    )  # fmt: skip
    comparison = Comparison()
    for number, ((group, _, _), old, new) in enumerate(pairs):
        comparison.compare(number, group, old, new)
    sys.stdout.writelines(f"{line}\n" for line in told(comparison))
    return 1 if comparison.serious else 0


if __name__ == "__main__":
    sys.exit(main())
