"""What was suspended or taken up holds when workers come and go: real ones of gunicorn, killed, renewed, replaced."""

from __future__ import annotations

import json
import os
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from tests.releases.conftest import Company

DAY = "2026-11-25"
ROOT = Path(__file__).resolve().parents[2]
PATIENCE_SECONDS = 60.0
ASKED = 24
APPLICATION = "service.api:create_app()"
# The superuser may read everything, unless that is taken away.
CAPABILITIES = "-dac_override,-dac_read_search"
BOUND_BY_PERMISSIONS = ("setpriv", f"--bounding-set={CAPABILITIES}", "--") if os.getuid() == 0 else ()
BOLT = {"family": "bolt", "since": DAY, "reason": "A batch failed on site"}


class Service:
    """The service under gunicorn with its own settings, two workers, and a quick look after the rules."""

    def __init__(self, company: Company, *words: str) -> None:
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        self.company = company
        self.request = company.read("reference/post.json")["request"] | {"assessed_on": DAY}
        environment = os.environ | {
            "ANCHOR_RULES_DIR": str(company.rules),
            "ANCHOR_POLL_SECONDS": "0.1",
        }
        settings = ("--config", "python:service.cli.gunicorn_settings", "--bind", f"127.0.0.1:{self.port}")
        self.log = company.directory / "log"
        with self.log.open("wb") as log:
            command = [*BOUND_BY_PERMISSIONS, sys.executable, "-m", "gunicorn", *settings, *words, APPLICATION]
            self.master = subprocess.Popen(command, cwd=ROOT, env=environment, stdout=log, stderr=log)
        try:
            self.until(lambda: self.readiness()[0] == 200)
        except BaseException:
            self.end()
            raise

    def end(self) -> None:
        self.master.terminate()
        self.master.wait(PATIENCE_SECONDS)

    def asked(self, path: str, body: object | None = None) -> tuple[int, Any]:
        data = None if body is None else json.dumps(body).encode()
        # A connection of its own for each, so that either worker may answer.
        headers = {"Content-Type": "application/json", "Connection": "close"}
        request = urllib.request.Request(f"http://127.0.0.1:{self.port}{path}", data, headers)
        end = time.monotonic() + PATIENCE_SECONDS
        while time.monotonic() < end:
            try:
                with urllib.request.urlopen(request, timeout=PATIENCE_SECONDS) as response:
                    return response.status, json.load(response)
            except urllib.error.HTTPError as refused:
                return refused.code, json.load(refused)
            except (OSError, ValueError):
                # A worker that is killed takes its connections with it.
                assert self.master.poll() is None, self.log.read_text("utf-8")
                time.sleep(0.1)
        raise AssertionError(self.log.read_text("utf-8"))

    def readiness(self) -> tuple[int, Any]:
        return self.asked("/health/ready")

    def verdicts(self, times: int = ASKED) -> set[str]:
        answers = [self.asked("/v1/verifications", self.request) for _ in range(times)]
        return {answer.get("verdict", str(status)) for status, answer in answers}

    def versions(self, times: int = ASKED) -> set[str]:
        answers = [self.asked("/v1/verifications", self.request)[1] for _ in range(times)]
        return {answer["rulebook"]["version"] for answer in answers}

    def until(self, holds: Callable[[], bool]) -> None:
        end = time.monotonic() + PATIENCE_SECONDS
        while not holds():
            assert time.monotonic() < end, self.log.read_text("utf-8")
            time.sleep(0.1)

    def everywhere(self, holds: Callable[[], bool]) -> None:
        """Wait until each worker says so: eight answers in a row."""
        self.until(lambda: all(holds() for _ in range(8)))

    def workers(self) -> set[int]:
        children = Path(f"/proc/{self.master.pid}/task/{self.master.pid}/children").read_text("ascii")
        return {int(child) for child in children.split()}

    def kill_workers(self) -> None:
        before = self.workers()
        for worker in before:
            os.kill(worker, signal.SIGKILL)
        self._renewed(before)

    def hang_up(self) -> None:
        before = self.workers()
        self.master.send_signal(signal.SIGHUP)
        self._renewed(before)

    def roll_over(self) -> None:
        """Send requests until both workers have had their fill (`--max-requests`)."""
        before = self.workers()
        self.until(lambda: bool(self.verdicts(8)) and len(self.workers() - before) == 2 and not self.workers() & before)

    def _renewed(self, before: set[int]) -> None:
        self.until(lambda: len(self.workers()) == 2 and not self.workers() & before)
        self.everywhere(lambda: self.asked("/health/live")[0] == 200)


CHANGES = {"kill -9": Service.kill_workers, "SIGHUP": Service.hang_up}


@pytest.fixture
def service(three: Company) -> Iterator[Service]:
    running = Service(three)
    yield running
    running.end()


def suspend(company: Company, *entries: object) -> None:
    written = company.rules / "suspensions.new"
    written.write_text(json.dumps({"fasteners": entries, "versions": []}), "utf-8")
    # In one step, as an operator would: half a file is a fault of its own.
    written.rename(company.rules / "suspensions.json")


def suspended(service: Service) -> None:
    assert service.verdicts(4) == {"verified"}
    suspend(service.company, BOLT)
    service.everywhere(lambda: service.verdicts(1) == {"not_verified"})


def degraded(service: Service) -> bool:
    status, ready = service.readiness()
    return status == 200 and ready["status"] == "degraded"


@pytest.mark.parametrize("change", CHANGES)
def test_new_workers_do_not_lift_a_suspension_that_can_no_longer_be_read(service: Service, change: str) -> None:
    suspended(service)
    (service.company.rules / "suspensions.json").write_text('{"fasteners": [', "utf-8")
    service.everywhere(lambda: degraded(service))
    CHANGES[change](service)
    assert service.verdicts() == {"not_verified"}
    assert degraded(service)
    suspend(service.company)
    service.everywhere(lambda: service.verdicts(1) == {"verified"})
    assert service.readiness()[1]["status"] == "ready"


def test_workers_that_had_their_fill_hand_a_suspension_on(three: Company) -> None:
    service = Service(three, "--max-requests", "40", "--max-requests-jitter", "3")
    try:
        suspended(service)
        (three.rules / "suspensions.json").write_text("{", "utf-8")
        service.everywhere(lambda: degraded(service))
        service.roll_over()
        assert service.verdicts() == {"not_verified"}
    finally:
        service.end()


def test_slip_in_a_name_is_not_lifted_by_new_workers(service: Service) -> None:
    suspended(service)
    suspend(service.company, BOLT | {"family": "blot"})
    service.everywhere(lambda: degraded(service))
    service.kill_workers()
    assert service.verdicts() == {"not_verified"}
    assert [fault["code"] for fault in service.readiness()[1]["faults"]] == ["suspension_stops_nothing"]


def test_stop_made_while_the_rules_are_in_disorder_outlives_its_workers(service: Service) -> None:
    (service.company.rules / "register.json").write_text("{", "utf-8")
    suspended(service)
    (service.company.rules / "suspensions.json").write_text("{", "utf-8")
    time.sleep(0.5)
    service.kill_workers()
    assert service.verdicts() == {"not_verified"}


def test_release_taken_up_since_the_start_is_served_by_new_workers_when_the_register_is_a_ruin(
    service: Service,
) -> None:
    service.company.version("2026.4.0", 22)
    service.company.register()
    service.everywhere(lambda: service.versions(1) == {"2026.4.0"})
    (service.company.rules / "register.json").write_text("{", "utf-8")
    service.everywhere(lambda: degraded(service))
    service.kill_workers()
    assert service.versions() == {"2026.4.0"}
    assert service.asked("/v1/rulebooks/2026.4.0/changes?since=2026.1.0")[0] == 200


@pytest.mark.parametrize("change", CHANGES)
def test_rules_directory_that_moved_leaves_all_as_it_was(service: Service, change: str) -> None:
    suspended(service)
    service.company.rules.rename(service.company.directory / "elsewhere")
    service.everywhere(lambda: degraded(service))
    CHANGES[change](service)
    assert service.verdicts() == {"not_verified"}
    assert degraded(service)


@pytest.mark.parametrize("removed", ["suspensions.json", "the newest release"])
def test_proven_removal_stops_answers_in_old_and_new_workers_until_it_is_mended(service: Service, removed: str) -> None:
    suspended(service)
    sound = {file: (service.company.rules / file).read_bytes() for file in ("suspensions.json", "register.json")}
    if removed == "suspensions.json":
        (service.company.rules / removed).unlink()
    else:
        register = service.company.read("register.json")
        register["releases"].pop()
        service.company.write("register.json", register)
    service.everywhere(lambda: service.readiness()[0] == 503)
    service.kill_workers()
    assert service.verdicts() == {"503"}
    detail = service.readiness()[1]["detail"]
    assert detail.startswith("Answers are stopped: ")
    assert ("suspensions.json was removed" if removed == "suspensions.json" else "release 2026.3.0") in detail
    for file, raw in sound.items():
        (service.company.rules / file).write_bytes(raw)
    service.everywhere(lambda: service.readiness()[0] == 200)
    assert service.verdicts() == {"not_verified"}


@pytest.mark.parametrize("taken", ["suspensions.json", "", ".."])
def test_rules_that_may_no_longer_be_read_leave_all_as_it_was(service: Service, taken: str) -> None:
    suspended(service)
    closed = service.company.rules / taken
    before = closed.stat().st_mode
    closed.chmod(0)
    try:
        service.everywhere(lambda: degraded(service))
        service.kill_workers()
        assert service.verdicts() == {"not_verified"}
        service.hang_up()
        assert service.verdicts() == {"not_verified"}
        assert degraded(service)
        assert service.master.poll() is None
    finally:
        closed.chmod(before)
    service.everywhere(lambda: service.readiness()[1]["status"] == "ready")
    assert service.verdicts() == {"not_verified"}
