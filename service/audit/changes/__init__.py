"""What changed between two states of the rules, who is behind it, and every value a figure ever had."""

from service.audit.changes.as_html import changes_html
from service.audit.changes.as_markdown import changes_markdown
from service.audit.changes.changed_values import Change, Changes, changes_of
from service.audit.changes.figure_history import UnknownFigure, history_of
from service.audit.changes.figures import changed_since
from service.audit.changes.report import RulesSide, UnreadableRules, changes_between, report_changes
from service.audit.changes.report_rows import CAUTION, HASH_SHOWN, percent, value_words
from service.contract.changes import Effect

__all__ = (
    "CAUTION",
    "HASH_SHOWN",
    "Change",
    "Changes",
    "Effect",
    "RulesSide",
    "UnknownFigure",
    "UnreadableRules",
    "changed_since",
    "changes_between",
    "changes_html",
    "changes_markdown",
    "changes_of",
    "history_of",
    "percent",
    "report_changes",
    "value_words",
)
