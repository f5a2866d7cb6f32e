"""What each worker of gunicorn does before it answers."""

import logging
import os
from typing import Any

from service.api import KEEPER
from service.api.keeper import POLL_SECONDS
from service.rulebook.printable import printable

POLL_VARIABLE = "ANCHOR_POLL_SECONDS"


class PrintableFormatter(logging.Formatter):
    """Keeps what comes from data from steering the terminal that shows a log, and from forging entries of it."""

    def formatMessage(self, record: logging.LogRecord) -> str:  # noqa: N802 - named by the library
        """Write an entry on one line."""
        record.message = printable(record.message)
        return super().formatMessage(record)

    def formatException(self, ei: Any) -> str:  # noqa: N802 - named by the library
        """Write where an entry comes from, each line marked as no entry of its own.

        Args:
            ei: The exception, as the library holds it.

        Returns:
            The lines.
        """
        return "\n".join(f"| {printable(line)}" for line in super().formatException(ei).split("\n"))


def post_worker_init(worker: Any) -> None:
    """Look after the rules in this worker; a thread of the process that preloads them would not come along.

    Args:
        worker: The worker, its application loaded.
    """
    handler = logging.StreamHandler()
    handler.setFormatter(PrintableFormatter("%(asctime)s %(name)s %(levelname)s %(message)s"))
    logging.basicConfig(level=logging.INFO, handlers=[handler])
    worker.app.wsgi().extensions[KEEPER].watch(float(os.environ.get(POLL_VARIABLE) or POLL_SECONDS))
