"""The impact of a change on a portfolio: order, counts, bad lines, bounded memory, one process or several."""

from __future__ import annotations

import io
import json
import tracemalloc
from functools import partial
from typing import Any

import pytest

from service.audit.impact import portfolio as impact_portfolio
from service.audit.impact.outcome import Comparison, Outcome
from service.audit.impact.portfolio import LONGEST_LINE, LineImpact, PortfolioImpact, lines_of, portfolio_impact
from service.cli.portfolio_lines import portfolio_request
from service.rulebook import Rulebook
from tests.audit.replay_shelf import DAY, NEWER, REQUEST, base, changed, record_of

READER = partial(portfolio_request, DAY)


@pytest.fixture(scope="module")
def old() -> Rulebook:
    return base()


@pytest.fixture(scope="module")
def new(old: Rulebook) -> Rulebook:
    return changed(old, NEWER, {"factors/site-conditions#/conditions/installer/values/trained/factor": 0.86})


def bare(pull_kn: float, reference: str = "one") -> dict[str, Any]:
    case = {"name": "pull", "normal_kn": pull_kn}
    return {**REQUEST, "detail": "summary", "fixing_reference": reference, "load_cases": [case]}


def examined(
    old: Rulebook, new: Rulebook, raw: bytes, jobs: int = 1
) -> tuple[PortfolioImpact, list[LineImpact], list[int]]:
    lines: list[LineImpact] = []
    done: list[int] = []
    report = portfolio_impact(old, new, io.BytesIO(raw), READER, jobs=jobs, each=lines.append, progress=done.append)
    return report, lines, done


def portfolio(*lines: Any) -> bytes:
    return b"".join(line if isinstance(line, bytes) else json.dumps(line).encode() + b"\n" for line in lines)


def test_records_and_requests_are_taken_in_order(old: Rulebook, new: Rulebook) -> None:
    raw = portfolio(bare(1, "light"), record_of(old, fixing_reference="kept"), bare(13, "near"), bare(99, "over"))
    report, lines, done = examined(old, new, raw)
    assert [(line.number, line.reference) for line in lines] == [(1, "light"), (2, "kept"), (3, "near"), (4, "over")]
    assert [line.as_json()["effect"] for line in lines] == ["changed", "changed", "to_not_passing", "changed"]
    assert report.counts == {"to_not_passing": 1, "to_passing": 0, "changed": 3, "unchanged": 0, "bad": 0}
    assert done[-1] == len(raw)


def test_a_record_is_taken_for_the_day_of_its_answer(old: Rulebook) -> None:
    until = changed(old, NEWER, {"families/bolt#/approval/until": "2026-12-31"})
    record = record_of(old)
    record["request"] = {name: value for name, value in record["request"].items() if name != "assessed_on"}
    record["answer"]["assessed_on"] = "2027-01-15"
    report, _, _ = examined(old, until, portfolio(record))
    assert report.counts["to_not_passing"] == 1
    record["answer"]["assessed_on"] = "2026-12-15"
    assert examined(old, until, portfolio(record))[0].counts["to_not_passing"] == 0


@pytest.mark.parametrize(
    ("line", "words"),
    [
        (b"\n", "the line is empty"),
        (b"{\n", "not JSON"),
        (b"[1]\n", "must be an object [wrong_type]"),
        (b'{"a": 1, "a": 2}\n', "must be given once [duplicate_key]"),
        (b'{"a": NaN}\n', "NaN is no number of JSON"),
        (b"\xff\n", "not UTF-8"),
        (b'{"request": {}, "answer": {}}\n', "#/request/member: must be given [required]"),
        (b'{"request": 5, "answer": 5}\n', "#/request: must be an object [wrong_type]"),
        (b"[" * 5000 + b"\n", "nests too deep"),
        (json.dumps(bare(1) | {"fastener": {"family": "none", "size": "M1", "embedment_mm": 70}}).encode() + b"\n",
         "refused before and after: #/fastener/family: unknown"),
    ],
)  # fmt: skip
def test_bad_lines_are_reported_by_number_and_counted(line: bytes, words: str, old: Rulebook, new: Rulebook) -> None:
    report, lines, _ = examined(old, new, portfolio(bare(1), line, bare(1)))
    assert [found.number for found in lines] == [1, 2, 3]
    assert report.counts["bad"] == 1
    assert words in str(lines[1].reason)
    assert report.listed["bad"] == [lines[1]]
    assert (lines[0].reason, lines[2].reason) == (None, None)


def test_a_last_line_without_an_end_counts(old: Rulebook, new: Rulebook) -> None:
    report, _, _ = examined(old, new, portfolio(bare(1)) + json.dumps(bare(2)).encode())
    assert report.lines == 2


def test_over_several_processes_it_is_the_same(old: Rulebook, new: Rulebook, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(impact_portfolio, "LINES_A_PART", 7)
    raw = portfolio(*(bare(0.5 + number / 4, f"number {number}") if number % 9 else b"{\n" for number in range(60)))
    alone, together = examined(old, new, raw), examined(old, new, raw, jobs=3)
    assert together[1] == alone[1]
    assert together[0].as_json() == alone[0].as_json()
    assert [line.number for line in together[1]] == list(range(1, 61))


def test_a_line_that_is_too_long_is_passed_over_and_never_held() -> None:
    class Endless(io.RawIOBase):
        """Forty times the allowed length in one line, then a short one."""

        def __init__(self) -> None:
            self.left = 40 * LONGEST_LINE

        def readline(self, size: int | None = -1, /) -> bytes:
            assert size is not None
            if self.left > 0:
                given = min(size, self.left)
                self.left -= given
                return b"x" * given if self.left else b"x" * (given - 1) + b"\n"
            if self.left == 0:
                self.left = -1
                return b"{}\n"
            return b""

    tracemalloc.start()
    lines = list(lines_of(Endless()))  # type: ignore[arg-type]  # only readline is called
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert [(line.number, line.raw) for line in lines] == [(1, None), (2, b"{}")]
    assert peak < 8 * LONGEST_LINE


@pytest.mark.parametrize(("length", "read"), [(10, True), (11, False)])
def test_the_longest_line_is_still_read(length: int, read: bool) -> None:
    first, second = lines_of(io.BytesIO(b"x" * length + b"\nnext\n"), longest=10)
    assert (first.raw is not None) is read
    assert (second.number, second.raw) == (2, b"next")


def test_what_too_long_a_line_says_of_itself(old: Rulebook, new: Rulebook, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(impact_portfolio.lines_of, "__defaults__", (50,))
    report, lines, _ = examined(old, new, portfolio(bare(1), b"{}\n"))
    assert "longer than" in str(lines[0].reason)
    assert report.counts["bad"] == 2


def test_lists_do_not_grow_with_the_portfolio() -> None:
    report = PortfolioImpact()
    before = Outcome("verified", "bond", 0.5, (), None)
    for number in range(1, 1001):
        after = Outcome("verified", "bond", 0.5 + number / 1e4, (), None)
        report.add(LineImpact(number, None, Comparison(before, after, "changed"), None))
        report.add(LineImpact(number, None, Comparison(before, after, "to_not_passing"), None))
        report.add(LineImpact(number, None, None, "bad"))
    shown = report.as_json()
    assert report.lines == 3000
    assert [entry["line"] for entry in shown["largest_changes"]] == list(range(1000, 900, -1))
    assert [entry["line"] for entry in shown["to_not_passing"]] == list(range(1, 101))
    assert len(shown["bad_lines"]) == 100
    assert shown["counts"]["bad"] == 1000
