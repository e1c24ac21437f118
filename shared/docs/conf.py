"""How Sphinx builds the manual: python -m sphinx -W -b html shared/docs build/docs."""

import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE.parents[1])]

import circuitcheck  # noqa: E402

project = "circuitcheck"
author = "the circuitcheck contributors"
version = release = circuitcheck.__version__

extensions = ["myst_parser", "made"]
myst_enable_extensions = ["deflist"]
myst_heading_anchors = 3
exclude_patterns = ["README.md", "__pycache__"]
nitpicky = True
smartquotes = False  # what is quoted is typed

# Nothing is fetched: the theme that comes with Sphinx, no fonts, no scripts from elsewhere.
html_theme = "alabaster"
html_theme_options = {
    "description": "Hydraulic circuits, checked and computed",
    "fixed_sidebar": True,
    "font_family": '"Liberation Sans", Arial, Helvetica, sans-serif',
    "head_font_family": '"Liberation Sans", Arial, Helvetica, sans-serif',
    "code_font_family": '"Liberation Mono", Consolas, monospace',
    "page_width": "64rem",
    "sidebar_width": "14rem",
    "show_powered_by": False,
}
html_sidebars = {"**": ["about.html", "searchbox.html", "navigation.html"]}
html_static_path = ["_look"]
html_css_files = ["manual.css"]
html_title = "circuitcheck"
html_copy_source = False
html_show_sourcelink = False
html_show_sphinx = False
html_show_copyright = False
