"""Generated examples: the same in every run, and however busy the machine is; deploy/test-long takes fresh ones."""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("suite", derandomize=True, database=None, deadline=None)
settings.register_profile("fresh", derandomize=False, database=None, deadline=None, max_examples=1000)
settings.load_profile("suite")
