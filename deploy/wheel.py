"""The step that puts schemas and demonstration rules into a wheel; pyproject.toml names it.

It is run by setuptools alone, without the packages that the service needs.
"""

import json
import shutil
from pathlib import Path

from setuptools.command.build_py import build_py

CARRIED = Path("service", "carried")
SCHEMAS, RULES = Path("schemas"), Path("rules")
RULEBOOK, REGISTER, SUSPENSIONS = (RULES / name for name in ("rulebook.json", "register.json", "suspensions.json"))
SIGNATURES = RULES / "signatures"
# A wheel holds one version: earlier releases lie in the history of git, and what is said of them stays there too.
LEFT_BEHIND = {RULES / "notes", SIGNATURES}


class BuildPy(build_py):
    """Build the package as ever, and copy beside it what it carries; an editable install reads the checkout."""

    def run(self) -> None:
        """Build."""
        super().run()
        if self.editable_mode:
            return
        inside = Path(self.build_lib, CARRIED)
        shutil.rmtree(inside, ignore_errors=True)
        for source in carried():
            (inside / source).parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(source, inside / source)
        for source, part in ((REGISTER, "releases"), (SUSPENSIONS, "versions")):
            (inside / source).write_text(json.dumps(of_one_version(source, part), indent=2) + "\n", "utf-8")

    def get_source_files(self) -> list[str]:
        """List what a source distribution needs to build the wheel."""
        own = [Path("deploy", "wheel.py"), *sorted(SIGNATURES.iterdir())]
        return [*super().get_source_files(), *map(str, [*own, *carried()])]

    def get_outputs(self, include_bytecode: bool = True) -> list[str]:
        """List what is built."""
        outputs = super().get_outputs(include_bytecode)
        inside = Path(self.build_lib, CARRIED)
        return outputs if self.editable_mode else [*outputs, *(str(inside / source) for source in carried())]


def carried() -> list[Path]:
    """List the files that a wheel carries, relative to the checkout."""
    rules = (path for path in RULES.rglob("*") if path.is_file() and not LEFT_BEHIND.intersection(path.parents))
    signature = SIGNATURES / f"{version()}.sig"
    return sorted([*SCHEMAS.glob("*.json"), *rules, *([signature] if signature.is_file() else [])])


def of_one_version(file: Path, part: str) -> dict[str, list[dict[str, str]]]:
    """Keep of register or suspensions what concerns the version that the wheel holds, and every other part."""
    document = json.loads(file.read_text("utf-8"))
    return {**document, part: [entry for entry in document[part] if entry["version"] == version()]}


def version() -> str:
    """Read the version of the rules in the checkout."""
    return json.loads(RULEBOOK.read_text("utf-8"))["version"]
