"""The certificate that docs/how-to/phones-and-people.md makes is one that the app and a strict client accept."""

from __future__ import annotations

import http.server
import re
import shlex
import shutil
import ssl
import subprocess
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from docs.test_examples import FILE, ROOT
from floorwright.web.serving import check_certificate

PAGE = ROOT / "docs" / "how-to" / "phones-and-people.md"
SHELL = re.compile(r"^```sh\n(.*?)^```", re.MULTILINE | re.DOTALL)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder after every command of the page."""
    if shutil.which("openssl") is None:
        pytest.skip("OpenSSL is not on this computer; install it to run the commands of the page")
    folder = tmp_path_factory.mktemp("certificate")
    text = PAGE.read_text(encoding="utf-8")
    for block in FILE.finditer(text):
        (folder / block["name"]).write_text(block["text"], encoding="utf-8")
    for line in "".join(SHELL.findall(text)).splitlines():
        ran = subprocess.run(shlex.split(line), cwd=folder, capture_output=True, text=True, check=False)
        assert ran.returncode == 0, f"{line}\n{ran.stderr}"
    assert ran.stdout == "shop.pem: OK\n"
    return folder


@pytest.fixture
def port(made: Path) -> Iterator[int]:
    """Where a server shows the certificate."""
    check_certificate(made / "shop.pem", made / "shop.key")
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(made / "shop.pem", made / "shop.key")

    class Quiet(http.server.HTTPServer):
        def handle_error(self, request: object, client_address: object) -> None:
            """A client that turns away is what some tests are about."""

    server = Quiet(("127.0.0.1", 0), http.server.BaseHTTPRequestHandler)
    server.socket = context.wrap_socket(server.socket, server_side=True)
    thread = threading.Thread(target=server.serve_forever, args=(0.05,))
    thread.start()
    yield server.server_port
    server.shutdown()
    thread.join()
    server.server_close()


def greeted(made: Path, port: int, name: str) -> None:
    """A handshake by a client that trusts the shop's authority alone and checks strictly."""
    import socket

    context = ssl.create_default_context(cafile=made / "shop-authority.crt")
    context.verify_flags |= ssl.VERIFY_X509_STRICT
    with socket.create_connection(("127.0.0.1", port)) as raw, context.wrap_socket(raw, server_hostname=name):
        pass


@pytest.mark.parametrize("name", ["shop-laptop.local", "192.168.1.20", "localhost", "127.0.0.1"])
def test_client_that_trusts_the_authority_accepts_the_computer(made: Path, port: int, name: str) -> None:
    greeted(made, port, name)


@pytest.mark.parametrize("name", ["other.local", "192.168.1.21"])
def test_it_is_for_no_other_computer(made: Path, port: int, name: str) -> None:
    with pytest.raises(ssl.SSLCertVerificationError, match=r"doesn't match|not valid for|mismatch"):
        greeted(made, port, name)


def test_authority_can_sign_for_nobody_else(made: Path) -> None:
    """Whoever steals its key cannot pass for a bank on the phones that trust it."""
    (made / "bank.cnf").write_text("[bank]\nsubjectAltName = DNS:bank.example\n", encoding="utf-8")
    sign = (
        "openssl x509 -req -in shop.csr -CA shop-authority.crt -CAkey shop-authority.key -set_serial 2 -days 9 "
        "-extfile bank.cnf -extensions bank -out bank.pem"
    )
    subprocess.run(shlex.split(sign), cwd=made, capture_output=True, check=True)
    check = ["openssl", "verify", "-CAfile", "shop-authority.crt", "bank.pem"]
    ran = subprocess.run(check, cwd=made, capture_output=True, text=True, check=False)
    assert ran.returncode != 0
    assert "permitted subtree violation" in ran.stderr


def test_phones_take_its_length(made: Path) -> None:
    """825 days is the longest that iOS and macOS take, also from an authority that the user added."""
    show = ["openssl", "x509", "-in", "shop.pem", "-noout", "-checkend", str(825 * 86_400)]
    assert subprocess.run(show, cwd=made, capture_output=True, check=False).returncode == 1
