"""An id is the name of its file, so no two files of a kind share one."""

from __future__ import annotations

from collections.abc import Iterator

from service.rulebook.finding import Finding, error
from service.rulebook.lint.draft import Draft

RULE = __name__.rpartition(".")[2]
SUMMARY = "the id of a file is its name without .json"


def check(draft: Draft) -> Iterator[Finding]:
    """An id is the name of its file, so no two files of a kind share one."""
    for file, document in draft.documents.items():
        name = file.rpartition("/")[2].removesuffix(".json")
        if "id" in document and document["id"] != name:
            yield error(
                file,
                "#/id",
                RULE,
                "the id is not the name of the file",
                found=document["id"],
                allowed=name,
                tip="rename the file or correct the id; records refer to the id, so keep the one that was released",
            )
