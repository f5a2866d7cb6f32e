"""Which way a change of a rule goes: whether it lets a fixing pass more easily."""

from __future__ import annotations

from collections.abc import Sequence

from service.audit.changes.places import ABSENT, is_list, same
from service.audit.changes.rule_fields import RuleField
from service.contract.changes import Effect

HIGHER = {
    "higher_is_less_safe": Effect.LESS_SAFE,
    "lower_is_less_safe": Effect.SAFER,
    "either": Effect.DEPENDS,
    "none": Effect.NONE,
}
TO_NULL = {"less_safe": Effect.LESS_SAFE, "safer": Effect.SAFER, "either": Effect.DEPENDS}


def of_values(field: RuleField, old: object, new: object) -> Effect:
    """Judge the change of a value, or of a whole group that becomes null or no longer is.

    Args:
        field: The field.
        old: What stood there; ABSENT where nothing did.
        new: What stands there; ABSENT where nothing does.

    Returns:
        The effect; where the schema gives the two no order, that it depends on the fixing.
    """
    if field.direction == "none":
        return Effect.NONE
    if old is ABSENT or new is ABSENT:
        return Effect.DEPENDS
    if old is None or new is None:
        to_null = TO_NULL[field.null]
        return to_null if new is None else to_null.reversed
    if is_list(old) and is_list(new):
        return _of_sequences(field, old, new)
    risen = _risen(field, old, new)
    if risen is None:
        return Effect.DEPENDS
    return HIGHER[field.direction] if risen else HIGHER[field.direction].reversed


def of_entry(listing: RuleField, *, comes: bool, from_or_to_empty: bool = False) -> Effect:
    """Judge that an entry of a list or map comes or goes.

    Args:
        listing: The list or map.
        comes: Whether the entry comes.
        from_or_to_empty: Whether the list was empty before, or is after.

    Returns:
        The effect.
    """
    effect = HIGHER[listing.direction]
    if from_or_to_empty and listing.empty_is_another_thing and effect is not Effect.NONE:
        return Effect.DEPENDS
    return effect if comes else effect.reversed


def _risen(field: RuleField, old: object, new: object) -> bool | None:
    """Whether the value is higher than before; None where the two have no order."""
    if isinstance(old, bool) and isinstance(new, bool):
        return new
    if isinstance(old, bool) or isinstance(new, bool):
        return None
    if isinstance(old, int | float) and isinstance(new, int | float):
        return new > old
    if isinstance(old, str) and isinstance(new, str):
        if old in field.order and new in field.order:
            return field.order.index(new) > field.order.index(old)
        # Days in ISO 8601 sort as text.
        return new > old if field.schema.get("format") == "date" else None
    return None


def _of_sequences(field: RuleField, old: Sequence[object], new: Sequence[object]) -> Effect:
    if _within(old, new):
        return of_entry(field, comes=True)
    if _within(new, old):
        return of_entry(field, comes=False)
    return Effect.DEPENDS


def _within(part: Sequence[object], whole: Sequence[object]) -> bool:
    """Whether a list comes from another by leaving entries out."""
    remaining = iter(whole)
    return all(any(same(entry, other) for other in remaining) for entry in part)
