"""The contract, served as it is committed."""

from flask import Response

from service.api.operations import MEDIA_TYPE, Call, Operation
from service.contract.health import ContractDocument


def get_contract(_: Call) -> Response:
    """Give the contract.

    Args:
        _: The call.

    Returns:
        The document.
    """
    # The contract is made of the operations and this is one of them.
    from service.api.contract import served

    return Response(served(), mimetype=MEDIA_TYPE)


OPERATIONS = (
    Operation(
        method="GET",
        path="/openapi.json",
        name="getContract",
        summary="What does the service promise?",
        description="Gives this document, as it is committed with the code.",
        tag="Running it",
        view=get_contract,
        answer=ContractDocument,
        names_rulebook=False,
    ),
)
