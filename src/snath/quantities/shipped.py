"""Read the text of a file that comes with the program, such as a table of data beside the code that asks of it."""

from pkgutil import get_data


def shipped_text(package: str, name: str) -> str:
    """A file of a package, "snath.rules" and "rules.toml".

    Raises
    ------
    FileNotFoundError
        Where there is none.

    Notes
    -----
    Not by `importlib.resources`: what that loads besides takes longer than to read every table of a first answer.
    """
    data = get_data(package, name)
    assert data is not None
    return data.decode("utf-8")
