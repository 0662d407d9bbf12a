"""Equations as MathML, which browsers show without any script."""

from typing import Any

from docutils import nodes
from docutils.utils.math.latex2mathml import tex2mathml
from sphinx.application import Sphinx


def inline(self: Any, node: nodes.math) -> None:
    """An equation in a sentence."""
    self.body.append(tex2mathml(node.astext()))
    raise nodes.SkipNode


def block(self: Any, node: nodes.math_block) -> None:
    """An equation on a line of its own."""
    self.body.append(f'<div class="equation">{tex2mathml(node.astext(), as_block=True)}</div>\n')
    raise nodes.SkipNode


def setup(app: Sphinx) -> dict[str, bool]:
    """Tell Sphinx of it."""
    app.add_html_math_renderer("mathml", (inline, None), (block, None))
    return {"parallel_read_safe": True, "parallel_write_safe": True}
