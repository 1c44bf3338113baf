"""Plan: from a piece, a wanted result and a table time to one plan with its spread and its findings."""
