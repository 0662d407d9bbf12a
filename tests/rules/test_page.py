"""The rule book as a page."""

from snath.rules.book import Rule, Scope
from snath.rules.load import shipped_rules
from snath.shop.rules_page import page, scope_words


def test_every_row_shows_its_digits_source_and_standing():
    text = page(shipped_rules())
    for rule in shipped_rules():
        section = text.split(f"### {rule.id}\n")[1].split("\n##")[0]
        assert rule.printed in section
        assert f"Standing: {rule.standing}." in section
        assert rule.source in section
        assert rule.note in section


def test_what_never_binds_is_told_to():
    text = page(shipped_rules())
    old = text.split("### mower-tip-speed-before-1968\n")[1].split("\n##")[0]
    assert "never gives a pass" in old
    assert "Explains, never binds." in text.split("### trade-engine-top\n")[1].split("\n##")[0]


def test_a_shops_own_row_shows_what_it_replaces():
    own = Rule(
        id="ours", limits="tip speed", kind="surface speed", printed="x", standing="shop", overrides="theirs"
    )
    assert "- In place of: theirs" in page((own,))


def test_a_scope_is_told_in_a_line():
    scope = Scope(
        ("tiller",), ("blade",), ("at work",), ("US", "CA"), 1968, "1990-07", ("G2",), ("consumer",)
    )
    assert scope_words(scope) == (
        "tiller; blade; designed for consumer use; used at work; market US, CA; made from 1968; made to 1990-07; "
        "marked G2"
    )
    assert scope_words(Scope()) == "everything"
