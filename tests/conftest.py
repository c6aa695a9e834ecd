"""What every test runs under.

Properties draw the same examples in every run, so that what is red stays red and what landed green
is green on the next machine. `PROPERTIES=random python -m pytest` draws others, to look for more;
what it finds becomes an example of its own.

Laid-out packets are kept for the tests that share them: millions of boxes that no search for
circular garbage can free, so it is made seldom.
"""

from __future__ import annotations

import gc
import os

from hypothesis import settings

settings.register_profile("fixed", derandomize=True, deadline=None, database=None)
settings.register_profile("random", deadline=None, database=None, print_blob=True)
settings.load_profile(os.environ.get("PROPERTIES", "fixed"))
gc.set_threshold(200_000, 50, 1000)
