"""What each worker of gunicorn does before it answers."""

import logging
import os
from typing import Any

from service.api import KEEPER
from service.api.keeper import POLL_SECONDS

POLL_VARIABLE = "ANCHOR_POLL_SECONDS"


def post_worker_init(worker: Any) -> None:
    """Look after the rules in this worker; a thread of the process that preloads them would not come along.

    Args:
        worker: The worker, its application loaded.
    """
    logging.basicConfig(level=logging.INFO, format="%(asctime)s %(name)s %(levelname)s %(message)s")
    worker.app.wsgi().extensions[KEEPER].watch(float(os.environ.get(POLL_VARIABLE) or POLL_SECONDS))
