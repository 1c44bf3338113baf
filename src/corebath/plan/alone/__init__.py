"""Alone: one end of a cook by itself, for a piece as the cook describes it and without a plan."""
