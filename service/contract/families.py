"""Families of the rulebook: filter and answers."""

from typing import Any, ClassVar

from marshmallow import fields

from service.contract.fields import Choice, Day, Text, Whole, Word
from service.contract.identity import RulebookIdentity, Suspension
from service.contract.paths import Link, Path, PathParameter
from service.contract.request_schema import RequestSchema
from service.contract.statement import AnswerSchema, RulesPart, flag, many, number, one_of, part, string
from service.contract.terms import APPROVALS, MECHANISMS, SETTINGS


class FamilyFilter(RequestSchema):
    """Query parameters of the list of families."""

    mechanism = Choice("Only families of this mechanism.", MECHANISMS)
    exposure = Word("Only families that may be used in this exposure, an id listed at /v1/rulebooks/{version}.")
    size = Text("Only families that have this size; one that no family has is refused.", longest=20)
    setting = Choice("Only families that are set this way.", SETTINGS)
    removable = Choice("Only families that can, or can't, be taken out again.", ("true", "false"))
    status = Choice("Only families of this approval; with size: of which that size has it.", APPROVALS)


class Approval(AnswerSchema):
    """What the company allows."""

    class Meta(AnswerSchema.Meta):
        """Options; `from` is a word of Python's own."""

        include: ClassVar[dict[str, fields.Field[Any]]] = {
            "from": Day("First day of the approval.", required=True),
        }

    status = one_of("Status.", APPROVALS)
    uses = many(string("A use."), "Uses that a restriction leaves; null: every use.", nullable=True)
    until = string("Last day, ISO 8601; null: no end.", nullable=True)
    replacement = string("Family that stands in its place; null: none.", nullable=True)
    reason = string("Why it is so, in words.")


class SizeApproval(AnswerSchema):
    """A size of a family and what the company allows of it."""

    size = string("Size.")
    status = one_of("Status of this size today: a suspension, its own approval, or else the family's.", APPROVALS)
    approval = part(Approval, "Approval of this size's own, which outranks the family's; null: none.", nullable=True)
    embedments_mm = many(number("Effective embedment depth h_ef.", "mm", minimum=0), "Embedments of this size.")


class FamilySummary(AnswerSchema):
    """A family in short."""

    id = string("Family.")
    title = string("Title.")
    mechanism = one_of("Mechanism.", MECHANISMS)
    setting = one_of("When the hole is drilled.", SETTINGS)
    removable = flag("Whether it can be taken out again.")
    exposures = many(string("An exposure."), "Exposures it may be used in.")
    preference_rank = Whole("Rank in the company's preference, 1 the first.", minimum=1, required=True)
    approval = part(Approval, "What the company allows of the family.")
    sizes = many(SizeApproval, "Its sizes.")


class FamilyDetail(AnswerSchema):
    """A family in full."""

    family = RulesPart("The family as its file in the rulebook has it.", "RulesFamily")
    suspensions = many(Suspension, "What of the family is suspended for new work, whatever its approval says.")
    rulebook = part(RulebookIdentity, "The rulebook.")


class FamilyList(AnswerSchema):
    """The families of the rulebook that pass the filters."""

    families = many(FamilySummary, "Families, in the order of their ids.")
    rulebook = part(RulebookIdentity, "The rulebook.")


PATHS = (
    Path(
        method="GET",
        path="/v1/families",
        name="listFamilies",
        summary="Which families are there?",
        description=(
            "Lists the families of the rulebook in short, each with what the company allows of it; filters keep those "
            "that match all of them. Families that are suspended or withdrawn are listed too, unless status filters "
            "them out."
        ),
        tag="Rulebook",
        query=FamilyFilter,
        query_examples={"mechanism": "torque_controlled_expansion", "status": "approved"},
        answer=FamilyList,
        changes_with_the_rulebook=True,
        links=(
            Link(
                name="firstFamily",
                description="The first family of the list in full.",
                operation="getFamily",
                parameters={"family": "$response.body#/families/0/id"},
            ),
        ),
    ),
    Path(
        method="GET",
        path="/v1/families/{family}",
        name="getFamily",
        summary="What does the rulebook say of a family?",
        description="Gives a family with every figure that the rulebook has of it and the source of each.",
        tag="Rulebook",
        path_parameters=(PathParameter("family", "Family.", "bolt-expansion-stainless"),),
        answer=FamilyDetail,
        changes_with_the_rulebook=True,
    ),
)
