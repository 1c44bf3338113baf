"""Log: what the kitchen owns and what was cooked, kept in one embedded file."""
