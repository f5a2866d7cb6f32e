"""The jobs of the README, followed by curl from the thing to the as-built check against a running service."""

from __future__ import annotations

import json
import re
import subprocess
import threading
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from werkzeug.serving import make_server

from service.api import create_app

if TYPE_CHECKING:
    from collections.abc import Iterator

ROOT = Path(__file__).parents[2]
COMMANDS = re.compile(r"<!-- job -->\n```sh\n(.*?)```", re.DOTALL)
JOBS = {"quay-rail": "guardrail_post", "pipe-hanger": "soffit_hanger", "pump-base": "machine_base"}


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    app = create_app(ROOT / "rules", clock=lambda: date(2026, 11, 25))
    server = make_server("127.0.0.1", 0, app, threaded=True)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()
    thread.join()


def run(words: str, address: str, directory: Path) -> None:
    for name in ("deploy", "service"):
        if not (directory / name).exists():
            (directory / name).symlink_to(ROOT / name)
    words = words.replace("http://127.0.0.1:8080", address)
    done = subprocess.run(
        ["bash", "-euo", "pipefail", "-c", words], cwd=directory, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr


def commands(job: str) -> str:
    found = COMMANDS.search((ROOT / "README.md").read_text("utf-8"))
    assert found is not None
    text = found[1]
    assert "job=quay-rail model=guardrail_post" in text
    return text.replace("job=quay-rail model=guardrail_post", f"job={job} model={JOBS[job]}")


def answer(directory: Path, name: str) -> Any:
    return json.loads((directory / name).read_text("utf-8"))


@pytest.mark.parametrize(
    ("job", "verdict", "broken"),
    [
        ("quay-rail", "not_verified", ["aborted_hole_distance"]),
        ("pipe-hanger", "not_verified", ["embedment_reached", "head_seated"]),
        ("pump-base", "verified", []),
    ],
)
def test_job_goes_from_the_thing_to_the_as_built_check(
    address: str, tmp_path: Path, job: str, verdict: str, broken: list[str]
) -> None:
    run(commands(job), address, tmp_path)
    assert answer(tmp_path, "answer.json")["verdict"] == "verified"
    assert "DEMONSTRATION" in (tmp_path / "sheet.html").read_text("utf-8")
    assert answer(tmp_path, "record.json")["answer"]["record"]["id"] in (tmp_path / "sheet.svg").read_text("utf-8")
    built = answer(tmp_path, "as-built.json")
    assert built["verdict"] == verdict
    assert [need["code"] for need in built["as_built_requirements"] if need["met"] is False] == broken
    assert built["came_from_record"] == answer(tmp_path, "answer.json")["record"]["id"]
    assert answer(tmp_path, "replay.json")["outcome"] == "identical"


def test_job_where_nothing_passes_ends_in_words(address: str, tmp_path: Path) -> None:
    first = commands("quay-rail").split("# The first choice")[0]
    near = "member=@deploy/example/quay-rail/too-near.json"
    run(first.replace("load_cases=@loads", f"{near} load_cases=@loads"), address, tmp_path)
    sized = answer(tmp_path, "choices.json")
    assert sized["choices"] == []
    assert sized["rejected_groups"][0]["code"] == "interaction_concrete"
    causes = [family["cause"] for family in sized["rejected"][:4]]
    assert all(re.search(r"\d", " ".join(one["detail"] for one in (cause, *cause["also"]))) for cause in causes)
    assert sized["relaxations"], "something would help"
