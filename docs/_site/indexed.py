"""The index at the end of the manual: every heading below a page's own, and every word of the glossary."""

from typing import Any

from docutils import nodes
from sphinx import addnodes
from sphinx.application import Sphinx
from sphinx.transforms import SphinxTransform

GLOSSARY = "words"


class Indexed(SphinxTransform):
    """Put an entry under the title of every section below the first, and one into every first cell of the glossary."""

    default_priority = 800  # Sphinx gathers entries at 850

    def apply(self, **_: Any) -> None:
        """Do so for one page."""
        tree = self.document
        for section in list(tree.findall(nodes.section)):
            if section.parent is not tree and section["ids"]:
                section.insert(1, entry(section[0].astext(), section["ids"][0]))  # its title stays first
        if self.env.docname == GLOSSARY:
            for row in tree.findall(nodes.row):
                cell = row[0]
                if isinstance(row.parent, nodes.tbody):
                    cell["ids"].append(nodes.make_id(f"word-{cell.astext()}"))
                    cell.insert(0, entry(cell.astext(), cell["ids"][-1]))


def entry(word: str, target: str) -> addnodes.index:
    """One line of the index."""
    return addnodes.index(entries=[("single", word.replace(";", ","), target, "", None)])


def setup(app: Sphinx) -> dict[str, bool]:
    """Tell Sphinx of it."""
    app.add_transform(Indexed)
    return {"parallel_read_safe": True, "parallel_write_safe": True}
