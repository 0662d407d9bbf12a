"""Words this house does not use: no promise of being out of danger, no path of anybody's machine."""

import re
from pathlib import Path

import pytest

from tests.house.sources import ROOT, short, tracked

# The work can maim; nothing here may call a speed, a blade or a machine free of danger.
PROMISE = re.compile(r"(?<![\w-])safe(?:ly|r|st)?(?![\w-])", re.IGNORECASE)
ABROAD = {
    "de": re.compile(r"\bgefahrlos\w*|\bsichere[nrms]? Drehzahl", re.I),
    "es": re.compile(r"\bsegur[oa]s?\b", re.I),
}
NOT_PROMISES = re.compile(
    r"\|safe\b|\bsafe="
)  # a template filter's and an argument's name, not ours to choose
TEXT = {".py", ".md", ".toml", ".html", ".typ", ".txt", ".po", ".css", ".js", ".csv", ".sh", ".yml"}
READ = ("src", "docs", "examples", "README.md", "CHANGELOG.md")
MACHINE_PATHS = re.compile(r"(?<![\w.])/(?:work|home/\w+|Users/\w+|root)/\w")


def read_by_people(path: Path) -> bool:
    """Code and its texts, the manual, the examples."""
    return path.suffix in TEXT and short(path).split("/")[0] in READ


def found(pattern: re.Pattern[str], paths: list[Path]) -> list[str]:
    return [
        f"{short(path)}:{number}: {line.strip()[:100]}"
        for path in paths
        for number, line in enumerate(path.read_text("utf-8").splitlines(), 1)
        if pattern.search(NOT_PROMISES.sub("", line))
    ]


def test_nothing_is_promised_to_be_out_of_danger():
    assert found(PROMISE, [path for path in tracked() if read_by_people(path)]) == []


@pytest.mark.parametrize("language", ABROAD)
def test_nor_is_it_in_other_languages(language):
    theirs = [
        path
        for path in tracked()
        if read_by_people(path) and {language, f"{language}.toml"} & set(path.parts)
    ]
    assert found(ABROAD[language], theirs) == []


def test_no_path_of_anybodys_machine_stands_in_the_project():
    assert (
        found(MACHINE_PATHS, [path for path in tracked() if path.suffix in TEXT and path != Path(__file__)])
        == []
    )


def test_the_guard_bites():
    for line in ("a safe speed", "runs safely", "is it safe?", "Safe.", "the safest"):
        assert PROMISE.search(NOT_PROMISES.sub("", line)), line
    for line in ("{{ picture.svg|safe }}", "unsafe-inline", "safe-area-inset-bottom", 'quote(name, safe="")'):
        assert not PROMISE.search(NOT_PROMISES.sub("", line)), line
    assert MACHINE_PATHS.search("see /home/somebody/x")
    assert read_by_people(ROOT / "docs" / "planted.md")
