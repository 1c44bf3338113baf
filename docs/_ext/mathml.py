"""Equations as MathML that browsers draw themselves, so that a page loads nothing from elsewhere."""

from __future__ import annotations

from typing import Any

from docutils import nodes
from docutils.utils.math import latex2mathml
from sphinx.application import Sphinx
from sphinx.writers.html5 import HTML5Translator


def setup(app: Sphinx) -> dict[str, Any]:
    app.add_html_math_renderer("mathml", inline_renderers=(_inline, None), block_renderers=(_block, None))
    return {"parallel_read_safe": True, "parallel_write_safe": True}


def _inline(translator: HTML5Translator, node: nodes.math) -> None:
    translator.body.append(latex2mathml.tex2mathml(node.astext()))
    raise nodes.SkipNode


def _block(translator: HTML5Translator, node: nodes.math_block) -> None:
    drawn = latex2mathml.tex2mathml(node.astext(), as_block=True)
    translator.body.append(f'<div class="math">{drawn}</div>\n')
    raise nodes.SkipNode
