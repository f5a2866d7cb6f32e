"""The contract in the hands of others: public linters read it, and clients are generated and used.

`python -m tests.clients.run lint` holds schemas/openapi.json against Spectral's rules for OpenAPI and Redocly's
recommended ones; `python -m tests.clients.run clients` generates clients with openapi-python-client,
openapi-typescript and datamodel-code-generator, holds their types strictly and lets them walk from a sizing to a replay
against a service that it starts on loopback. Nothing may warn. The tools come in the versions of requirements.lock and
package-lock.json into a directory that is thrown away; `--keep DIRECTORY` keeps it and uses it again.
"""

import argparse
import json
import os
import shutil
import socket
import subprocess
import sys
import tempfile
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from deploy.ask import wait_until_ready

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
SIZING = ROOT / "deploy" / "example" / "sizing.json"
BARE: dict[str, Any] = {
    "fastener": {"family": "screw-zinc", "size": "8", "embedment_mm": 55},
    "member": {"thickness_mm": 200},
    "fixture": {"width_mm": 180, "depth_mm": 80},
    "positions": [{"x_mm": 0, "y_mm": 0}],
    "load_cases": [{"name": "pull", "normal_kn": 1}],
}
"""What the walks build from generated models of required fields alone: what is assumed must be the same."""


class FailedError(Exception):
    """A tool found something."""


@dataclass(frozen=True)
class Bench:
    """A directory with the tools in it, and the contract that they are tried on."""

    directory: Path
    contract: Path

    def run(self, *command: str, within: str = ".") -> str:
        """Run a tool.

        Args:
            *command: Its name and arguments.
            within: Where in the directory.

        Returns:
            What it said.

        Raises:
            FailedError: It failed.
        """
        paths = (self.directory / "venv" / "bin", self.directory / "node_modules" / ".bin")
        environment = os.environ | {
            "PATH": os.pathsep.join([*map(str, paths), os.environ["PATH"]]),
            "REDOCLY_SUPPRESS_UPDATE_NOTICE": "true",
            "REDOCLY_TELEMETRY": "off",
            # Generators that only print what they warn of end in an error instead.
            "PYTHONWARNINGS": "error",
        }
        # Into a file: a tool of Node that ends before a pipe is read leaves the rest unsaid.
        with tempfile.TemporaryFile("w+", encoding="utf-8") as said:
            done = subprocess.run(
                command,
                cwd=self.directory / within,
                env=environment,
                stdout=said,
                stderr=subprocess.STDOUT,
                check=False,
            )
            said.seek(0)
            words = said.read()
        if done.returncode:
            raise FailedError(f"{' '.join(command)} ended with {done.returncode}:\n{words}")
        return words


def install_npm(bench: Bench) -> None:
    """Install what package-lock.json names.

    Args:
        bench: Where.
    """
    for name in ("package.json", "package-lock.json", "spectral.yaml", "redocly.yaml"):
        shutil.copy(HERE / name, bench.directory)
    bench.run("npm", "ci", "--ignore-scripts", "--no-audit", "--no-fund", "--loglevel=error")


def install_python(bench: Bench) -> None:
    """Install what requirements.lock names.

    Args:
        bench: Where.
    """
    subprocess.run([sys.executable, "-m", "venv", bench.directory / "venv"], check=True)
    lock = str(HERE / "requirements.lock")
    pip = [str(bench.directory / "venv" / "bin" / "python"), "-m", "pip", "install", "-qq", "--no-deps"]
    subprocess.run([*pip, "--require-hashes", "-r", lock], check=True)


def lint(bench: Bench) -> None:
    """Hold the contract against the rules of both linters; a warning is a failure.

    Args:
        bench: The tools.

    Raises:
        FailedError: A linter found something.
    """
    install_npm(bench)
    bench.run("spectral", "lint", "--ruleset", "spectral.yaml", "--fail-severity", "hint", str(bench.contract))
    report = json.loads(_redocly(bench))
    if report["totals"]["errors"] or report["totals"]["warnings"]:
        found = [f"{problem['ruleId']}: {problem['message']}" for problem in report["problems"]]
        raise FailedError("\n".join(["redocly:", *found]))
    sys.stdout.write("both linters find nothing\n")


def _redocly(bench: Bench) -> str:
    """Ask Redocly, which counts its findings in JSON amid words for people."""
    said = bench.run("redocly", "lint", "--config", "redocly.yaml", "--format", "json", str(bench.contract))
    return said[said.index("{") : said.rindex("}") + 1]


def clients(bench: Bench) -> None:
    """Generate clients, hold their types and let them walk.

    Args:
        bench: The tools.

    Raises:
        FailedError: A generator or a type checker found something, or a walk ended wrongly.
    """
    install_npm(bench)
    install_python(bench)
    generate(bench)
    hold_types(bench)
    with service() as address:
        expected = assumptions(address)
        for name, command in (("Python", ("python", "walk.py")), ("TypeScript", ("node", "made/walk.js"))):
            found = json.loads(bench.run(*command, address, str(SIZING), within="clients"))
            wrong = [key for key, value in found.items() if key.startswith("assumed") and value != expected]
            if wrong:
                raise FailedError(f"{name}: of a request of required fields alone other things are assumed: {wrong}")
            sys.stdout.write(f"{name}: {found['chosen']}\n")


def generate(bench: Bench) -> None:
    """Generate with each of the three.

    Args:
        bench: The tools.

    Raises:
        FailedError: A generator warns.
    """
    made = bench.directory / "clients"
    shutil.rmtree(made, ignore_errors=True)
    made.mkdir()
    for name in ("walk.py", "walk.ts", "tsconfig.json", "mypy.ini"):
        shutil.copy(HERE / name, made)
    contract = str(bench.contract)
    said = [
        bench.run(
            "openapi-python-client", "generate", "--path", contract, "--meta", "none", "--fail-on-warning",
            "--output-path", "clients/anchor_rulebook_client",
        ),
        bench.run(
            "datamodel-codegen", "--input", contract, "--input-file-type", "openapi", "--output", "clients/models.py",
            "--output-model-type", "pydantic_v2.BaseModel", "--target-python-version", "3.11", "--use-annotated",
            "--strict-nullable", "--disable-timestamp", "--formatters", "builtin",
        ),
        bench.run("openapi-typescript", contract, "--output", "clients/contract.ts"),
    ]  # fmt: skip
    warnings = [line for text in said for line in text.splitlines() if "warn" in line.lower()]
    if warnings:
        raise FailedError("\n".join(["a generator warns:", *warnings]))


def hold_types(bench: Bench) -> None:
    """Hold the types of what was generated and of the walks.

    Args:
        bench: The tools.
    """
    bench.run("mypy", "anchor_rulebook_client", "models.py", "walk.py", within="clients")
    bench.run("tsc", "--project", "tsconfig.json", within="clients")


@contextmanager
def service() -> Iterator[str]:
    """Start the service on loopback, and end it.

    Yields:
        Its address.
    """
    with socket.create_server(("127.0.0.1", 0)) as free:
        port = free.getsockname()[1]
    command = [sys.executable, "-m", "service.cli", "serve", "--port", str(port), "--rules", "rules"]
    with subprocess.Popen(command, cwd=ROOT, stderr=subprocess.DEVNULL) as process:
        try:
            wait_until_ready(f"http://127.0.0.1:{port}")
            yield f"http://127.0.0.1:{port}"
        finally:
            process.terminate()


def assumptions(address: str) -> Any:
    """Ask what is assumed of the bare request, without any client.

    Args:
        address: Address of the service.

    Returns:
        The assumptions.
    """
    body = json.dumps(BARE).encode()
    request = urllib.request.Request(f"{address}/v1/verifications", body, {"Content-Type": "application/json"})
    with urllib.request.urlopen(request) as response:
        found = json.load(response)["assumptions"]
    if not found:
        raise FailedError("nothing is assumed of the bare request, so nothing can be compared")
    return found


def main() -> int:
    """Run a part.

    Returns:
        0 where nothing was found.
    """
    parts = {"lint": lint, "clients": clients}
    parser = argparse.ArgumentParser(description="The contract in the hands of linters and generated clients.")
    parser.add_argument("part", choices=parts)
    parser.add_argument("--keep", type=Path, metavar="DIRECTORY", help="keep the tools there and use them again")
    parser.add_argument("--contract", type=Path, default=ROOT / "schemas" / "openapi.json", help="the document")
    arguments = parser.parse_args()
    with tempfile.TemporaryDirectory() as thrown_away:
        directory = arguments.keep or Path(thrown_away)
        directory.mkdir(exist_ok=True)
        try:
            parts[arguments.part](Bench(directory.resolve(), arguments.contract.resolve()))
        except FailedError as found:
            sys.stderr.write(f"{found}\n")
            return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
