"""The process in which an uploaded photo is opened: standard input to standard output, under limits.

It gives the picture alone, or, asked for `squares`, the texts of the square codes on it as a JSON list.
"""

import io
import json
import sys

import zxingcpp
from PIL import Image, ImageOps

FORMATS = ("JPEG", "PNG", "WEBP")
MOST_PIXELS, LONGEST_SIDE, QUALITY = 60_000_000, 2560, 85
MEMORY, PROCESSOR_SECONDS, OPEN_FILES = 1_500_000_000, 15, 32


def limit() -> None:
    """Take away what opening a picture does not need; only memory and time where the system can."""
    try:
        import resource
    except ImportError:  # Windows: the parent's time limit stands alone
        return
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    resource.setrlimit(resource.RLIMIT_CPU, (PROCESSOR_SECONDS, PROCESSOR_SECONDS))
    resource.setrlimit(resource.RLIMIT_NOFILE, (OPEN_FILES, OPEN_FILES))
    resource.setrlimit(resource.RLIMIT_FSIZE, (0, 0))  # output goes through a pipe, so no file is needed
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def opened(data: bytes) -> Image.Image:
    """The picture upright on white, at most 2560 pixels, and nothing but its pixels."""
    with Image.open(io.BytesIO(data), formats=FORMATS) as file:
        if file.width * file.height > MOST_PIXELS:
            raise ValueError("too many pixels")
        file.draft("RGB", (LONGEST_SIDE, LONGEST_SIDE))
        picture = ImageOps.exif_transpose(file)
        picture.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
        bare = Image.new("RGB", picture.size, "white")
        rgba = picture.convert("RGBA")
        bare.paste(rgba, mask=rgba.getchannel("A"))
    return bare


def clean(data: bytes) -> bytes:
    """The same picture, upright, as a JPEG that carries nothing but pixels."""
    kept = io.BytesIO()
    opened(data).save(kept, "JPEG", quality=QUALITY, optimize=True)
    return kept.getvalue()


def squares(data: bytes) -> bytes:
    """The texts of the square codes on the picture, as a JSON list."""
    found = zxingcpp.read_barcodes(
        opened(data), formats=zxingcpp.BarcodeFormats(zxingcpp.BarcodeFormat.QRCode)
    )
    return json.dumps([one.text for one in found]).encode()


if __name__ == "__main__":
    limit()
    work = squares if sys.argv[1:] == ["squares"] else clean
    sys.stdout.buffer.write(work(sys.stdin.buffer.read()))
