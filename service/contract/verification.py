"""Verification: request, answer and examples."""

from typing import Any

from service.contract.built import BuiltBefore
from service.contract.checks import (
    Check,
    ChosenFastener,
    Governing,
    LoadCaseForces,
    Permissible,
    Plate,
    SiteReduction,
    action_combinations,
)
from service.contract.coherence import OF_A_VERIFICATION, OF_NEW_REQUESTS, Rule, found_sound
from service.contract.common import Assumption, Basis, Caution, Requirement, ScopeLimit
from service.contract.fields import Day, Items, Part, Text, Whole
from service.contract.fixing import (
    FIXTURE,
    LOAD_CASES,
    MEMBER,
    SITE,
    USE,
    CommonRequest,
    Fastener,
    Position,
)
from service.contract.identity import RulebookIdentity, Suspension
from service.contract.paths import Link, Path
from service.contract.pulls import Digest, SiteTest, SiteTestOrigin
from service.contract.site_tests import PIPE_ON_UNKNOWN_WALL
from service.contract.statement import AnswerSchema, many, one_of, part, string
from service.contract.terms import APART, CONTRACT_VERSION, DIGEST, VERDICTS


class VerificationRequest(CommonRequest):
    """A fixing to be verified."""

    came_from_record = Digest(
        "Id of the record that this request came from, for example by an as-built check.", absent="from no record"
    )
    built = Part(
        BuiltBefore,
        "What earlier as-built checks found; kept for the next one, which judges it. Here only the embedment is "
        "reckoned with, whether the nut of the fitted length still finds its thread, and work that was found wrong is "
        "refused.",
        absent="none was made, or none found anything",
    )
    fastener = Part(Fastener, "The fastener to be verified.", required=True)
    positions = Items(
        Part(Position, "One fastener."), f"Where the fasteners stand; {APART}.", fewest=1, most=100, required=True
    )
    site_test = Part(
        SiteTest,
        "Pulls to failure in this very base material, where no assessment covers it, as /v1/site-tests/assessments "
        "gives them back. Each fastener is then verified by the resistance that they give, in the mode "
        "simplified_resultant, and only within their reach; what the member says of its concrete does not count.",
        absent="the member is concrete, and the assessment of the family counts",
    )
    base_material = Text(
        "Base material of the fixing in words, the same as the tests have; required with a site_test and refused "
        "without one.",
        longest=200,
        absent="refused with a site_test",
    )

    @staticmethod
    def rules() -> tuple[Rule, ...]:
        """Rules across fields."""
        return (*OF_A_VERIFICATION, *OF_NEW_REQUESTS, found_sound)


RECORD_ID = (
    "`sha256:` and the SHA-256, in hexadecimal, of the RFC 8785 form of the object with the members `request`, "
    "`answer`, `rulebook`, `engine` and `contract_version`. `request` is the request as it was parsed, no default "
    "filled in and no null taken out, with `assessed_on` and `rulebook` resolved: where they were left out or null, "
    "the day and the version that the answer names stand there. `answer` is the answer without `record`, without "
    "`rulebook.commit` and without its sentences, the fields marked `x-sentence`: a better word changes no id. "
    "`rulebook` is the rulebook's digest, `engine` and `contract_version` are those of `record`. Where `record` states "
    "no contract_version, the version is 1: the object has no such member, and `answer` keeps its sentences. White "
    "space, the order of keys and the way a number is written are not content. The id shows that request and answer "
    "belong together, not who made them. Vectors of both versions: schemas/record-vectors.json."
)


class Record(AnswerSchema):
    """What proves that request and answer belong together."""

    id = string(RECORD_ID, pattern=DIGEST)
    engine = string("Engine and its version, name/version.")
    contract_version = Whole(
        f"Version of the contract that the answer was written by, now {CONTRACT_VERSION}; a record that states none is "
        "of version 1.",
        minimum=2,
        required=True,
    )


class UnrecordedAnswer(AnswerSchema):
    """What a record is made of: whether a fixing passes its checks, and why."""

    verdict = one_of(
        "verified: every check at most 1 after the site reduction and every requirement met; not_verified: a check is "
        "over or a requirement is not met; outside_scope: the method does not cover the case, "
        "and no resistance is invented.",
        VERDICTS,
        of="verdict.value",
    )
    governing = part(Governing, "The check with the highest utilisation; null: no check.", nullable=True)
    combinations = action_combinations(of="combinations")
    checks = many(
        Check,
        "Every check of every load case; of the combinations of actions each mode and edge under the one that uses it "
        "most, persistent and accidental ones apart.",
    )
    requirements = many(Requirement, "Limits that are met or not.", of="outcome.requirements")
    scope_limits = many(ScopeLimit, "Why the method does not cover the case; empty unless outside_scope.")
    fastener = part(ChosenFastener, "The fastener.", of="outcome")
    fastener_forces = many(LoadCaseForces, "Forces of the fasteners under each load case or combination.")
    site_reduction = part(SiteReduction, "What is taken off for how sure the site can be.", of="outcome.site")
    permissible = many(Permissible, "What the group may carry, a load case each; null unless verified.", nullable=True)
    plate = part(Plate, "Whether the fixture is stiff enough.")
    assumptions = many(Assumption, "What was taken because the request leaves it open.")
    cautions = many(Caution, "What to beware of.")
    site_test = Part(
        SiteTestOrigin,
        "Where the resistance comes from; only where the request has a site_test.",
        of="outcome.evidence.origin",
    )
    basis = part(Basis, "What the answer rests on.")
    rulebook = part(RulebookIdentity, "The rulebook.", of="outcome.rulebook")
    suspensions = many(
        Suspension,
        "What is suspended for new work and touches this answer: its fastener, its version, or a higher version that "
        "was passed by.",
        of="outcome.suspensions",
    )
    assessed_on = Day("Day for which the fixing is assessed.", required=True, of="outcome.request.assessed_on")
    fixing_reference = string(
        "The caller's own name for the fixing; null: none.", nullable=True, of="outcome.request.fixing_reference"
    )


class VerificationAnswer(UnrecordedAnswer):
    """Whether a fixing passes its checks, and why."""

    record = part(Record, "What proves that request and answer belong together.")


GUARDRAIL_POST: dict[str, Any] = {
    "rulebook": "2026.8.2",
    "assessed_on": "2026-11-25",
    "fixing_reference": "PS4-rail-017",
    "fastener": {"family": "bolt-expansion-stainless", "size": "M12", "embedment_mm": 75, "length_mm": None},
    "member": MEMBER,
    "positions": [{"x_mm": x, "y_mm": y} for y in (-75, 75) for x in (-75, 75)],
    "fixture": FIXTURE,
    "load_cases": LOAD_CASES,
    "use": USE,
    "site": SITE,
    "detail": "full",
}


LEAST_GIVEN: dict[str, Any] = {
    "fastener": {"family": "bolt-expansion-stainless", "size": "M12", "embedment_mm": 75},
    "member": {"thickness_mm": 200},
    "positions": [{"x_mm": 0, "y_mm": 0}],
    "fixture": {"width_mm": 100, "depth_mm": 100},
    "actions": [
        {"name": "pipe", "kind": "permanent", "normal_kn": 0.7},
        {"name": "water in it", "kind": "variable", "normal_kn": 0.5},
    ],
}


PATHS = (
    Path(
        method="POST",
        path="/v1/verifications",
        name="verifyFixing",
        summary="Does this fixing pass its checks?",
        description=(
            "Verifies one fixing under each of its load cases by EN 1992-4 and the rulebook. A fixing that fails a "
            "check is not an error: the answer is 200 with its verdict. Calculation is pure, so any request may be "
            "sent again."
        ),
        tag="Verification",
        body=VerificationRequest,
        examples={
            "guardrail_post": {
                "summary": "Guardrail post on a quay wall, four bolts",
                "value": GUARDRAIL_POST,
            },
            "site_test": {
                "summary": "Pipe bracket on a wall without data, by pulls on site",
                "value": PIPE_ON_UNKNOWN_WALL,
            },
            "least_given": {"summary": "The least that may be given", "value": LEAST_GIVEN},
        },
        answer=VerificationAnswer,
        links=(
            Link(
                name="rulebookOfTheAnswer",
                description="The rulebook that the answer was made with.",
                operation="getRulebook",
                parameters={"version": "$response.body#/rulebook/version"},
            ),
        ),
    ),
)
