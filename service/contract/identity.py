"""Which rules an answer stands on, and what of them is suspended."""

from service.contract.fields import Day
from service.contract.statement import AnswerSchema, string
from service.contract.terms import DIGEST


class RulebookIdentity(AnswerSchema):
    """The rulebook that an answer was made with."""

    version = string("Version.")
    digest = string("Digest of all its files.", pattern=DIGEST)
    commit = string("Commit; null: the files are not committed.", nullable=True)
    status = string("Status; demonstration: every figure is invented.")
    superseded_by = string(
        "The higher version in force on the day, where the request names a lower one; null: there is none.",
        nullable=True,
    )


class Suspension(AnswerSchema):
    """Something that is suspended for new work, in whatever version of the rulebook."""

    family = string("Family that is suspended; null: a version is.", nullable=True)
    size = string("Size that is suspended; null: every size of the family.", nullable=True)
    version = string("Version of the rulebook that is suspended; null: a family or size is.", nullable=True)
    since = Day("Day from which on it is suspended.", required=True)
    reason = string("Why it is suspended.")
