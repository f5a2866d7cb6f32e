"""Reading the body of a request: its length, its media type, and then what JSON it is."""

from typing import Any

from flask import Request

from service.contract.faults import LARGEST_BYTES, Refused
from service.contract.paths import MEDIA_TYPE
from service.contract.reading import parse

DRAINED_BYTES, CHUNK_BYTES = 16 * LARGEST_BYTES, 64 * 1024


def read(request: Request) -> Any:
    """Read the body of a request.

    Args:
        request: The request.

    Returns:
        What the JSON says.

    Raises:
        Refused: Length, media type or JSON is not as it must be.
    """
    if "Transfer-Encoding" in request.headers:
        raise Refused(411)
    if (request.content_length or 0) > LARGEST_BYTES:
        _drain(request)
        raise Refused(413)
    charset = request.mimetype_params.get("charset", "utf-8").lower()
    if request.mimetype != MEDIA_TYPE or charset != "utf-8" or "Content-Encoding" in request.headers:
        raise Refused(415)
    return parse(request.get_data(cache=False))


def _drain(request: Request) -> None:
    """Read on what is sent, as far as that is sensible, so that the caller's connection serves its next request."""
    # The server's own stream: Flask's refuses to read a body of this length.
    left = min(request.content_length or 0, DRAINED_BYTES)
    while left > 0:
        taken = len(request.environ["wsgi.input"].read(min(left, CHUNK_BYTES)))
        left = left - taken if taken else 0
