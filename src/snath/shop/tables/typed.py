"""Read the words typed in a table, in any language, as those the core knows."""

from snath.words.tables import LANGUAGES, shown

TABLE = "typed"


def typed(group: str, language: str = "") -> dict[str, str]:
    """What is typed in one language, or in any, and what the core reads there."""
    spoken = (language,) if language else LANGUAGES
    return {
        key.removeprefix(f"{group}."): core
        for one in spoken
        for key, core in shown(TABLE, one).items()
        if key.startswith(f"{group}.")
    }
