"""Which extra brings a library that is not installed here, and what to type for it."""

from importlib.util import find_spec

from snath.quantities.errors import InputError
from snath.quantities.message import Message

EXTRAS = {  # what is imported: the extra of pyproject.toml that brings it
    "av": "recordings",
    "typst": "paper",
    "segno": "paper",
    "django": "shop",
    "django_htmx": "shop",
    "whitenoise": "shop",
    "granian": "shop",
    "argon2": "shop",
    "cryptography": "shop",
    "PIL": "shop",
    "zxingcpp": "shop",
    "openpyxl": "tables",
    "defusedxml": "tables",
    "pyarrow": "batch",
    "distributed": "batch",
    "psycopg": "postgres",
}


def not_installed(module: str | None) -> InputError | None:
    """The install line for a module that could not be imported; None where no extra brings it."""
    library = (module or "").partition(".")[0]
    if library not in EXTRAS:
        return None
    extra = EXTRAS[library]
    return InputError(
        extra, Message("fault.not-installed"), Message("fault.needs-extra", library=library, extra=extra)
    )


def needed(module: str) -> None:
    """Refuse here what would fail in another process, or inside another library, without this module.

    Raises
    ------
    InputError
        With the line that installs it.
    """
    fault = not_installed(module)
    if fault is not None and find_spec(module) is None:
        raise fault
