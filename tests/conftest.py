"""Settings for all tests."""

from __future__ import annotations

import os

from hypothesis import settings

# No timed tests: a busy machine is no fault of the code. Performance is measured in benchmarks/.
# The same examples in every run: a change is judged by what it did. `HYPOTHESIS_PROFILE=explore` looks for new ones.
settings.register_profile("house", deadline=None, derandomize=True)
settings.register_profile("explore", deadline=None)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "house"))
