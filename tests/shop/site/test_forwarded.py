"""A proxy is believed about whom it speaks for only where it is listed, and nobody else ever is.

Addresses are those kept for examples (RFC 5737, RFC 3849).
"""

import json
from http.client import HTTPConnection
from pathlib import Path

import pytest

from snath.shop.site.forwarded import as_first_sent, proxies_of
from tests.shop.site.conftest import Browser
from tests.shop.site.test_serve import Serving, free_port
from tests.told import refused

PROXIES = proxies_of("192.0.2.1, 198.51.100.0/24, 2001:db8::/64")


def asked(by: str, **headers: str) -> dict[str, object]:
    named = {f"HTTP_X_FORWARDED_{name.upper()}": value for name, value in headers.items()}
    return {"REMOTE_ADDR": by, "wsgi.url_scheme": "http", "HTTP_HOST": "shop.example", **named}


@pytest.mark.parametrize(
    ("by", "way", "client"),
    [
        ("192.0.2.1", "203.0.113.7", "203.0.113.7"),
        ("192.0.2.1", "203.0.113.7:4711", "203.0.113.7"),
        ("2001:db8::9", "[2001:db8:1::7]:4711", "2001:db8:1::7"),
        ("::ffff:192.0.2.1", "203.0.113.7", "203.0.113.7"),  # a socket for both kinds of address
        ("192.0.2.1", "203.0.113.7, 198.51.100.4", "203.0.113.7"),  # through two listed ones
        ("192.0.2.1", "127.0.0.1, 203.0.113.7", "203.0.113.7"),  # what a stranger wrote stands in front
        ("192.0.2.1", "192.0.2.1, 203.0.113.7, 198.51.100.4", "203.0.113.7"),
        ("192.0.2.1", "198.51.100.8", "198.51.100.8"),  # a listed machine that asks for itself
    ],
)
def test_the_last_address_that_is_no_proxys_asks(by, way, client):
    told = as_first_sent(asked(by, **{"for": way, "proto": "https", "host": "evil.example"}), PROXIES)
    assert (told["REMOTE_ADDR"], told["wsgi.url_scheme"]) == (client, "https")
    assert told["HTTP_HOST"] == "shop.example"
    assert not [name for name in told if "FORWARDED" in name]


@pytest.mark.parametrize(
    ("by", "said"),
    [
        ("203.0.113.7", {"for": "127.0.0.1", "proto": "https"}),  # not listed
        ("192.0.2.1", {"for": "203.0.113.7"}),
        ("192.0.2.1", {"proto": "https"}),
        ("192.0.2.1", {"for": "unknown", "proto": "https"}),
        ("192.0.2.1", {"for": "203.0.113.7,", "proto": "https"}),
        ("192.0.2.1", {"for": "203.0.113.7", "proto": "gopher"}),
    ],
)
def test_what_is_not_listed_or_says_too_little_is_left_as_it_is_and_refused(lan, by, said):
    told = asked(by, **said)
    assert as_first_sent(told, PROXIES) == told
    answer = Browser().get("/health/", **{name: value for name, value in told.items() if "FORW" in name})
    assert answer.status_code == 403
    assert b"--behind-proxy" in answer.content


@pytest.mark.parametrize(
    "header",
    ["HTTP_FORWARDED", "HTTP_VIA", "HTTP_X_REAL_IP", "HTTP_X_FORWARDED_SERVER", "HTTP_TRUE_CLIENT_IP"],
)
def test_a_header_nobody_took_away_is_refused_with_lan_too(lan, header):
    assert Browser().get("/static/bench/bench.css", **{header: "203.0.113.9"}).status_code == 403


def test_an_entry_that_is_no_address_is_named():
    with refused("10.0.0.0/24"):
        proxies_of("127.0.0.1, proxy.example")


@pytest.mark.slow
def test_behind_a_proxy_everybody_logs_in_and_the_first_owner_is_made_without_a_question(tmp_path: Path):
    port, secret = free_port(), tmp_path / "password"
    secret.write_text("long grass, dull blade\n")
    words = [
        "--port",
        port,
        "--data",
        tmp_path / "shop",
        "--behind-proxy",
        "127.0.0.1",
        "--name",
        "shop.example",
    ]
    words += ["--owner", "first owner", "--owner-password-file", secret, "--log", "lines"]
    with Serving(*words) as served:
        served.wait_until_it_listens(port)
        through = {"X-Forwarded-For": "203.0.113.7", "X-Forwarded-Proto": "https", "Host": "shop.example"}
        assert answered(port, "/today/", through) == (302, "/login/?next=/today/")
        assert answered(port, "/login/", through)[0] == 200
        assert answered(port, "/today/", through | {"X-Forwarded-Proto": "http"})[0] == 301
        assert answered(port, "/today/", through | {"Host": "evil.example"})[0] == 400
        assert answered(port, "/today/", {"Host": "shop.example", "X-Forwarded-For": "203.0.113.7"})[0] == 403
        assert (
            answered(port, "/today/", {"Host": "localhost"})[0] == 301
        )  # not by the proxy: to HTTPS, never in
        assert answered(port, "/health/", {"Host": "localhost"})[0] == 200
        assert "https://shop.example\n" in served.printed
        lines = [json.loads(line) for line in served.printed.splitlines() if line.startswith("{")]
    told = [(line.get("page"), line.get("status")) for line in lines if line["from"] == "snath.requests"]
    assert ("login", 200) in told
    assert "203.0.113.7" not in str(lines)


def answered(port: int, path: str, headers: dict[str, str]) -> tuple[int, str | None]:
    asking = HTTPConnection("127.0.0.1", port, timeout=60)
    try:
        asking.request("GET", path, headers=headers)
        answer = asking.getresponse()
        return answer.status, answer.headers["Location"]
    finally:
        asking.close()
