"""One profile for all property tests: the same cases on every run, however slow the machine."""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("fixed", derandomize=True, deadline=None, print_blob=True)
settings.load_profile("fixed")
