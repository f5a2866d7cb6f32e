"""The one criterion by which a fixing is preferred."""

import pytest

from service.sizing.selection import SelectionFigures, deciding_criterion, known_before_verification, selection_key

ORDER = ("fastener_count", "drilled_volume", "preference_rank", "utilisation")


def figures(**changes: float) -> SelectionFigures:
    values = {
        "fastener_count": 2,
        "drilled_volume": 9000.0,
        "preference_rank": 3,
        "availability": 0,
        "utilisation": 0.6,
    } | changes
    return SelectionFigures(**values)  # type: ignore[arg-type]  # counts and ranks are whole numbers in every case here


@pytest.mark.parametrize(
    ("better", "worse"),
    [
        (figures(fastener_count=1, drilled_volume=20000.0), figures()),
        (figures(drilled_volume=8000.0, preference_rank=9), figures()),
        (figures(preference_rank=1, utilisation=0.99), figures()),
        (figures(utilisation=0.5), figures()),
    ],
    ids=ORDER,
)
def test_an_earlier_criterion_outweighs_the_later_ones(better: SelectionFigures, worse: SelectionFigures) -> None:
    assert selection_key(better, ORDER) < selection_key(worse, ORDER)


def test_the_order_is_the_rulebooks() -> None:
    few, shallow = figures(fastener_count=1, drilled_volume=20000.0), figures(fastener_count=4, drilled_volume=100.0)
    assert selection_key(shallow, ("drilled_volume", "fastener_count")) < selection_key(
        few, ("drilled_volume", "fastener_count")
    )


@pytest.mark.parametrize("criterion", ORDER)
def test_the_deciding_criterion_is_the_first_that_differs(criterion: str) -> None:
    assert deciding_criterion(figures(), figures(**{criterion: 99}), ORDER) == criterion


def test_equal_fixings_have_no_deciding_criterion() -> None:
    assert deciding_criterion(figures(), figures(), ORDER) is None


@pytest.mark.parametrize(
    ("order", "known"),
    [
        (ORDER, ORDER[:3]),
        (("utilisation", "fastener_count"), ()),
        (("fastener_count", "utilisation", "drilled_volume"), ("fastener_count",)),
        (("fastener_count",), ("fastener_count",)),
    ],
)
def test_what_stands_before_the_utilisation_is_known_before_verification(
    order: tuple[str, ...], known: tuple[str, ...]
) -> None:
    assert known_before_verification(order) == known


def test_an_unknown_criterion_is_named_with_the_known_ones() -> None:
    with pytest.raises(ValueError, match=r"selection_order names 'price'; known are fastener_count, drilled_volume"):
        selection_key(figures(), ("price",))
