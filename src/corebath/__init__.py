"""corebath: a planner and kitchen companion for people who cook sous vide."""

__version__ = "0.1.0"
