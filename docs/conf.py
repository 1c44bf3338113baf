"""The documentation site: pages in Markdown, and references drawn from the program itself."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent / "_ext"))

from corebath import __version__

project = "corebath"
author = "the corebath contributors"
release = version = __version__
extensions = ["myst_parser", "drawn", "mathml"]
html_math_renderer = "mathml"
myst_enable_extensions = ["deflist", "dollarmath"]
myst_heading_anchors = 3
exclude_patterns = ["_build", "_ext"]
html_theme = "furo"
html_title = f"corebath {release}"
html_show_sphinx = False
html_copy_source = False
