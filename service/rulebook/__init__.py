"""The rulebook: rules as data, read strictly, checked, and identified by a digest."""

from service.rulebook.book import Rulebook, RulebookInvalid, load, plain
from service.rulebook.finding import Finding
from service.rulebook.lint import lint

__all__ = ["Finding", "Rulebook", "RulebookInvalid", "lint", "load", "plain"]
