"""Replay: was this record made by these rules, and does it still pass under today's?"""

from typing import Any

from service.api.operations import Call, bound
from service.audit.records import read_record, replay_record
from service.contract.replays import PATHS


def replay_of(call: Call) -> dict[str, Any]:
    """Replay the record of a call."""
    record = read_record(call.body["request"], call.body["answer"])
    return replay_record(record, call.serving.shelf, call.serving.clock()).as_json()


OPERATIONS = bound(
    PATHS,
    {"replayRecord": replay_of},
)
