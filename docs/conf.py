"""How the manual becomes pages: Sphinx reads what lies beside this file. `make docs` calls it."""

import sys
from importlib.metadata import version as installed
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent / "_site"))

project = "Snath"
release = version = installed("snath")
extensions = ["myst_parser", "equations", "indexed"]
myst_enable_extensions = ["dollarmath"]
myst_heading_anchors = 3
highlight_language = "none"  # a block says itself where it is code
exclude_patterns = ["_site"]
templates_path = ["_site/templates"]

html_theme = "alabaster"  # its pages hold no script of their own and ask nobody outside
html_theme_options = {
    "description": "At what no-load engine speed should this machine be governed?",
    "show_powered_by": False,
    "fixed_sidebar": True,
    "page_width": "68rem",
    "sidebar_width": "16rem",
    "font_family": "system-ui, sans-serif",
    "head_font_family": "system-ui, sans-serif",
}
html_sidebars = {"**": ["about.html", "searchfield.html", "onpage.html", "navigation.html"]}
html_static_path = ["_site/static"]
html_css_files = ["manual.css"]
html_show_copyright = False
html_show_sourcelink = False
html_copy_source = False
html_math_renderer = "mathml"
