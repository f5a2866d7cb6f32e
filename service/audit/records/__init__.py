"""Records of answers: whether their content is as it was given, and whether the same comes out again."""

from service.audit.records.record import Record, read_record
from service.audit.records.replaying import Replay, replay_record

__all__ = (
    "Record",
    "Replay",
    "read_record",
    "replay_record",
)
