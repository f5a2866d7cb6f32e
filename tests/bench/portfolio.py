"""Impact over a portfolio: rate and peak memory, over 1 000 and over 10 000 records, as ratios in one run.

.venv-test/bin/python -m tests.bench.portfolio
"""

from __future__ import annotations

import argparse
import json
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import Any

from service import rulebook
from service.audit.impact.outcome import documents_of
from service.audit.impact.portfolio import LineImpact, portfolio_impact
from service.audit.impact.workers import processors
from service.cli.portfolio_lines import portfolio_request
from service.rulebook import Rulebook, plain
from service.rulebook.book import of_documents
from service.verification import verify

ROOT = Path(__file__).resolve().parents[2]
DAY = "2026-11-25"
FEW, MANY = 1_000, 10_000
TIGHTENED = 0.9


def tightened(book: Rulebook) -> Rulebook:
    """The same rules, with a tenth off wherever the torque is controlled."""
    documents = documents_of(book)
    conditions = documents["factors/site-conditions.json"]["conditions"]
    conditions["torque_control"]["values"]["calibrated_wrench"]["factor"] = TIGHTENED
    return of_documents(documents, path=book.path, commit=None, state="working")


def scaled(case: dict[str, Any], share: float) -> dict[str, Any]:
    """A load case with another size of its actions."""
    return {name: value * share if value and name.endswith(("_kn", "_knm")) else value for name, value in case.items()}


def records(book: Rulebook, count: int) -> Iterator[dict[str, Any]]:
    """Records made of the reference fixings, each under actions of its own; every third carries its whole working."""
    for number in range(count):
        fixing = plain(book.reference[number % len(book.reference)])
        request = {"assessed_on": DAY, **fixing["request"], "fixing_reference": f"record {number}"}
        request["detail"] = "full" if number % 3 == 0 else "summary"
        share = 0.8 + 0.4 * (number % 977) / 977
        request["load_cases"] = [scaled(case, share) for case in request["load_cases"]]
        yield {"request": request, "answer": verify({**request, "rulebook": book.version}, book)}


def measured(file: Path, book: Rulebook, jobs: int) -> None:
    """Run the impact in this process and print what it took, as JSON."""
    new = tightened(book)
    lines = 0

    def each(line: LineImpact) -> None:
        nonlocal lines
        lines += 1

    start = time.perf_counter()
    with file.open("rb") as source:
        reader = partial(portfolio_request, DAY)
        report = portfolio_impact(book, new, source, reader, jobs=jobs, each=each, progress=lambda _: None)
    took = time.perf_counter() - start
    own, workers = (resource.getrusage(who).ru_maxrss for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    figures = {"lines": lines, "seconds": took, "own_kb": own, "worker_kb": workers, "counts": report.counts}
    sys.stdout.write(json.dumps(figures))


def run(file: Path, jobs: int) -> dict[str, Any]:
    """Measure in a process of its own, whose peak memory is then its own as well."""
    command = [sys.executable, "-m", "tests.bench.portfolio", "--measure", str(file), "--jobs", str(jobs)]
    done = subprocess.run(command, cwd=ROOT, stdout=subprocess.PIPE, check=True)
    figures: dict[str, Any] = json.loads(done.stdout)
    return figures


def compare(book: Rulebook, jobs: int) -> None:
    """Write portfolios, measure both, and print rates, memory and their ratios."""
    with tempfile.TemporaryDirectory() as directory:
        found = {}
        for count in (FEW, MANY):
            file = Path(directory) / f"{count}.ndjson"
            with file.open("w", encoding="utf-8") as stream:
                stream.writelines(json.dumps(record) + "\n" for record in records(book, count))
            found[count] = run(file, jobs)
            found[count]["megabytes"] = file.stat().st_size / 1e6
        alone = run(file, 1)
    sys.stdout.write(f"\nImpact over a portfolio, {jobs} processes\n")
    for count, figures in found.items():
        rate = figures["lines"] / figures["seconds"]
        sys.stdout.write(
            f"  {count:>6} records, {figures['megabytes']:.0f} MB: {rate:.0f} /s; peak "
            f"{figures['own_kb'] / 1e3:.0f} MB, a worker {figures['worker_kb'] / 1e3:.0f} MB; {figures['counts']}\n"
        )
    few, many = found[FEW], found[MANY]
    for name, words in (("own_kb", "memory"), ("worker_kb", "memory of a worker")):
        sys.stdout.write(f"  {words}, {MANY} records over {FEW}: {many[name] / few[name]:.2f}\n")
    sys.stdout.write(f"  time of one process over {jobs}: {alone['seconds'] / many['seconds']:.2f}\n")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--measure", type=Path, help=argparse.SUPPRESS)
    parser.add_argument("--jobs", type=int, default=processors(), help="number of processes (default: %(default)s)")
    arguments = parser.parse_args()
    book = rulebook.load(ROOT / "rules")
    if arguments.measure is not None:
        measured(arguments.measure, book, arguments.jobs)
    else:
        compare(book, arguments.jobs)


if __name__ == "__main__":
    main()
