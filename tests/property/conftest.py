"""One profile for all properties: the same examples in every run, and few enough for a minute."""

from __future__ import annotations

from hypothesis import HealthCheck, settings

settings.register_profile(
    "properties",
    derandomize=True,
    database=None,
    deadline=None,
    max_examples=80,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)
