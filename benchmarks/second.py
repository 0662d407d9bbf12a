"""Compare 2,000 random sheets with the second implementation kept in the tests: window, band, verdict at 40 speeds."""

import numpy as np

from benchmarks.kept import share_of
from tests.decisions.second.test_second import Tally, compare

SHEETS, PART = 2_000, 100


def main() -> None:
    """Print what was compared, and every sheet on which the two part."""
    seed = int(np.random.SeedSequence().entropy) % 2**31
    wanted, whole = share_of(SHEETS), Tally()
    print(f"seed {seed}")
    while whole.sheets < wanted:
        part = compare(seed + whole.sheets, min(PART, wanted - whole.sheets))
        whole.sheets += part.sheets
        whole.verdicts += part.verdicts
        whole.bands += part.bands
        whole.parted += part.parted
        for word, count in part.words.items():
            whole.words[word] = whole.words.get(word, 0) + count
        for one in part.parted:
            print(one, flush=True)
        print(
            f"{whole.sheets} sheets, {whole.verdicts} verdicts {whole.words}, {whole.bands} bands, "
            f"{len(whole.parted)} parted",
            flush=True,
        )


if __name__ == "__main__":
    main()
