"""How often is a film told wrongly, near folds, under lamps, shaken: by two renderers nobody tuned on?"""

from benchmarks._film_cases import RENDERERS, filmed
from benchmarks.kept import Row, rows, share_of, table, verdict, wilson
from benchmarks.unseen.drawn import seeds

COUNTS = {"folds": 400, "trouble": 400, "clean": 120}
SEED = 2026


def _filmed(seed: int) -> list[Row]:
    """Every kind by every renderer, half and half; of each some early, so that a stopped run has seen all."""
    every = list(RENDERERS)
    tasks = sorted(
        ((number / count, kind, every[number % 2], seed, number))
        for kind, count in COUNTS.items()
        for number in range(share_of(count))
    )
    return rows(f"film-{seed}", filmed, [task[1:] for task in tasks])


def _told(found: list[Row], title: str) -> None:
    """The tables of one seed."""
    lines = []
    for kind in COUNTS:
        for by in (*RENDERERS, "both"):
            chosen = [r for r in found if r["kind"] == kind and by in (r["by"], "both")]
            n = len(chosen)
            lines.append(
                (
                    f"{kind}, {by}",
                    n,
                    wilson(sum(r["wrong"] for r in chosen), n),
                    wilson(sum(r["decided"] for r in chosen), n),
                    wilson(sum(r["listed"] for r in chosen), n),
                    sum(bool(r["decided"] and r["u"] > 0.02) for r in chosen),
                )
            )
    head = ("film", "n", "wrong % [95 %]", "decided %", "truth listed %", "u over 2 %")
    table(head, lines, title)


def main() -> None:
    """Print the tables, at the fixed seed and at a fresh one."""
    for seed in seeds(SEED):
        found = _filmed(seed)
        _told(found, f"seed {seed}: {len(found)} films, half by each renderer")
        folds = [r for r in found if r["kind"] == "folds"]
        trouble = [r for r in found if r["kind"] == "trouble"]
        verdict("films near folds told wrongly", sum(r["wrong"] for r in folds), max(len(folds) // 400, 1))
        verdict(
            "films in trouble told wrongly", sum(r["wrong"] for r in trouble), max(len(trouble) // 200, 1)
        )
        missing = sum(not r["listed"] for r in folds) / max(len(folds), 1)
        verdict("truth not listed near folds", 100 * missing, 2, " %")
        verdict("decided with a u over 2 %", sum(bool(r["decided"] and r["u"] > 0.02) for r in found), 0)


if __name__ == "__main__":
    main()
