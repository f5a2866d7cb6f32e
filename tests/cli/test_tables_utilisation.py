"""A utilisation on the command line never reads as met where it is over."""

import pytest

from service.cli.tables import utilisation_words
from service.words.units import hundredths


@pytest.mark.parametrize(
    ("utilisation", "words"),
    [(None, ""), (0.5, "0.5"), (1.0, "1"), (1.0004, "1.01 (over)"), (1.23, "1.23 (over)"), (10.181, "10.19 (over)")],
)
def test_a_utilisation_over_one_is_rounded_up_and_says_so(utilisation: float | None, words: str) -> None:
    assert utilisation_words(utilisation) == words


@pytest.mark.parametrize(("utilisation", "whole"), [(1.0, 100), (1.0 + 1e-12, 100), (1.000001, 101), (0.291, 30)])
def test_hundredths_are_never_below_the_utilisation(utilisation: float, whole: int) -> None:
    assert hundredths(utilisation) == whole
