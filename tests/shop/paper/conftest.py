"""A rider of our own invention, read as found and as left, worked through the one door; and PDFs as text."""

import subprocess
from dataclasses import replace

import pytest

from snath.decisions.job.assemble import job_for
from snath.decisions.job.job import Stage
from snath.decisions.job.work import work
from snath.decisions.machine.parts import (
    CRANKSHAFT,
    Coupling,
    Engine,
    Machine,
    MakerFigure,
    Member,
    Ratio,
    Size,
)
from snath.decisions.reading.instruments import Instrument
from snath.decisions.reading.typed import typed_reading
from snath.quantities.measured import exact
from snath.rules.load import shipped_rules
from snath.shop.paper.facts import Photo, SheetFacts
from tests.machines import CHECKED

INCH = 0.0254
TACHOMETER = Instrument(
    "T1", "bench tachometer", "optical", 0.0005, 1 / 60, 1 / 60, 1, "2026-03-01", "2027-03-01"
)


def taken(*rpms, at="2026-06-12T09:40+02:00", **more):
    return typed_reading([n / 60 for n in rpms], instrument=TACHOMETER, at=at, **more)


def machine(figure=3100.0, blade=19.5, **more):
    """One 19 1/2 in blade on a spindle that turns 1.2 times as fast as the engine by outside diameter."""
    engine = Engine(
        code="K2-14",
        strokes=4,
        cylinders=1,
        rated_max=3600 / 60,
        maker_no_load=MakerFigure(figure / 60, 75 / 60, "blades in air", "manual MX, 3rd edition, page 24"),
    )
    ways = (Ratio("by outside diameter", exact(1.2)), Ratio("by datum diameter", exact(1.18)))
    belt = Coupling(CRANKSHAFT, "spindle", ways, slip_max=0.02, kind="belt", source="measured")
    deck = Member("deck blade", "spindle", "blade", (Size("as it is", exact(blade * INCH)),))
    return Machine(
        "Meadow 36", "ride-on rotary mower", engine, (belt,), (deck,), made=2016, serial="MR-0412", **more
    )


@pytest.fixture(scope="session")
def job():
    """By hand: 19,000 / (pi 19.5/12) = 3,721.8 rpm at the blade; / 1.2 = 3,101.5, / 1.18 = 3,154.1 of the crank."""
    fresh = job_for(machine(figure=3000), shipped_rules(), market="US")
    return replace(
        fresh,
        id="9f1c2d34",
        judged_on="2026-06-12",
        behaviour=CHECKED,
        instruments=(TACHOMETER,),
        as_found=Stage((taken(3405, 3412, 3408),)),
        as_left=Stage((taken(3001, 2998, 3002, at="2026-06-12T10:25+02:00"),)),
    )


@pytest.fixture(scope="session")
def result(job):
    return work(job)


@pytest.fixture(scope="session")
def facts():
    return SheetFacts(
        shop="Lindenhof Small Engines",
        shop_lines=("4 Mill Lane",),
        number="2041",
        version="2",
        record_hash="3b1f" * 16,
        printed_on="2026-06-13",
        customer="M. Example",
        hours="412.6 h",
        blade_part="MX-19-HL",
        blade_condition="sharpened, balanced, no crack",
        read_by="A. Mechanic",
        set_by="B. Mechanic",
        countersigned_by="O. Owner",
        seals_found="paint seal broken",
        seals_renewed="red paint, one dot",
        photos=(Photo("governor.jpg", "ab12" * 16, "before setting"),),
        opens="https://bench.local:8443/r/7Qm3xkT9w2",
    )


def pages(pdf, tmp_path, *, layout=False):
    """The text of a PDF as another program sees it, page by page, white space run together."""
    file = tmp_path / "sheet.pdf"
    file.write_bytes(pdf)
    flags = ["-layout"] if layout else ["-raw"]  # raw: in the order in which it is read aloud
    text = subprocess.run(
        ["pdftotext", *flags, str(file), "-"], capture_output=True, check=True, text=True
    ).stdout
    return [page if layout else " ".join(page.split()) for page in text.split("\f")[:-1]]


@pytest.fixture
def read(tmp_path):
    """PDF bytes to one line of text."""
    return lambda pdf: " ".join(pages(pdf, tmp_path))


@pytest.fixture
def paged(tmp_path):
    return lambda pdf: pages(pdf, tmp_path)


@pytest.fixture
def info(tmp_path):
    """What pdfinfo says of a PDF."""

    def ask(pdf):
        file = tmp_path / "info.pdf"
        file.write_bytes(pdf)
        lines = subprocess.run(["pdfinfo", str(file)], capture_output=True, check=True, text=True).stdout
        return dict(line.split(":", 1) for line in lines.splitlines() if ":" in line)

    return ask
