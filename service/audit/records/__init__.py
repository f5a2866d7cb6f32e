"""Records of answers: whether their content is as it was given, and whether the same comes out again."""

from service.audit.records.record import LONGEST_TEXT, SUSPENSION_MEMBERS, Record, read_record
from service.audit.records.replaying import (
    ALTERED,
    CAUSES,
    DIFFERENT,
    IDENTICAL,
    IMPOSSIBLE,
    MOST_DIFFERENCES,
    REPRODUCED,
    RULEBOOK_UNKNOWN,
    SAME_FIGURES,
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
    "REPRODUCED",
    "RULEBOOK_UNKNOWN",
    "SAME_FIGURES",
    "SUSPENSION_MEMBERS",
    "Record",
    "Replay",
    "read_record",
    "replay_record",
)
