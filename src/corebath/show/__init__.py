"""Show: a plan as charts, as data and as plain words, for screen, print and terminal."""
