"""No pattern takes longer than in proportion to the text: what somebody sends must not hold up the rest."""

import ast
import json
import re
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from pathlib import Path
from re import _parser  # type: ignore[attr-defined]

import pytest

SOURCE = Path(__file__).parents[2] / "src" / "snath"
METHODS = ("match", "fullmatch", "search", "split", "findall", "finditer", "sub")
SHORT, LONG, ENOUGH_S, SECONDS = 250, 16_000, 0.02, 20
MATCHING = ("match", "fullmatch", "search", "finditer")
UNKNOWN = "[0-9]{1,6}"
MOST = 9.0  # four times the text may take so much longer; a square would take sixteen times, a machine at work less


@dataclass(frozen=True)
class Pattern:
    """A pattern as the source writes it, and how it is used."""

    where: str
    text: str
    flags: int
    method: str


def patterns() -> list[Pattern]:
    """Every pattern of the project, gathered from its syntax trees."""
    found = []
    for path in sorted(SOURCE.rglob("*.py")):
        if "migrations" not in path.parts:
            found += list(_patterns_of(path))
    return found


def _patterns_of(path: Path) -> Iterator[Pattern]:
    tree = ast.parse(path.read_text("utf-8"))
    calls = [
        node for node in ast.walk(tree) if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute)
    ]
    uses = {
        (call.func.value.id, call.func.attr)
        for call in calls
        if isinstance(call.func.value, ast.Name) and call.func.attr in METHODS
    }
    names_here = _constants(tree)
    names = {
        id(node.value): node.targets[0].id
        for node in ast.walk(tree)
        if isinstance(node, ast.Assign) and isinstance(node.targets[0], ast.Name)
    }
    for call in calls:
        if not (isinstance(call.func.value, ast.Name) and call.func.value.id == "re"):
            continue
        if call.func.attr not in (*METHODS, "compile"):
            continue
        text = _text(call.args[0], names_here) or UNKNOWN
        flags = sum(
            int(getattr(re, node.attr))
            for node in ast.walk(ast.Module([ast.Expr(a) for a in call.args[1:]], []))
            if isinstance(node, ast.Attribute) and isinstance(getattr(re, node.attr, None), re.RegexFlag)
        )
        if call.func.attr != "compile":
            methods = {call.func.attr}
        else:  # how it is used by its name; where it has none, how this module uses patterns at all
            methods = {m for name, m in uses if name == names.get(id(call))}
            methods = methods or {m for name, m in uses if name != "re" and m in MATCHING} or {"search"}
        for method in sorted(methods):
            yield Pattern(f"{path.relative_to(SOURCE)}:{call.lineno}", text, flags, method)


def _constants(tree: ast.Module) -> dict[str, object]:
    """What the module's own assignments of text come to, wherever they stand."""
    names: dict[str, object] = {"re": re}
    for node in ast.walk(tree):
        if isinstance(node, ast.Assign) and isinstance(node.targets[0], ast.Name):
            value = _text(node.value, names)
            if value is not None:
                names.setdefault(node.targets[0].id, value)
    return names


def _text(node: ast.expr, names: dict[str, object]) -> str | None:
    """A text as the source writes it; a few digits stand for what only a call knows."""
    if isinstance(node, ast.Constant):
        return node.value if isinstance(node.value, str) else None
    if isinstance(node, ast.JoinedStr):
        return "".join(
            part.value if isinstance(part, ast.Constant) else _text(part.value, names) or UNKNOWN
            for part in node.values
        )
    if not isinstance(node, (ast.Name, ast.BinOp, ast.Call)):
        return None
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr == "escape":
        return r"\,"  # one sign that stands for itself
    try:
        found = eval(compile(ast.Expression(node), "pattern", "eval"), {"re": names["re"]}, names)
    except Exception:
        return None
    return found if isinstance(found, str) else None


def attacks(pattern: Pattern) -> set[str]:
    """Pieces whose repeats a backtracking search may stumble over: the pattern's own letters and their runs."""
    letters: list[str] = []

    def gather(parsed: object) -> None:
        for op, argument in parsed:  # type: ignore[attr-defined]
            name = str(op)
            if name == "LITERAL":
                letters.append(chr(argument))
            elif name == "NOT_LITERAL":
                letters.append("x" if argument != ord("x") else "y")
            elif name == "IN":
                _of_class(argument)
            elif name in ("MAX_REPEAT", "MIN_REPEAT", "POSSESSIVE_REPEAT"):
                gather(argument[2])
            elif name == "SUBPATTERN":
                gather(argument[3])
            elif name == "BRANCH":
                for branch in argument[1]:
                    gather(branch)
            elif name in ("ASSERT", "ASSERT_NOT"):
                gather(argument[1])
            elif name == "ANY":
                letters.append("x")

    def _of_class(argument: object) -> None:
        for op, one in argument:  # type: ignore[attr-defined]
            name = str(op)
            if name == "LITERAL":
                letters.append(chr(one))
            elif name == "RANGE":
                letters.append(chr(one[0]))
            elif name == "CATEGORY":
                letters.append({"CATEGORY_DIGIT": "1", "CATEGORY_SPACE": " "}.get(str(one), "x"))

    gather(_parser.parse(pattern.text, pattern.flags))
    own = list(dict.fromkeys(letters))[:14]
    literal = "".join(letters)[:12]
    pairs = {a + b for a in own[:7] for b in own[:7]}
    return {piece for piece in {*own, *pairs, literal, "1 m/s ", "x"} if piece}


TIMER = """
import json, re, sys, time, resource
given = json.loads(sys.stdin.read())
resource.setrlimit(resource.RLIMIT_CPU, (given["seconds"], given["seconds"]))
use = getattr(re.compile(given["text"], given["flags"]), given["method"])
def ask(text):
    if given["method"] == "sub":
        return use("", text)
    found = use(text)
    return [*found] if given["method"] == "finditer" else found
def cost(text):
    best = 9e9
    for _ in range(3):
        begun = time.process_time()
        ask(text)
        best = min(best, time.process_time() - begun)
    return best
for piece in given["pieces"]:
    for lead in given["leads"]:
        n = given["short"]
        while True:
            now = cost(lead + piece * (n // len(piece)) + "\\x00")
            if now > given["enough"] or n >= given["long"]:
                break
            n *= 2
        if now > given["enough"]:
            longer = cost(lead + piece * (4 * n // len(piece)) + "\\x00")
            if longer > given["most"] * now:
                print(json.dumps([lead, piece, n, now, longer]))
                sys.exit(1)
"""


@pytest.mark.parametrize("pattern", patterns(), ids=lambda one: f"{one.where}-{one.method}")
def test_a_pattern_takes_no_longer_than_in_proportion_to_its_text(pattern: Pattern):
    pieces = sorted(attacks(pattern))
    first = "".join(piece for piece in pieces if len(piece) == 1)[:3]
    begins = re.match(r"[\w ]*", pattern.text).group()  # type: ignore[union-attr]
    given = {
        **asdict(pattern), "pieces": pieces, "leads": ["", "1", first, begins],
        "short": SHORT, "long": LONG, "enough": ENOUGH_S, "most": MOST, "seconds": SECONDS,
    }  # fmt: skip
    done = subprocess.run(
        [sys.executable, "-I", "-c", TIMER],
        input=json.dumps(given),
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, (
        f"{pattern.where} {pattern.text!r}: {done.stdout or done.stderr or 'out of time'}"
    )


def test_the_guard_finds_a_pattern_that_goes_back():
    bad = Pattern("planted", r"clock[^0-9]*([0-9.]+)\s*(k|M|G)?\s*Hz", int(re.IGNORECASE), "search")
    with pytest.raises(AssertionError):
        test_a_pattern_takes_no_longer_than_in_proportion_to_its_text(bad)
