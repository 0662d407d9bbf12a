"""At what no-load engine speed should an engine-driven machine be governed?

    import snath

    snath.limit("22 in").rpm
    machine = snath.read_sheet("machine.toml")
    snath.window(machine).ceiling_rpm
    snath.judge(machine, ["blades in air: 3,190 rpm"], u="5 rpm").word

Each name is loaded when it is first used. Bad input raises `snath.InputError` with `field`, `given` and `allowed`.
"""

from importlib import import_module
from typing import Any

_MODULES = {  # of snath.face, by the names they give; `__init__.pyi` tells type checkers the same
    "Drives": "drive",
    "Fleet": "fleet",
    "InputError": "faults",
    "Job": "job",
    "Limit": "limit",
    "Recording": "recording",
    "RuleBook": "book",
    "Sheet": "sheet",
    "Verdict": "judge",
    "Window": "window",
    "drive": "drive",
    "fleet": "fleet",
    "judge": "judge",
    "limit": "limit",
    "read": "recording",
    "read_sheet": "sheet",
    "rule_book": "book",
    "window": "window",
    "work": "job",
}

__all__ = ["__version__", *_MODULES]


def __getattr__(name: str) -> Any:
    if name == "__version__":
        found: Any = import_module("snath.decisions.job.program").VERSION
    elif name in _MODULES:
        found = getattr(import_module(f"snath.face.{_MODULES[name]}"), name)
    else:
        raise AttributeError(f"module 'snath' has no attribute {name!r}")
    globals()[name] = found
    return found


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
