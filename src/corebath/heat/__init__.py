"""Heat: bodies, stages, the solvers and the history they make."""
