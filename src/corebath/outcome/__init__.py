"""Outcome: what the food will be like, with how much is known."""
