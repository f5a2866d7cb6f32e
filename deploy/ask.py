"""Wait until a service is ready, post a sizing request to it and print the answer in words.

Usage: ask.py URL FILE
"""

import json
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path
from typing import Any

from rich.console import Console

from service.cli.tables import sizing_tables

PATIENCE_SECONDS = 30.0
PAUSE_SECONDS = 0.2


def wait_until_ready(url: str) -> None:
    """Ask for readiness until the service answers.

    Args:
        url: Address of the service.

    Raises:
        SystemExit: It is not ready in time.
    """
    deadline = time.monotonic() + PATIENCE_SECONDS
    while time.monotonic() < deadline:
        try:
            with urllib.request.urlopen(f"{url}/health/ready", timeout=PATIENCE_SECONDS):
                return
        except (urllib.error.URLError, ConnectionError):
            time.sleep(PAUSE_SECONDS)
    raise SystemExit(f"{url} was not ready within {PATIENCE_SECONDS:g} s; its own messages stand above.")


def post(url: str, body: bytes) -> dict[str, Any]:
    """Post a sizing request.

    Args:
        url: Address of the service.
        body: The request as JSON.

    Returns:
        The answer.

    Raises:
        SystemExit: The service refuses the request.
    """
    request = urllib.request.Request(f"{url}/v1/sizings", data=body, headers={"Content-Type": "application/json"})
    try:
        with urllib.request.urlopen(request, timeout=PATIENCE_SECONDS) as response:
            answer: dict[str, Any] = json.load(response)
            return answer
    except urllib.error.HTTPError as error:
        raise SystemExit(f"{url}/v1/sizings: {error.read().decode()}") from error


def _got(address: str) -> dict[str, Any]:
    with urllib.request.urlopen(address, timeout=PATIENCE_SECONDS) as response:
        answer: dict[str, Any] = json.load(response)
        return answer


def main(url: str, file: str) -> None:
    """Ask for one fixing and print it.

    Args:
        url: Address of the service.
        file: A sizing request.

    Raises:
        SystemExit: No fixing is found.
    """
    wait_until_ready(url)
    answer = post(url, Path(file).read_bytes())
    chosen = {choice["fastener"]["family"] for choice in answer["choices"]}
    families = {name: _got(f"{url}/v1/families/{name}")["family"] for name in chosen}
    console = Console()
    for part in sizing_tables(answer, families):
        console.print(part)
    if not answer["choices"]:
        raise SystemExit(1)


if __name__ == "__main__":
    main(*sys.argv[1:])
