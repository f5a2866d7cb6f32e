"""What a change of the rules does to fixings, and which figures somebody would notice if they were wrong."""

from service.audit.impact.as_html import impact_html
from service.audit.impact.as_markdown import impact_markdown
from service.audit.impact.guarding import KINDS, LIMIT, Guarding, GuardReport, guard_figures
from service.audit.impact.outcome import TO_NOT_PASSING, Comparison, Outcome, compared, documents_of
from service.audit.impact.portfolio import BAD, LISTED, LineImpact, PortfolioImpact, portfolio_impact
from service.audit.impact.reference_fixings import Impact, impact_of_change
from service.audit.impact.tables import Section, sections, title_of
from service.audit.impact.workers import WorkerFailed, processors

__all__ = (
    "BAD",
    "KINDS",
    "LIMIT",
    "LISTED",
    "TO_NOT_PASSING",
    "Comparison",
    "GuardReport",
    "Guarding",
    "Impact",
    "LineImpact",
    "Outcome",
    "PortfolioImpact",
    "Section",
    "WorkerFailed",
    "compared",
    "documents_of",
    "guard_figures",
    "impact_html",
    "impact_markdown",
    "impact_of_change",
    "portfolio_impact",
    "processors",
    "sections",
    "title_of",
)
