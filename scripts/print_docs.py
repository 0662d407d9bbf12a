"""Print what the manual has from the program itself, rules, commands and figures, and the bench from the manual."""

import sys
from importlib import import_module
from pathlib import Path

import click

sys.path.insert(0, str(Path(__file__).parents[1]))  # where it was begun as a file

from scripts.face_page import face
from scripts.figures import FIGURES
from scripts.headings_page import headings
from scripts.help_pages import HELP

from snath.rules.load import shipped_rules
from snath.shop.cli.main import COMMANDS
from snath.shop.rules_page import page

DOCS = Path(__file__).parents[1] / "docs"
WIDTH = 88  # as much as a line of a page holds

HEAD = """# Commands

Printed from the commands themselves by `python scripts/print_docs.py`; do not edit.

Every command answers in plain text, or with `--json` as one JSON object (null for what is not known, never NaN).
Exit codes: 0 pass or done, 1 fail, blocked or shut, 2 wrong input, 3 undecided, 4 a fault of the program itself.
A wrong input is told with its field, what was given and what would do; several are told at once. Machine sheets are
described in [sheet](sheet.md), rules in [rules](rules.md).
"""


def commands() -> str:
    """Every command as `--help` shows it."""
    parts = [HEAD]
    for word, (place, about) in COMMANDS.items():
        module, name = place.split(":")
        command: click.Command = getattr(import_module(module), name)
        with click.Context(
            command, info_name=f"snath {word}", max_content_width=WIDTH, terminal_width=WIDTH
        ) as context:
            parts.append(f"\n## snath {word}\n\n{about}\n\n```\n{command.get_help(context)}\n```\n")
    return "".join(parts)


def rules() -> str:
    """The rule book."""
    return page(shipped_rules())


PAGES = {
    "rules.md": rules,
    "commands.md": commands,
    "python.md": face,
    "fleet_headings.md": headings,
    **{f"pictures/{name}.svg": figure for name, figure in FIGURES.items()},
    **HELP,
}

if __name__ == "__main__":
    for name, printed in PAGES.items():
        (DOCS / name).write_text(printed(), "utf-8")
