"""The eight acceptance scenarios, asked through the command line, and the pages of `docs/acceptance` made of them."""
