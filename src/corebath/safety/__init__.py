"""Safety: named rules of named authorities, read off a history."""
