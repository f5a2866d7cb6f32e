"""Times the calculation and the service in one run; a script, not a test, for its figures depend on the machine.

Usage: python -m tests.bench.bench [--seconds 5]

It stops by itself. Everything runs on loopback; the two servers run one after the other, on the same settings.
"""

import argparse
import http.client
import json
import os
import socket
import statistics
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from itertools import count
from pathlib import Path
from typing import Any

from service import rulebook
from service.api import create_app
from service.contract.reading import checked, parse
from service.contract.verification import VerificationRequest
from service.contract.wanted import Verification, made
from service.engine import verification as engine
from service.rulebook import Rulebook
from service.sizing import size
from service.verification import Assessor, verify
from service.verification.answer import build
from service.verification.record import record_id
from tests.bench.bare import ANSWER_BYTES

ROOT = Path(__file__).resolve().parents[2]
THREADS = 8
WARM_UP_REQUESTS = 20
READY_SECONDS = 20.0
ENGINE_AIM_US = 150.0
SIZING_AIM_MS = 100.0
WAY_AIM_US = 600.0
RATE_AIM = 0.5
SERVE = ("-m", "gunicorn", "--config", "python:service.cli.gunicorn_settings", "--chdir", str(ROOT))
# A worker that is replaced in the midst of it closes the connections of its clients.
NEVER_REPLACED = ("--max-requests", "0", "--max-requests-jitter", "0")


def four_fasteners() -> dict[str, Any]:
    """Four fasteners, one edge, normal force, shear and moment together."""
    return {
        "assessed_on": "2026-11-25",
        "fastener": {"family": "bolt-expansion-stainless", "size": "M12", "embedment_mm": 75},
        "member": {
            "strength_class": "C25/30",
            "state": "cracked",
            "thickness_mm": 250,
            "edges": {"x_plus_mm": 200},
            "reinforcement": {"spacing_mm": 150, "diameter_mm": 10, "edge": "none"},
        },
        "positions": [{"x_mm": x, "y_mm": y} for y in (-75, 75) for x in (-75, 75)],
        "fixture": {
            "width_mm": 220,
            "depth_mm": 220,
            "thickness_mm": 15,
            "yield_mpa": 235,
            "attached_section": {"width_mm": 60, "depth_mm": 60, "profile": "hollow"},
        },
        "load_cases": [{"name": "guard load", "normal_kn": 2, "shear_x_kn": 1.5, "moment_y_knm": 1.2}],
        "use": {"exposure": "external", "hole": "dry", "overhead": False},
        "site": {
            "torque_control": "calibrated_wrench",
            "strength_evidence": "documented",
            "hole_cleaning": "verified",
            "installer": "trained",
            "drilling": "hammer",
        },
    }


def whole_rulebook(load: float) -> dict[str, Any]:
    """A sizing over every family with a choice of grids up to 2 × 2."""
    request = four_fasteners()
    for name in ("fastener", "positions"):
        del request[name]
    axis = {"counts": [1, 2], "spacings_mm": [100, 150]}
    case = request["load_cases"][0]
    request["load_cases"] = [case | {name: case[name] * load for name in ("normal_kn", "shear_x_kn", "moment_y_knm")}]
    return request | {"pattern": {"x": axis, "y": axis}}


def median_seconds(work: Callable[[], object], repeats: int) -> float:
    """Time of the processor, which other work on the machine changes least."""
    work()
    times = []
    for _ in range(repeats):
        start = time.thread_time()
        work()
        times.append(time.thread_time() - start)
    return statistics.median(times)


def bench_calculation(book: Rulebook) -> None:
    request = four_fasteners()
    fixing = Assessor(made(Verification, request), book).outcome().fixing
    if fixing is None:
        raise SystemExit("the fixing of the bench has no resistance in this rulebook")
    heading("Verification: four fasteners, one edge, N + V + M")
    alone = median_seconds(lambda: engine.verify(fixing, False, False), 2000)
    line("engine, as sizing asks it", f"{alone * 1e6:.0f} µs", f"aim {ENGINE_AIM_US:.0f} µs")
    summary = median_seconds(lambda: engine.verify(fixing, False, True), 2000)
    line("engine, summary (with softer contact)", f"{summary * 1e6:.0f} µs", f"{summary / alone:.2f} × as sizing")
    full = median_seconds(lambda: engine.verify(fixing, True, True), 1000)
    line("engine, full (with trace)", f"{full * 1e6:.0f} µs", f"{full / summary:.2f} × summary")
    for detail in ("summary", "full"):
        asked = request | {"detail": detail}
        whole = median_seconds(lambda asked=asked: verify(asked, book), 500)  # type: ignore[misc]  # bound at once
        line(f"verify(), {detail}", f"{whole * 1e6:.0f} µs", f"{whole / summary:.2f} × engine in summary")


def bench_way_through(book: Rulebook) -> None:
    """Each step of a summary verification on its own; the shares are of the sum of the steps."""
    raw = json.dumps(four_fasteners() | {"detail": "summary"}).encode()
    schema = VerificationRequest()
    request = schema.load(parse(raw))
    outcome = Assessor(made(Verification, request), book).outcome()
    fixing = outcome.fixing
    if fixing is None:
        raise SystemExit("the fixing of the bench has no resistance in this rulebook")
    written = build(outcome)
    answer = verify(request, book)
    app = create_app(ROOT / "rules")
    client = app.test_client()

    def posted() -> None:
        response = client.post("/v1/verifications", data=raw, content_type="application/json")
        if response.status_code != 200:
            raise SystemExit(f"/v1/verifications answered {response.status_code}")

    parsed = parse(raw)
    read = median_seconds(lambda: Assessor(made(Verification, request), book), 500)
    # A fresh assessor each time, as one keeps what it has read of a family.
    verified = median_seconds(lambda: Assessor(made(Verification, request), book).outcome(), 500)
    in_engine = median_seconds(lambda: engine.verify(fixing, False, True), 500)
    steps = {
        "parsing": median_seconds(lambda: parse(raw), 500),
        "reading by the contract": median_seconds(lambda: checked(schema, parsed), 500),
        "verification: what the request fixes": read,
        "verification: fastener and requirements": verified - read - in_engine,
        "verification: the engine": in_engine,
        "writing the answer": median_seconds(lambda: build(outcome), 500),
        "digest of the record": median_seconds(lambda: record_id(request, written, book.digest), 500),
        "serialising": median_seconds(lambda: app.json.dumps(answer), 500),
    }
    whole = median_seconds(posted, 500)
    total = sum(steps.values())
    heading("The way through of a verification in summary, in one process")
    for name, seconds in steps.items():
        line(name, f"{seconds * 1e6:.0f} µs", f"{seconds / total:.0%}")
    line("all steps", f"{total * 1e6:.0f} µs", f"{total / in_engine:.2f} × engine; aim {WAY_AIM_US:.0f} µs")
    line("by the application, without a server", f"{whole * 1e6:.0f} µs", f"{whole / total:.2f} × all steps")


def bench_sizing(book: Rulebook) -> None:
    heading("Sizing: every family of the rulebook, grids up to 2 × 2")
    for load in (0.3, 1.0, 3.0, 20.0):
        request = whole_rulebook(load)
        searched, choices = size(request, book)["searched"], len(size(request, book)["choices"])
        took = median_seconds(lambda request=request: size(request, book), 15)  # type: ignore[misc]  # bound at once
        counted = f"{searched['candidates']} candidates, {searched['verified']} calculated, {choices} choices"
        line(f"actions × {load:g}", f"{took * 1e3:.1f} ms", f"{counted}; aim {SIZING_AIM_MS:.0f} ms")


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


@contextmanager
def served(application: str, environment: Mapping[str, str]) -> Iterator[int]:
    port = free_port()
    command = [sys.executable, *SERVE, *NEVER_REPLACED, "--bind", f"127.0.0.1:{port}", application]
    process = subprocess.Popen(command, cwd=ROOT, env=os.environ | environment, stderr=subprocess.DEVNULL)
    try:
        wait_for(port)
        yield port
    finally:
        process.terminate()
        process.wait(timeout=30)


def wait_for(port: int) -> None:
    deadline = time.monotonic() + READY_SECONDS
    while time.monotonic() < deadline:
        try:
            socket.create_connection(("127.0.0.1", port), timeout=1).close()
        except OSError:
            time.sleep(0.1)
        else:
            return
    raise SystemExit(f"no server on port {port} within {READY_SECONDS:g} s")


def distinct_bodies() -> Iterator[bytes]:
    """Requests that differ in their actions, so that nothing could be answered from memory."""
    request = four_fasteners()
    for number in count():
        case = request["load_cases"][0] | {"normal_kn": 1 + (number % 100_000) * 1e-5}
        yield json.dumps(request | {"load_cases": [case]}).encode()


def rate(port: int, path: str, seconds: float) -> float:
    """Requests a second of eight clients, each on a connection of its own, from when each has had its first answers."""
    bodies, lock, ready = distinct_bodies(), threading.Lock(), threading.Barrier(THREADS)
    counts = [0] * THREADS
    troubles: list[str] = []

    def ask(connection: http.client.HTTPConnection) -> None:
        with lock:
            body = next(bodies)
        connection.request("POST", path, body, {"Content-Type": "application/json"})
        response = connection.getresponse()
        response.read()
        if response.status != 200:
            raise ValueError(f"answered {response.status}")

    def client(index: int) -> None:
        connection = http.client.HTTPConnection("127.0.0.1", port, timeout=30)
        try:
            for _ in range(WARM_UP_REQUESTS):
                ask(connection)
            ready.wait()
            end = time.monotonic() + seconds
            while time.monotonic() < end:
                ask(connection)
                counts[index] += time.monotonic() < end
        except (OSError, http.client.HTTPException, ValueError, threading.BrokenBarrierError) as trouble:
            troubles.append(f"{type(trouble).__name__}: {trouble}")
            ready.abort()
        finally:
            connection.close()

    threads = [threading.Thread(target=client, args=(index,)) for index in range(THREADS)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    if troubles or not any(counts):
        # Fewer clients than meant would make a rate that means nothing.
        raise SystemExit(f"{path}: {'; '.join(troubles) or 'no answer in the time'}")
    return sum(counts) / seconds


def answer_bytes(port: int) -> int:
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=30)
    body = next(distinct_bodies())
    connection.request("POST", "/v1/verifications", body, {"Content-Type": "application/json"})
    size_of_answer = len(connection.getresponse().read())
    connection.close()
    return size_of_answer


def bench_service(seconds: float) -> None:
    heading(f"Over gunicorn: {THREADS} clients, distinct requests, {seconds:g} s each")
    with served("service.api:create_app()", {"ANCHOR_RULES_DIR": str(ROOT / "rules")}) as port:
        returned = answer_bytes(port)
        verifications = rate(port, "/v1/verifications", seconds)
    with served("tests.bench.bare:create_app()", {ANSWER_BYTES: str(returned)}) as port:
        bare = rate(port, "/echo", seconds)
    line("/v1/verifications", f"{verifications:.0f} /s", f"answers of {returned} bytes")
    line("bare route, bodies of the same size", f"{bare:.0f} /s", "")
    line("ratio", f"{verifications / bare:.2f}", f"aim {RATE_AIM:g}")


def heading(text: str) -> None:
    sys.stdout.write(f"\n{text}\n")
    sys.stdout.flush()


def line(what: str, figure: str, beside: str) -> None:
    sys.stdout.write(f"  {what:<42}{figure:>10}   {beside}\n")
    sys.stdout.flush()


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--seconds", type=float, default=5.0, help="how long each server is asked (default: 5)")
    arguments = parser.parse_args()
    book = rulebook.load(ROOT / "rules")
    bench_calculation(book)
    bench_way_through(book)
    bench_sizing(book)
    bench_service(arguments.seconds)


if __name__ == "__main__":
    main()
