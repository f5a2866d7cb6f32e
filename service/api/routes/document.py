"""The contract, served as it is committed."""

from flask import Response

from service.api.operations import Call, bound
from service.contract.document import served
from service.contract.health import DOCUMENT_PATHS
from service.contract.paths import MEDIA_TYPE


def get_contract(_: Call) -> Response:
    """Give the contract."""
    return Response(served(), mimetype=MEDIA_TYPE)


OPERATIONS = bound(
    DOCUMENT_PATHS,
    {"getContract": get_contract},
)
