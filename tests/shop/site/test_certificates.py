"""An authority for this shop and nothing else, judged by two verifiers that are not ours."""

import ipaddress
import shutil
import subprocess
from datetime import UTC, datetime, timedelta

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import Encoding, load_pem_private_key
from cryptography.x509.verification import PolicyBuilder, Store, VerificationError

from snath.quantities.errors import InputError
from snath.shop.site import certificates as made
from snath.shop.site.certificates import authority, certificates, fingerprint, make
from snath.shop.site.data_folder import DataFolder
from snath.shop.site.lan import lan_address, lan_name

NOW = datetime(2026, 11, 25, tzinfo=UTC)
NAME, ADDRESS = "shop.local", "192.168.1.20"


@pytest.fixture
def pair():
    authority_pem, site_pem, key_pem = make(NAME, ADDRESS, NOW)
    return x509.load_pem_x509_certificate(authority_pem), x509.load_pem_x509_certificate(site_pem), key_pem


def verifies(root, leaf, subject) -> bool:
    checker = PolicyBuilder().store(Store([root])).time(NOW).build_server_verifier(subject)
    try:
        checker.verify(leaf, [])
    except VerificationError:
        return False
    return True


def test_the_site_is_trusted_by_its_name_and_its_address_and_by_no_other(pair):
    root, site, _ = pair
    assert verifies(root, site, x509.DNSName(NAME))
    assert verifies(root, site, x509.IPAddress(ipaddress.ip_address(ADDRESS)))
    assert not verifies(root, site, x509.DNSName("bank.example"))
    assert not verifies(root, site, x509.IPAddress(ipaddress.ip_address("192.168.1.21")))


def test_constraints_are_critical_and_no_further_authority_is_allowed(pair):
    root, site, _ = pair
    names = root.extensions.get_extension_for_class(x509.NameConstraints)
    assert names.critical
    assert names.value.permitted_subtrees == [
        x509.DNSName(NAME),
        x509.IPAddress(ipaddress.ip_network(ADDRESS + "/32")),
    ]
    basic = root.extensions.get_extension_for_class(x509.BasicConstraints)
    assert basic.critical
    assert (basic.value.ca, basic.value.path_length) == (True, 0)
    assert site.extensions.get_extension_for_class(x509.BasicConstraints).value.ca is False
    assert root.not_valid_after_utc - NOW <= timedelta(days=398)
    assert site.not_valid_after_utc <= root.not_valid_after_utc


def forged(monkeypatch, *names: x509.GeneralName):
    """What somebody could sign who had kept the authority's key."""
    keys = []
    real = ec.generate_private_key
    monkeypatch.setattr(made.ec, "generate_private_key", lambda curve: keys.append(real(curve)) or keys[-1])
    authority_pem, _, _ = make(NAME, ADDRESS, NOW)
    root = x509.load_pem_x509_certificate(authority_pem)
    key = real(ec.SECP256R1())
    leaf = (
        x509.CertificateBuilder()
        .subject_name(x509.Name([]))
        .issuer_name(root.subject)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(NOW - timedelta(hours=1))
        .not_valid_after(NOW + timedelta(days=300))
        .add_extension(x509.SubjectAlternativeName(names), critical=True)
        .add_extension(
            x509.AuthorityKeyIdentifier.from_issuer_public_key(keys[0].public_key()), critical=False
        )
        .add_extension(x509.ExtendedKeyUsage([x509.ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .sign(keys[0], hashes.SHA256())
    )
    return root, leaf


def test_even_with_its_key_the_authority_could_vouch_for_nobody_else(monkeypatch):
    bank = x509.DNSName("bank.example")
    root, leaf = forged(monkeypatch, bank)
    assert not verifies(root, leaf, bank)
    own = x509.DNSName(NAME)
    root, leaf = forged(monkeypatch, own)
    assert verifies(root, leaf, own)  # the forgery itself is sound: only the name decides
    neighbour = x509.IPAddress(ipaddress.ip_address("192.168.1.21"))
    root, leaf = forged(monkeypatch, neighbour)
    assert not verifies(root, leaf, neighbour)


@pytest.mark.skipif(shutil.which("openssl") is None, reason="the second verifier, where it is there")
def test_openssl_agrees(monkeypatch, tmp_path, pair):
    def openssl(root, leaf) -> int:
        (tmp_path / "root").write_bytes(root.public_bytes(Encoding.PEM))
        (tmp_path / "leaf").write_bytes(leaf.public_bytes(Encoding.PEM))
        command = ["openssl", "verify", "-x509_strict", "-attime", str(int(NOW.timestamp())), "-CAfile"]
        return subprocess.run(
            [*command, tmp_path / "root", tmp_path / "leaf"], capture_output=True, check=False
        ).returncode

    assert openssl(pair[0], pair[1]) == 0
    assert openssl(*forged(monkeypatch, x509.DNSName("bank.example"))) != 0


def test_the_authoritys_key_is_nowhere_on_disk(tmp_path):
    folder = DataFolder(tmp_path)
    files = certificates(folder, NAME, ADDRESS, NOW)
    keys = [path for path in tmp_path.rglob("*") if path.is_file() and b"PRIVATE KEY" in path.read_bytes()]
    assert keys == [files.key]
    public = load_pem_private_key(files.key.read_bytes(), None).public_key()
    assert public == x509.load_pem_x509_certificate(files.chain.read_bytes()).public_key()
    assert public != x509.load_pem_x509_certificate(files.authority.read_bytes()).public_key()
    assert files.key.stat().st_mode & 0o777 == 0o600
    assert b"BEGIN PRIVATE KEY" in files.key.read_bytes()  # PKCS 8, which the server wants


def test_certificates_stay_until_name_address_or_time_is_up(tmp_path):
    folder = DataFolder(tmp_path)
    first = certificates(folder, NAME, ADDRESS, NOW).chain.read_bytes()
    assert certificates(folder, NAME, ADDRESS, NOW + timedelta(days=300)).chain.read_bytes() == first
    later = certificates(folder, NAME, ADDRESS, NOW + timedelta(days=380)).chain.read_bytes()
    assert later != first
    assert certificates(folder, "other.local", ADDRESS, NOW + timedelta(days=380)).chain.read_bytes() != later


def test_the_fingerprint_is_the_one_a_phone_shows(tmp_path):
    files = certificates(DataFolder(tmp_path), NAME, ADDRESS, NOW)
    shown = fingerprint(authority(DataFolder(tmp_path)) or b"")
    # Another road: the library's own fingerprint of the parsed certificate.
    parsed = x509.load_pem_x509_certificate(files.authority.read_bytes())
    assert shown.replace(":", "").lower() == parsed.fingerprint(hashes.SHA256()).hex()
    assert authority(DataFolder(tmp_path / "none")) is None


@pytest.mark.parametrize("wrong", ["192.168.1", "0.0.0.0", "224.0.0.1", "shop.local", "", "192.168.1.0/24"])
def test_what_is_no_address_of_one_machine_is_refused(wrong, monkeypatch):
    monkeypatch.setattr("snath.shop.site.lan._own_address", lambda: "not found")
    with pytest.raises(InputError):
        lan_address(wrong)


@pytest.mark.parametrize(
    "wrong", ["a b", "-shop", "shop.", "x" * 65, "shop_1", "192.168.1.20", "evil,localhost", "*"]
)
def test_what_is_no_host_name_is_refused(wrong):
    with pytest.raises(InputError):
        lan_name(wrong)


def test_a_machines_own_name_is_made_into_one_that_phones_can_look_up(monkeypatch):
    monkeypatch.setattr("socket.gethostname", lambda: "Bench_PC.example")
    assert lan_name(None) == "bench-pc.local"
