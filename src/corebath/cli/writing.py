"""Why a file could not be written, in words."""

from __future__ import annotations

_REASONS = (
    (FileNotFoundError, "there is no such folder"),
    (NotADirectoryError, "a part of its path is no folder"),
    (IsADirectoryError, "a folder has that name"),
    (PermissionError, "writing there is not allowed"),
)


def why_not_written(error: Exception) -> str:
    """What stands after "could not be written:"; no number of the system's, and no full stop."""
    if not isinstance(error, OSError):
        return str(error).rstrip(".")
    for kind, words in _REASONS:
        if isinstance(error, kind):
            return words
    return "the disk is full, or the system refuses"
