"""What is said to people: codes with their sentences, and the catalogues that put them into a language.

A leaf: it imports nothing of the other rooms. A room states what it found as a code with figures (``Statement``); the
sentence is made of these in one place, for an audience, in a language.
"""

from service.words.catalogue import ENGLISH, LOCALE, Catalogue, catalogue, languages
from service.words.codes import (
    Audience,
    Code,
    Meaning,
    Quantity,
    Severity,
    Statement,
    Term,
    Value,
    Verbatim,
    figures_in,
    means,
)

__all__ = [
    "ENGLISH",
    "LOCALE",
    "Audience",
    "Catalogue",
    "Code",
    "Meaning",
    "Quantity",
    "Severity",
    "Statement",
    "Term",
    "Value",
    "Verbatim",
    "catalogue",
    "figures_in",
    "languages",
    "means",
]
