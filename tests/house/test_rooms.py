"""Rooms import only leftwards, and left of the shop there is no clock, environment, file system or chance."""

import ast
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path

from snath.shop.extras import EXTRAS
from tests.house.sources import LEFT_ROOMS, ROOT, modules, short, tree

WORLD = {
    *(
        "os",
        "sys",
        "time",
        "datetime",
        "random",
        "secrets",
        "uuid",
        "socket",
        "subprocess",
        "tempfile",
        "shutil",
    ),
    *("pathlib", "sqlite3", "threading", "multiprocessing", "asyncio", "urllib", "http", "logging", "locale"),
    *("getpass", "platform", "requests", "django", "av", "typst", "PIL", "click"),
}
CHANCE = {"default_rng", "seed", "RandomState", "rand", "randn", "random_sample"}
# These wait for numpy and scipy until an array comes or degrees of freedom were counted: to load them takes longer than
# a whole first answer.
WAITS = {"src/snath/quantities/errors.py", "src/snath/formulas/conformity.py"}
BARE = {"open", "print", "input", "exec", "eval", "compile", "__import__", "breakpoint"}


def nodes(path: Path, *kinds: type[ast.AST]) -> Iterator[ast.AST]:
    return (node for node in ast.walk(tree(path)) if isinstance(node, kinds))


def imported(path: Path) -> set[str]:
    names = {alias.name.split(".")[0] for node in nodes(path, ast.Import) for alias in node.names}
    return names | {(node.module or "").split(".")[0] for node in nodes(path, ast.ImportFrom)}


def called(path: Path) -> tuple[set[str], set[str]]:
    """Names called bare, and names called on something."""
    functions = [node.func for node in nodes(path, ast.Call)]
    bare = {function.id for function in functions if isinstance(function, ast.Name)}
    return bare, {function.attr for function in functions if isinstance(function, ast.Attribute)}


def reaches_out(path: Path) -> set[str]:
    bare, dotted = called(path)
    return (imported(path) & WORLD) | (bare & (BARE | CHANCE)) | (dotted & CHANCE)


def hidden_imports(path: Path) -> list[int]:
    functions = nodes(path, ast.FunctionDef, ast.AsyncFunctionDef)
    return [n.lineno for f in functions for n in ast.walk(f) if isinstance(n, ast.Import | ast.ImportFrom)]


def test_the_import_contracts_hold():
    command = "from importlinter.cli import lint_imports_command; lint_imports_command()"
    found = subprocess.run(
        [sys.executable, "-c", command, "--no-cache"], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert found.returncode == 0, found.stdout + found.stderr


def test_the_contracts_name_every_room():
    contracts = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["tool"]["importlinter"][
        "contracts"
    ]
    (layers,) = [contract["layers"] for contract in contracts if contract["type"] == "layers"]
    assert {f"snath.{path.parent.name}" for path in (ROOT / "src/snath").glob("*/__init__.py")} == set(layers)


def test_left_of_the_shop_nothing_reaches_the_world_outside():
    assert {short(path): found for path in modules(*LEFT_ROOMS) if (found := reaches_out(path))} == {}


def test_left_of_the_shop_no_import_hides_inside_a_function():
    # The shop may: a command imports Django only after it has been set up.
    assert {short(path) for path in modules(*LEFT_ROOMS) if hidden_imports(path)} == WAITS


def test_nothing_is_imported_but_what_the_wheel_or_an_extra_brings():
    # pydantic_core comes with pydantic, by its own promise; who asks for a pandas table brings pandas
    ours = {*sys.stdlib_module_names, "", "snath", "pydantic_core", "pandas", *EXTRAS}
    needed = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]["dependencies"]
    found = {name for path in modules() for name in imported(path)}
    assert found - ours == {one.partition(">")[0] for one in needed}


def test_no_import_brings_everything():
    stars = [
        n for path in modules() for n in nodes(path, ast.ImportFrom) if any(a.name == "*" for a in n.names)
    ]
    assert stars == []


def test_package_files_are_empty():
    # But that of snath itself, which says what `import snath` gives.
    written = [short(path) for path in modules() if path.name == "__init__.py" and path.stat().st_size]
    assert written == ["src/snath/__init__.py"]


def test_every_module_opens_with_a_sentence_on_what_it_answers():
    written = [path for path in modules() if path.name != "__init__.py" and "migrations" not in path.parts]
    assert [short(path) for path in written if not ast.get_docstring(tree(path))] == []


def test_the_guard_bites(tmp_path):
    # Broken on purpose: each of these must be found.
    planted = tmp_path / "planted.py"
    planted.write_text(
        "import time\ndef f():\n    import json\n    return numpy.random.default_rng(), open('x')\n"
    )
    assert reaches_out(planted) == {"time", "default_rng", "open"}
    assert hidden_imports(planted) == [3]
