"""Put JSON files together: prints TEMPLATE with each @FILE or @FILE#/POINTER replaced by what stands there.

Usage: python3 deploy/example/join.py TEMPLATE [MEMBER=TEMPLATE …]; each MEMBER is put into the first one, an object.
"""

import json
import re
import sys
from pathlib import Path
from typing import Any

PLACE = re.compile(r"@([\w./-]+)(?:#((?:/[\w.~-]+)*))?")


def at(file: str, pointer: str) -> Any:
    """Read a file and go to a place in it.

    Args:
        file: Path of a JSON file.
        pointer: JSON pointer; empty for all of it.

    Returns:
        What stands there.
    """
    value = json.loads(Path(file).read_text("utf-8"))
    for step in pointer.split("/")[1:]:
        value = value[int(step)] if isinstance(value, list) else value[step]
    return value


def filled(template: str) -> Any:
    """Fill a template.

    Args:
        template: JSON with places.

    Returns:
        The document.
    """
    return json.loads(PLACE.sub(lambda found: json.dumps(at(found[1], found[2] or "")), template))


def main(first: str, *members: str) -> None:
    """Print the document.

    Args:
        first: The template.
        *members: Further members, each as MEMBER=TEMPLATE.
    """
    document = filled(first)
    for member in members:
        name, template = member.split("=", 1)
        document[name] = filled(template)
    sys.stdout.write(json.dumps(document) + "\n")


if __name__ == "__main__":
    main(*sys.argv[1:])
