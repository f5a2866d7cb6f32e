"""Replay: was this record made by these rules, and does it still pass under today's?"""

from typing import Any

from service.api.operations import Call, Operation
from service.audit.records import read_record, replay_record
from service.contract.replays import EXAMPLE, ReplayAnswer, ReplayRequest


def replay_of(call: Call) -> dict[str, Any]:
    """Replay the record of a call.

    Args:
        call: The call, with a record as its body.

    Returns:
        The answer.
    """
    record = read_record(call.body["request"], call.body["answer"])
    return replay_record(record, call.serving.shelf, call.serving.clock()).as_json()


OPERATIONS = (
    Operation(
        method="POST",
        path="/v1/replays",
        name="replayRecord",
        summary="Was this record made by these rules, and does it still pass today?",
        description=(
            "Takes a record: a request with the answer it was given. Recomputes the record's id from its content and "
            "the answer under the record's own rulebook, under whatever was suspended then, and says where they "
            "differ. Then verifies the same request under the rules in force today. White space, the order of keys and "
            "the way a number is written are not content; any changed value is found out. An altered record is not an "
            "error: the answer is 200 with its outcome."
        ),
        tag="Verification",
        view=replay_of,
        body=ReplayRequest,
        examples={"altered": {"summary": "A record whose answer was shortened by hand", "value": EXAMPLE}},
        answer=ReplayAnswer,
    ),
)
