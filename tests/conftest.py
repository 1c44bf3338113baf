"""Settings for all tests."""

from __future__ import annotations

from hypothesis import settings

# No timed tests: a busy machine is no fault of the code. Performance is measured in benchmarks/.
settings.register_profile("house", deadline=None)
settings.load_profile("house")
