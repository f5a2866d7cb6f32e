"""What is asked and answered about the changes between two versions of the rulebook."""

from __future__ import annotations

from enum import StrEnum

from service.contract.fields import Day, Text, Whole
from service.contract.paths import Path, PathParameter
from service.contract.request_schema import RequestSchema
from service.contract.statement import AnswerSchema, Free, flag, many, number, one_of, part, string
from service.contract.terms import DIGEST

KINDS = ("changed", "added", "removed", "renamed")
ANYTHING = ("number", "string", "boolean", "array", "object", "null")

EXAMPLE = {"since": "2026.1.0"}


class Effect(StrEnum):
    """What a change does to fixings, worst first."""

    LESS_SAFE = "less_safe"
    DEPENDS = "depends_on_the_fixing"
    SAFER = "safer"
    NONE = "none"

    @property
    def reversed(self) -> Effect:
        """What taking the change back does."""
        return {Effect.LESS_SAFE: Effect.SAFER, Effect.SAFER: Effect.LESS_SAFE}.get(self, self)

    @property
    def guarded(self) -> bool:
        """Whether somebody has to have checked and approved the change."""
        return self in {Effect.LESS_SAFE, Effect.DEPENDS}


EFFECTS = tuple(str(effect) for effect in Effect)


class ChangesQuery(RequestSchema):
    """Query parameters of the changes of a version."""

    since = Text(
        "The older version, one listed at /v1/rulebooks; not newer than the version in the path.",
        longest=20,
        required=True,
    )


class ComparedRules(AnswerSchema):
    """One of the two versions."""

    name = string("The version as it was asked for.")
    version = string("Version that the rules give themselves; null: none.", nullable=True)
    commit = string("Commit that holds them; null: they are not those of a commit.", nullable=True)
    digest = string("Digest of all their files.", pattern=DIGEST)


class RuleCommit(AnswerSchema):
    """A commit of the rules, as git tells it."""

    commit = string("Full hash.")
    author = string("Name of its author.")
    date = Day("Day on which it was written.", required=True)
    subject = string("First line of its message.")
    reason = string("Why, from the trailer Reason; null: it does not say.", nullable=True)
    checker = string("Role of who checked it, from the trailer Checker; null: none is named.", nullable=True)
    approver = string("Role of who approved it, from the trailer Approver; null: none is named.", nullable=True)


class RuleChange(AnswerSchema):
    """A value that changed, or a group of values that came or went together."""

    rule = string("Rulebook path, as in traces; into the older version where the value is gone.")
    file = string("File, relative to the rules.")
    pointer = string("JSON pointer into the file, as a fragment.")
    kind = one_of("What happened to it.", KINDS)
    effect = one_of("What it does to fixings, field by field.", EFFECTS)
    old = Free("What stood there; null too where nothing did or a group is counted.", ANYTHING)
    new = Free("What stands there; null too where nothing does or a group is counted.", ANYTHING)
    relative = number("New over old, less one; null: not both are figures, or the old one is 0.", "1", nullable=True)
    unit = string("Unit of both; null: none.", nullable=True)
    null_means = string("What a null in its place stands for; null: nothing of its own.", nullable=True)
    symbol = string("Symbol of EN 1992-4; null: none.", nullable=True)
    words = string("What it is.")
    group = string("Names of the groups it stands in; null: none.", nullable=True)
    title = string("Title of the family, factor file or reference fixing.")
    size = string("Size of the fastener; null: it belongs to none.", nullable=True)
    embedment_mm = number("Effective embedment; null: it belongs to none.", "mm", nullable=True)
    figures = Whole("Figures that came or went with it; 0: a single value.", minimum=0, required=True)
    summary = string("What came or went, in short; null: a single value.", nullable=True)
    set_by = part(RuleCommit, "Commit that last set it; null: not known.", nullable=True)
    also_set_by = many(RuleCommit, "Commits that later changed anything inside what came with it.")
    not_attributed = string("Why no commit is named; null: one is.", nullable=True)


class ReferenceChange(RuleChange):
    """A change of a reference fixing."""

    expectation = flag("True: what a person expects of the fixing changed; false: its input or words.")


class RuleChangeFault(AnswerSchema):
    """Changes towards less safety that name no checker or no approver."""

    commit = string("Commit whose message lacks them; null: no commit could be found.", nullable=True)
    missing = many(string("Name of a trailer."), "What is missing.")
    rules = many(string("Rulebook path."), "The changes.")
    detail = string("What is wrong and what to do.")


class EffectCounts(AnswerSchema):
    """Changes by what they do to fixings."""

    less_safe = Whole("More passes or may be used than before.", minimum=0, required=True)
    depends_on_the_fixing = Whole("It may go either way.", minimum=0, required=True)
    safer = Whole("Less passes or may be used than before.", minimum=0, required=True)
    none = Whole("No check uses it.", minimum=0, required=True)


class RuleChanges(AnswerSchema):
    """What changed between two versions of the rulebook."""

    older = part(ComparedRules, "The older version.")
    newer = part(ComparedRules, "The newer version.")
    counts = part(EffectCounts, "Changes by effect, those of reference fixings left out.")
    changes = many(RuleChange, "Changes, less safe first, then by family, size and embedment.")
    reference = many(ReferenceChange, "Changes of reference fixings.")
    faults = many(RuleChangeFault, "What changes towards less safety lack.")
    remarks = many(string("A remark."), "What else is to be known, such as why commits are not named.")
    caution = string("What the effects do not say.")


PATHS = (
    Path(
        method="GET",
        path="/v1/rulebooks/{version}/changes",
        name="getRulebookChanges",
        summary="What changed since an older version?",
        description=(
            "Compares two versions. Each changed value comes with old and new value, relative change, family, size, "
            "embedment and symbol in words, and whether more fixings pass by it. The commit that set it is named with "
            "author, reason, checker and approver. Layout, the order of keys and the order of sets are no change."
        ),
        tag="Rulebook",
        query=ChangesQuery,
        query_examples=EXAMPLE,
        path_parameters=(PathParameter("version", "The newer version, year.number.patch.", "2026.8.2"),),
        answer=RuleChanges,
        changes_with_the_rulebook=True,
    ),
)
