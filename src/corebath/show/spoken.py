"""A drawing in another language: its words are said, its places stay."""

from __future__ import annotations

from dataclasses import replace

from corebath.language import translated

from .drawing import Drawing, Text


def in_language(drawing: Drawing, language: str) -> Drawing:
    """The drawing with its title, description and texts in a language, a key of `corebath.language.LANGUAGES`."""
    return replace(
        drawing,
        title=translated(drawing.title, language),
        description=translated(drawing.description, language),
        marks=tuple(replace(m, text=translated(m.text, language)) if isinstance(m, Text) else m for m in drawing.marks),
    )
