"""Salt: how much, and how far it gets in the hours there are."""
