"""Records of answers: whether their content is as it was given, and whether the same comes out again."""

from service.audit.records.record import LONGEST_TEXT, SUSPENSION_MEMBERS, Record, read_record
from service.audit.records.replaying import (
    ALTERED,
    CAUSES,
    DIFFERENT,
    IDENTICAL,
    IMPOSSIBLE,
    MOST_DIFFERENCES,
    RULEBOOK_UNKNOWN,
    Replay,
    replay_record,
)

__all__ = (
    "ALTERED",
    "CAUSES",
    "DIFFERENT",
    "IDENTICAL",
    "IMPOSSIBLE",
    "LONGEST_TEXT",
    "MOST_DIFFERENCES",
    "RULEBOOK_UNKNOWN",
    "SUSPENSION_MEMBERS",
    "Record",
    "Replay",
    "read_record",
    "replay_record",
)
