"""What a replay takes and answers: a record, whether it is what comes out, and what it comes to today."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from marshmallow import ValidationError

from service.contract.codes import refusal
from service.contract.fields import DAY, Day, Part, Strict, Whole
from service.contract.identity import RulebookIdentity, Suspension
from service.contract.paths import Path
from service.contract.recorded import RecordedRequest
from service.contract.request_schema import RequestSchema
from service.contract.statement import AnswerSchema, Free, flag, many, number, one_of, part, string
from service.contract.terms import DIGEST, MODES, VERDICTS
from service.contract.verification import LEAST_GIVEN

IDENTICAL, SAME_FIGURES, DIFFERENT, IMPOSSIBLE = "identical", "same_figures", "different", "impossible"
REPRODUCED = (IDENTICAL, SAME_FIGURES)
"""Outcomes under which a record may be built on."""
ANSWER_GAINED, REWORDED = "answer_gained", "reworded"
ALTERED, ANOTHER_ENGINE, NOT_MADE_HERE, RULEBOOK_UNKNOWN = (
    "altered",
    "another_engine",
    "not_made_here",
    "rulebook_unknown",
)
CAUSES: Mapping[str, str] = MappingProxyType({
    ANSWER_GAINED: "Every figure, verdict and code of the record comes out; answers have gained fields since.",
    REWORDED: "Every figure, verdict and code of the record comes out; sentences have other words now.",
    ALTERED: "The content no longer has the record's id: it was altered after the answer was made.",
    ANOTHER_ENGINE: "The record says that another version of the engine made it, and not all of it comes out.",
    NOT_MADE_HERE: "Id, rules and engine agree, and not all comes out: this service as it stands did not make it.",
    RULEBOOK_UNKNOWN: "The rulebook that the record names is not known here.",
})
MOST_DIFFERENCES = 100
LONGEST_TEXT = 200
SUSPENSION_MEMBERS = ("family", "size", "version", "since", "reason")
REFUSED = "refused"
OUTCOMES = (IDENTICAL, SAME_FIGURES, DIFFERENT, IMPOSSIBLE)
_KNOWN: dict[str, Any] = {"x-known-codes": dict(CAUSES)}
CHANGES = ("changed", "added", "removed")
DIFFERENCES = (*CHANGES, "reworded")
PLAIN = ("number", "string", "boolean")

EXAMPLE: dict[str, Any] = {
    "request": LEAST_GIVEN | {"rulebook": "2026.8.2", "assessed_on": "2026-11-25"},
    "answer": {
        "verdict": "verified",
        "rulebook": {"version": "2026.8.2", "digest": f"sha256:{'0' * 64}", "commit": None, "status": "demonstration"},
        "assessed_on": "2026-11-25",
        "record": {"id": f"sha256:{'0' * 64}", "engine": "anchor-rulebook-engine/0.2.0"},
    },
}


SUSPENSION = {
    "type": "object",
    "description": "Something that was suspended.",
    "required": list(SUSPENSION_MEMBERS),
    "additionalProperties": False,
    "properties": {
        name: {"type": ["string"] if name in {"since", "reason"} else ["string", "null"], "description": "As answered."}
        for name in SUSPENSION_MEMBERS
    },
}


class KeptAnswer(Strict):
    """An answer as its keeper hands it back: an object that may hold anything, to be held against what comes out."""

    def __init__(self, description: str) -> None:
        text = {"type": "string", "maxLength": LONGEST_TEXT}
        words = "What was suspended then, as the answer lists it; left out: nothing was."
        super().__init__(
            description,
            type="object",
            additionalProperties=True,
            required=True,
            properties={
                "assessed_on": {
                    "type": "string",
                    "format": "date",
                    "pattern": DAY,
                    "description": "Day for which it was assessed.",
                },
                "suspensions": {"type": ["array", "null"], "items": SUSPENSION, "description": words},
                "rulebook": {
                    "type": "object",
                    "additionalProperties": True,
                    "required": ["version", "digest"],
                    "description": "The rulebook that it was made with; version and digest must be there.",
                    "properties": {
                        "version": text | {"description": "Version."},
                        "digest": text | {"description": "Digest of all its files."},
                    },
                },
                "record": {
                    "type": "object",
                    "additionalProperties": True,
                    "required": ["id", "engine"],
                    "description": "What proves that request and answer belong together; id and engine must be there.",
                    "properties": {
                        "id": text | {"description": "Id of the record."},
                        "engine": text | {"description": "Engine and its version."},
                        "contract_version": {
                            "type": "integer",
                            "description": "Version of the contract that it was written by; left out: 1.",
                            "x-unit": "1",
                        },
                    },
                },
            },
        )
        # The contract names what must be there; for the field itself, required says whether there is an answer at all.
        self.metadata = {**self.metadata, "required": ["assessed_on", "rulebook", "record"]}

    def read(self, value: Any) -> dict[str, Any]:
        """Take an object."""
        if not isinstance(value, dict):
            raise ValidationError(refusal("wrong_type", "must be an object"))
        return value


class ReplayRequest(RequestSchema):
    """A record: a request with the answer that it was given, both as they were exchanged."""

    request = Part(RecordedRequest, "The request as it was sent.", required=True)
    answer = KeptAnswer(
        "The answer as it was given, whole: rulebook.version, rulebook.digest, record.id, record.engine and "
        "assessed_on must be there, and anything may stand beside them, to be held against what comes out."
    )


class RecordState(AnswerSchema):
    """Whether the record is whole."""

    id = string("Id that the record gives itself.")
    id_of_content = string(
        "Id that its content has; null: it holds a number that no record can hold.", nullable=True, pattern=DIGEST
    )
    consistent = flag("Whether the two are the same; false: request or answer was altered.")
    engine = string("Engine that the record names.")
    engine_now = string("Engine of this service.")
    contract_version = Whole("Version of the contract that it was written by.", minimum=1, required=True)
    contract_version_now = Whole("Version of the contract that this service writes by.", minimum=1, required=True)


class OwnRulebook(AnswerSchema):
    """The rulebook that the record names."""

    version = string("Version that the record names.")
    digest = string("Digest that the record names.")
    known = flag("Whether this service has exactly these rules.")
    known_versions = many(string("A version."), "Versions that this service can recompute with.")
    commit_recorded = string(
        "Commit that the record names. Its id does not cover the commit, as the same rules may lie in several.",
        nullable=True,
    )
    commit_now = string("Commit by which this service knows the rules; null: none.", nullable=True)


class ReplayDifference(AnswerSchema):
    """A value that is not the same in the record and in what was calculated."""

    pointer = string("JSON pointer to the value in the record.")
    recorded = Free("What the record says; long texts are cut; null too where it says nothing.", PLAIN, nullable=True)
    recomputed = Free("What was calculated; long texts are cut; null too where there is nothing.", PLAIN, nullable=True)
    relative = number(
        "By how much more was calculated, as a share of what the record says; null: not two numbers, or the "
        "record says 0.",
        "1",
        nullable=True,
    )
    kind = one_of(
        "changed: both have a value; added: only the record has one; removed: the record lacks it, answers have gained "
        "it since; reworded: a sentence with other words now.",
        DIFFERENCES,
    )


class ReplayOutcome(AnswerSchema):
    """What a request comes to."""

    verdict = string(f"Verdict: {', '.join(VERDICTS)}; {REFUSED}: the rules don't know what it names.")
    mode = string(f"Failure mode that governs, one of {', '.join(MODES)}; null: none.", nullable=True)
    utilisation = number("Its utilisation, site reduction included; null: no check was made.", "1", nullable=True)
    unmet = many(string("Code of a requirement."), "Requirements that are not met.")
    refusal = string("Why the request is refused; null: it is not.", nullable=True)


class ChangedRule(AnswerSchema):
    """A value of the rulebook that the fixing stands on and that has changed since."""

    path = string("Its place in the rulebook, as traces name it.")
    old = Free("Value in the record's own rules; null too where there was none.", PLAIN, nullable=True)
    new = Free("Value in the rules in force today; null too where there is none.", PLAIN, nullable=True)
    change = one_of("What happened to it.", CHANGES)


class ReplayToday(AnswerSchema):
    """What the request of the record comes to today."""

    assessed_on = Day("Today.", required=True)
    rulebook = part(RulebookIdentity, "The rules in force today; null: none are.", nullable=True)
    passes = flag("Whether it passes its checks and meets its requirements under them.")
    before = part(
        ReplayOutcome,
        "What its own rules make of it; where they are unknown, what the record says; null: neither can be said.",
        nullable=True,
    )
    after = part(ReplayOutcome, "What it comes to today; null: no rules are in force.", nullable=True)
    changed_figures = many(
        ChangedRule,
        "Figures, approval and period that it stands on and that have changed; null: its own rules are unknown.",
        nullable=True,
    )
    suspensions = many(Suspension, "What it uses and is suspended for new work today.")
    words = string("All of it in words.")


class ReplayAnswer(AnswerSchema):
    """Whether a record is what comes out, and whether its fixing still passes today."""

    outcome = one_of(
        "identical: recomputed under its own rules, every value is the same; same_figures: every figure, verdict and "
        "code that the record holds comes out the same, and the answer has gained fields or other words since; "
        "different: a figure, verdict or code does not come out, or its content was altered; impossible: its rulebook "
        "is not known here.",
        OUTCOMES,
    )
    cause = Strict(
        f"Stable code of the likely cause; clients tolerate codes that are added; null: it is identical. So far: "
        f"{', '.join(CAUSES)}.",
        required=True,
        nullable=True,
        type="string",
        **_KNOWN,
    )
    words = string("Outcome and cause in words.")
    record = part(RecordState, "Whether the record is whole.")
    own_rulebook = part(OwnRulebook, "The rulebook that the record names.")
    differences = many(
        ReplayDifference, f"Where the record differs from what was calculated, at most {MOST_DIFFERENCES} places."
    )
    more_differences = flag("Whether there are further differences.")
    refusal = string("Why its own rules refuse its request; null: they don't, or are unknown.", nullable=True)
    today = part(ReplayToday, "What it comes to today.")


PATHS = (
    Path(
        method="POST",
        path="/v1/replays",
        name="replayRecord",
        summary="Was this record made by these rules, and does it still pass today?",
        description=(
            "Takes a record: a request with the answer it was given. Recomputes the id of the record from its content, "
            "and the answer under the rulebook and the suspensions of that day, and says where they differ. Then "
            "verifies the same request under the rules in force today. White space, the order of keys and the way a "
            "number is written make no difference; any changed figure, verdict or code is found out. An altered record "
            "is not an error: the answer is 200 with its outcome."
        ),
        tag="Verification",
        body=ReplayRequest,
        examples={"altered": {"summary": "A record whose answer was shortened by hand", "value": EXAMPLE}},
        answer=ReplayAnswer,
    ),
)
