"""Write what the guides show: the examples of README.md as they are really answered, and the table of lint rules.

Usage: python deploy/readme.py
"""

import io
import json
import re
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from rich.console import Console, RenderableType

from service import rulebook, sizing, verification
from service.cli.tables import sizing_tables
from service.rulebook.lint import RULES

ROOT = Path(__file__).resolve().parents[1]
README = ROOT / "README.md"
GUIDE = ROOT / "rules" / "README.md"
RULE_TABLE = re.compile(r"(\| rule \| what must be so \|\n\| --- \| --- \|\n)(?:\| `.*\n)*")
EXAMPLE = ROOT / "deploy" / "example"
PAGE_WIDTH = 110
SHOWN_MODE = "concrete_cone"


def examples() -> dict[str, str]:
    """Run the examples.

    Returns:
        The text of each block of the README by its name.
    """
    book = rulebook.load(ROOT / "rules")
    sizing_text = (EXAMPLE / "sizing.json").read_text("utf-8")
    verified = verification.verify(json.loads((EXAMPLE / "verification.json").read_text("utf-8")), book)
    return {
        "sizing request": sizing_text.rstrip(),
        "sizing answer": _printed(sizing_tables(sizing.size(json.loads(sizing_text), book), book.families)),
        "verification answer": json.dumps(_shown(verified), indent=2, ensure_ascii=False),
    }


def with_examples(text: str, blocks: Mapping[str, str]) -> str:
    """Put the examples into the text of the README.

    Args:
        text: The README.
        blocks: The text of each block by its name.

    Returns:
        The README with every named block replaced.
    """
    for name, block in blocks.items():
        pattern = re.compile(rf"(<!-- {name} -->\n```\w+\n).*?(\n```)", re.DOTALL)
        text = pattern.sub(lambda match, block=block: match[1] + block + match[2], text)
    return text


def with_rules(text: str) -> str:
    """Put the table of lint rules into the guide to the rules.

    Args:
        text: The guide.

    Returns:
        The guide with a row for each rule: its name and its summary.
    """
    rows = "".join(f"| `{rule.RULE}` | {rule.SUMMARY} |\n" for rule in RULES)
    return RULE_TABLE.sub(lambda match: match[1] + rows, text)


def _shown(answer: Mapping[str, Any]) -> dict[str, Any]:
    checks = [check for check in answer["checks"] if check["mode"] == SHOWN_MODE]
    return {"verdict": answer["verdict"], "governing": answer["governing"], "checks": checks}


def _printed(parts: Iterable[RenderableType]) -> str:
    page = io.StringIO()
    console = Console(file=page, width=PAGE_WIDTH, color_system=None)
    for part in parts:
        console.print(part)
    return "\n".join(line.rstrip() for line in page.getvalue().splitlines()).rstrip()


if __name__ == "__main__":
    README.write_text(with_examples(README.read_text("utf-8"), examples()), "utf-8")
    GUIDE.write_text(with_rules(GUIDE.read_text("utf-8")), "utf-8")
