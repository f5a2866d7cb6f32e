"""Running it: what health and this contract answer."""

from service.contract.fields import Strict
from service.contract.identity import RulebookIdentity
from service.contract.paths import Path
from service.contract.statement import AnswerSchema, many, one_of, part, string
from service.contract.terms import RULES_FAULTS


class Liveness(AnswerSchema):
    """The process runs."""

    status = one_of("live.", ("live",))


class RulesFault(AnswerSchema):
    """Something that is wrong with the rules, while others are served."""

    version = string("Version that it concerns; null: none or all.", nullable=True)
    code = one_of("Stable code.", RULES_FAULTS)
    detail = string("What is wrong and what would help.")


class Readiness(AnswerSchema):
    """The service can answer."""

    status = one_of(
        "ready; degraded: what lies there now cannot be read or used, so what was good last answers, with all that was "
        "suspended.",
        ("ready", "degraded"),
    )
    rulebook = part(RulebookIdentity, "The rulebook in force today, or the newest where none is.")
    versions = many(string("A version."), "Versions that are served, oldest first.")
    note = string("What is to be said of the place that the rules come from; null: nothing.", nullable=True)
    faults = many(RulesFault, "What keeps a version from being served, or new rules from being taken up.")


class ContractDocument(AnswerSchema):
    """The contract: an OpenAPI document."""

    openapi = string("Version of OpenAPI.")
    info = Strict("Title and version.", type="object", required=True)
    paths = Strict("Paths.", type="object", required=True)
    servers = Strict(
        "Where the service is.", type="array", items={"type": "object", "description": "One of them."}, required=True
    )
    tags = Strict(
        "Groups of operations.", type="array", items={"type": "object", "description": "One of them."}, required=True
    )
    security = Strict(
        "What a caller has to show; empty: nothing.",
        type="array",
        items={"type": "object", "description": "A way."},
        required=True,
    )
    components = Strict("Schemas, responses and headers.", type="object", required=True)


PATHS = (
    Path(
        method="GET",
        path="/health/live",
        name="getLiveness",
        summary="Does the process run?",
        description="Answers as long as the process runs, with or without a rulebook. Query parameters are ignored.",
        tag="Running it",
        answer=Liveness,
        ignores_parameters=True,
        names_rulebook=False,
    ),
    Path(
        method="GET",
        path="/health/ready",
        name="getReadiness",
        summary="Can the service answer?",
        description="Answers 503 as long as the service has no rulebook, and while answers are stopped because a "
        "release or the suspensions were removed or altered. Query parameters are ignored.",
        tag="Running it",
        answer=Readiness,
        ignores_parameters=True,
    ),
)


DOCUMENT_PATHS = (
    Path(
        method="GET",
        path="/openapi.json",
        name="getContract",
        summary="What does the service promise?",
        description="Gives this document, as it is committed with the code.",
        tag="Running it",
        answer=ContractDocument,
        names_rulebook=False,
    ),
)
