"""Do damaged and hostile files end with a reason, in time, and without a second file being opened?"""

import errno
import os
import struct
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import asdict, dataclass
from pathlib import Path

import numpy as np

from benchmarks.kept import Row, rows, share_of, verdict
from benchmarks.simulator.files import CODECS, film_file, sound_file
from snath.quantities.errors import InputError
from snath.shop.media.recording import read_recording
from snath.shop.media.request import ReadRequest
from snath.words.render import ENGLISH, say

COUNT, SEED = 2000, 20251125
MOST_S = 5.0
SUFFIXES = (*CODECS, "mov", "csv", "mkv", "avi", "txt")


@dataclass(frozen=True, slots=True)
class Bad:
    """One file: how it was spoilt, its name and what is in it."""

    how: str
    name: str
    content: bytes


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of it: "refused", "undecided", "decided", or the name of a crash."""

    how: str
    what: str
    why: str
    seconds: float


def good_files() -> dict[str, bytes]:
    """Whole files of every kind, to be spoilt."""
    t = np.arange(2 * 16_000) / 16_000
    sound = (0.3 * np.sin(2 * np.pi * 50 * t) + 0.2 * np.sin(2 * np.pi * 175 * t)).astype(np.float32)
    files = {kind: sound_file(sound, 48_000 if kind in ("ogg", "webm") else 16_000, kind) for kind in CODECS}
    pictures = [np.full((48, 64), 40 + 150 * (i % 7 == 0), np.uint8) for i in range(60)]
    files["mov"] = film_file(pictures, np.arange(60) / 30, size=(48, 64), kind="mov")
    files["csv"] = ("t_s\n" + "".join(f"{i * 0.02:.6f}\n" for i in range(100))).encode()
    return files


def bad_files(count: int = COUNT, seed: int = SEED, canary: Path = Path("canary.wav")) -> Iterator[Bad]:
    """As many spoilt files, the same ones for the same seed."""
    good = good_files()
    fixed = [*tricks(canary), *odd_sounds(), *odd_lists()]
    yield from fixed[:count]
    generator = np.random.default_rng(seed)
    kinds = list(good)
    for number in range(max(count - len(fixed), 0)):
        kind = kinds[number % len(kinds)]
        how = ("truncated", "bit-flipped", "wrong suffix", "spliced", "header flipped", "zeroed", "noise")[
            number % 7
        ]
        content = spoilt(how, good[kind], good[kinds[generator.integers(len(kinds))]], generator)
        suffix = SUFFIXES[generator.integers(len(SUFFIXES))] if how == "wrong suffix" else kind
        yield Bad(f"{how} {kind}", f"f{number}.{suffix}", content)


def spoilt(how: str, content: bytes, other: bytes, generator: np.random.Generator) -> bytes:
    """One way to spoil a file."""
    data = bytearray(content)
    if how == "truncated":
        return content[: generator.integers(0, len(content))]
    if how in ("bit-flipped", "header flipped"):
        reach = len(data) if how == "bit-flipped" else min(256, len(data))
        for place in generator.integers(0, reach, size=generator.integers(1, 40)):
            data[place] ^= 1 << int(generator.integers(8))
    elif how == "spliced":
        cut = generator.integers(0, len(content))
        data = bytearray(content[:cut] + other[generator.integers(0, len(other)) :])
    elif how == "zeroed":
        start = generator.integers(0, len(content))
        data[start : start + int(generator.integers(1, len(content)))] = b""
    elif how == "noise":
        return generator.bytes(int(generator.integers(0, 20_000)))
    return bytes(data)


def tricks(canary: Path) -> Iterator[Bad]:
    """Files that try to have another file, or the network, opened."""
    place = str(canary)
    lists = {
        "ffconcat": f"ffconcat version 1.0\nfile '{place}'\n",
        "ffconcat unsafe": f"ffconcat version 1.0\nfile 'file:{place}'\nduration 10\n",
        "m3u8": f"#EXTM3U\n#EXT-X-TARGETDURATION:10\n#EXTINF:10,\nfile://{place}\n#EXT-X-ENDLIST\n",
        "m3u8 with byte range": f"#EXTM3U\n#EXT-X-MEDIA-SEQUENCE:0\n#EXT-X-BYTERANGE:100@0\n{place}\n",
        "m3u8 to the network": "#EXTM3U\n#EXTINF:10,\nhttp://127.0.0.1:9/x.ts\n#EXT-X-ENDLIST\n",
        "dash": f'<?xml version="1.0"?><MPD><Period><BaseURL>file://{place}</BaseURL></Period></MPD>',
        "sdp": "v=0\no=- 0 0 IN IP4 127.0.0.1\ns=x\nc=IN IP4 127.0.0.1\nm=audio 9 RTP/AVP 0\n",
        "concat protocol": f"concat:{place}|{place}",
        "pls": f"[playlist]\nFile1={place}\nNumberOfEntries=1\n",
        "svg": f'<svg xmlns:x="http://www.w3.org/1999/xlink"><image x:href="{place}"/></svg>',
        "playlist of images": "img%03d.png\n",
    }
    for how, text in lists.items():
        for suffix in ("wav", "mp4", "ogg"):
            yield Bad(f"playlist: {how}", f"trick.{suffix}", text.encode())
    yield Bad("reference atom in a MOV", "ref.mov", with_reference(place))


def with_reference(place: str) -> bytes:
    """A MOV whose movie is a reference to another file."""
    name = place.encode()
    data_reference = b"rdrf" + struct.pack(">I", 0) + b"alis" + struct.pack(">I", len(name)) + name

    def atom(kind: bytes, content: bytes) -> bytes:
        return struct.pack(">I", len(content) + 8) + kind + content

    movie = atom(
        b"moov", atom(b"rmra", atom(b"rmda", struct.pack(">I", len(data_reference) + 4) + data_reference))
    )
    return atom(b"ftyp", b"qt  \0\0\0\0qt  ") + movie


def odd_sounds() -> Iterator[Bad]:
    """Sound files that are whole and still no use."""
    generator = np.random.default_rng(1)
    silence = np.zeros(32_000, np.float32)
    yield Bad("zero length", "empty.wav", b"")
    yield Bad("all silence", "silence.wav", sound_file(silence, 16_000, "wav"))
    yield Bad("all silence", "silence.m4a", sound_file(silence, 16_000, "m4a"))
    yield Bad("one sample", "one.wav", sound_file(silence[:1], 16_000, "wav"))
    yield Bad("no sample", "none.wav", wav(16_000, 16, 1, b""))
    yield Bad("8-bit noise", "noise8.wav", wav(8_000, 8, 1, generator.bytes(40_000)))
    yield Bad("1 Hz sample rate", "slow.wav", wav(1, 16, 1, generator.bytes(40_000)))
    yield Bad("no sample rate", "never.wav", wav(0, 16, 1, generator.bytes(40_000)))
    yield Bad("4 GHz sample rate", "fast.wav", wav(4_000_000_000, 16, 1, generator.bytes(40_000)))
    yield Bad("no channel", "nochannel.wav", wav(16_000, 16, 0, generator.bytes(40_000)))
    yield Bad("65535 channels", "many.wav", wav(16_000, 16, 65_535, generator.bytes(400_000)))
    yield Bad("three hours", "long.wav", wav(4_000, 8, 1, bytes(3 * 3600 * 4_000)))
    yield Bad(
        "three hours by its word", "boast.wav", wav(4_000, 8, 1, generator.bytes(8_000), 3 * 3600 * 4_000)
    )
    not_numbers = np.full(8_000, np.nan, "<f4")
    not_numbers[::3] = np.inf
    yield Bad(
        "samples that are no numbers", "nan.wav", wav(16_000, 32, 1, not_numbers.tobytes(), floats=True)
    )
    huge = np.full(8_000, 3e38, "<f4")
    yield Bad("samples of 3e38", "huge.wav", wav(16_000, 32, 1, huge.tobytes(), floats=True))
    yield Bad(
        "full scale square", "square.wav", wav(16_000, 16, 1, (b"\xff\x7f" * 80 + b"\x01\x80" * 80) * 200)
    )


def wav(
    rate: int, bits: int, channels: int, data: bytes, claimed: int | None = None, *, floats: bool = False
) -> bytes:
    """A WAV by hand, so that its head may say anything."""
    block = max(channels * bits // 8, 1) & 0xFFFF
    form = struct.pack(
        "<HHIIHH", 3 if floats else 1, channels, rate & 0xFFFFFFFF, rate * block & 0xFFFFFFFF, block, bits
    )
    size = len(data) if claimed is None else claimed
    head = b"WAVEfmt " + struct.pack("<I", 16) + form + b"data" + struct.pack("<I", size & 0xFFFFFFFF)
    return b"RIFF" + struct.pack("<I", (size + 36) & 0xFFFFFFFF) + head + data


def odd_lists() -> Iterator[Bad]:
    """Pulse logs that are no use."""
    texts = {
        "one pulse": "0.5\n",
        "backwards": "1\n2\n1.5\n3\n",
        "words": "one\ntwo\nthree\n",
        "words after numbers": "0.1\n0.2\n0.3\nfour\n",
        "all the same": "1\n" * 50,
        "infinities": "0\n1\ninf\n",
        "no numbers": "nan\n" * 20,
        "huge numbers": "1e300\n2e300\n3e300\n4e300\n",
        "tiny steps": "".join(f"{i}e-300\n" for i in range(20)),
        "one line of a megabyte": "1" * 1_000_000,
        "commas only": ",,,,\n" * 100,
        "other signs": "١\n٢\n٣\n٤\n",
        "three far apart": "0\n1e9\n2e9\n5e17\n",
        "random": "\n".join(str(x) for x in np.sort(np.random.default_rng(2).random(500))),
    }
    for how, text in texts.items():
        yield Bad(f"pulse log: {how}", "log.csv", text.encode())


def outcome(bad: Bad, folder: Path) -> Outcome:
    """Read it as anybody would, by sound or light as the file has it."""
    path = folder / f"{os.urandom(4).hex()}-{bad.name}"
    path.write_bytes(bad.content)
    start = time.monotonic()
    try:
        read = read_recording(path, ReadRequest())
        what, why = ("decided" if read.reading.decided else "undecided"), say(read.reading.why, ENGLISH)
    except InputError as refused:
        what, why = "refused", say(refused.allowed, ENGLISH)
    except Exception as crash:
        what, why = f"crash: {type(crash).__name__}", str(crash)
    finally:
        path.unlink()
    return Outcome(bad.how, what, why, time.monotonic() - start)


class Canary:
    """A pipe that stands still for whoever opens it to read, and tells that somebody did."""

    def __init__(self, folder: Path) -> None:
        self.path = folder / "canary.wav"
        os.mkfifo(self.path)

    def opened(self) -> bool:
        """Whether somebody holds it open for reading just now."""
        return is_opened(self.path)


def is_opened(pipe: Path) -> bool:
    """Whether somebody holds a pipe open for reading just now."""
    try:
        os.close(os.open(pipe, os.O_WRONLY | os.O_NONBLOCK))
    except OSError as fault:
        return fault.errno != errno.ENXIO
    return True


def run(count: int = COUNT, workers: int = 2) -> tuple[list[Outcome], bool]:
    """Every outcome, and whether the canary was opened."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        canary = Canary(folder)
        touched = False
        with ThreadPoolExecutor(workers) as pool:
            results = []
            for done in pool.map(lambda bad: outcome(bad, folder), bad_files(count, canary=canary.path)):
                results.append(done)
                touched = touched or canary.opened()
    return results, touched


def spoilt_row(task: tuple[Bad, Path]) -> Row:
    """The outcome of one file as a row that can be kept."""
    bad, canary = task
    with tempfile.TemporaryDirectory() as name:
        done = outcome(bad, Path(name))
    return {**asdict(done), "touched": is_opened(canary)}


def main() -> None:
    """Print what became of all of them."""
    with tempfile.TemporaryDirectory() as name:
        canary = Canary(Path(name))
        tasks = [(bad, canary.path) for bad in bad_files(share_of(COUNT), canary=canary.path)]
        results = rows("hostile", spoilt_row, tasks)
    print(f"{len(results)} damaged or hostile files, seed {SEED}")
    for what, many in Counter(r["what"] for r in results).most_common():
        print(f"  {what:<30} {many:>6}")
    slow = max(results, key=lambda r: r["seconds"])
    print(f"  slowest {slow['seconds']:.2f} s ({slow['how']})")
    verdict("crashes", sum(r["what"].startswith("crash") for r in results), 0)
    verdict(f"files that took over {MOST_S:.0f} s", sum(r["seconds"] > MOST_S for r in results), 0)
    verdict("without a reason", sum(not r["why"] for r in results), 0)
    verdict("that had another file opened", sum(r["touched"] for r in results), 0)


if __name__ == "__main__":
    main()
