"""How the app is started: loopback, the shop's network, an own certificate, ports that are taken, what it says."""

from __future__ import annotations

import errno
import os
import shutil
import signal
import socket
import ssl
import subprocess
import sys
import threading
import time
import urllib.request
from pathlib import Path

import pytest

from floorwright import bootstrap
from floorwright.basis.errors import InputError
from floorwright.shop.here import keep_name_here
from floorwright.web.desk import LOOPBACK_HOSTS, Options
from floorwright.web.serving import Plan, check_certificate, listen, options_of, own_addresses, welcome
from webapp import copied, free_port


def has_ipv6() -> bool:
    with socket.socket(socket.AF_INET6, socket.SOCK_STREAM) as probe:
        try:
            probe.bind(("::1", 0))
        except OSError:
            return False
    return True


needs_ipv6 = pytest.mark.skipif(not has_ipv6(), reason="this computer has no IPv6 loopback")


def test_by_default_only_this_computer_is_listened_to() -> None:
    sockets = listen(Plan(port=0))
    try:
        assert {each.getsockname()[0] for each in sockets} <= {"127.0.0.1", "::1"}
        assert len({each.getsockname()[1] for each in sockets}) == 1
    finally:
        for each in sockets:
            each.close()


def test_lan_listens_on_every_address() -> None:
    sockets = listen(Plan(port=0, lan=True))
    try:
        assert sockets[0].getsockname()[0] == "0.0.0.0"  # noqa: S104
    finally:
        for each in sockets:
            each.close()


def test_a_port_that_is_taken_is_told_with_one_that_may_do() -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        with pytest.raises(InputError) as caught:
            listen(Plan(port=port))
    assert str(caught.value) == (
        f"--port: {port} cannot be used (another program has it); name another, such as --port {port + 1}."
    )


@needs_ipv6
def test_another_program_at_the_same_port_of_ipv6_would_be_taken_for_this_one() -> None:
    port = free_port()
    with socket.socket(socket.AF_INET6, socket.SOCK_STREAM) as taken:
        taken.setsockopt(socket.IPPROTO_IPV6, socket.IPV6_V6ONLY, 1)
        taken.bind(("::1", port))
        taken.listen()
        with pytest.raises(InputError, match="another program has it"):
            listen(Plan(port=port))
    with socket.socket() as again:  # nothing is left open
        again.bind(("127.0.0.1", port))


def test_without_ipv6_the_app_listens_all_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    usual = socket.socket

    def no_ipv6(family: int = socket.AF_INET, *rest: int) -> socket.socket:
        if family == socket.AF_INET6:
            raise OSError(errno.EAFNOSUPPORT, "no such family")
        return usual(family, *rest)

    monkeypatch.setattr(socket, "socket", no_ipv6)
    sockets = listen(Plan(port=0))
    assert len(sockets) == 1
    sockets[0].close()


def test_names_under_which_it_may_be_called() -> None:
    assert options_of(Plan(), 8020).hosts == LOOPBACK_HOSTS
    lan = options_of(Plan(lan=True, names=("Shop.Example",)), 8020)
    assert {"shop.example", f"{socket.gethostname().lower()}.local", *own_addresses()} <= lan.hosts
    assert "0.0.0.0" not in lan.hosts  # noqa: S104
    assert lan.base_url == "http://Shop.Example:8020"
    assert Options(lan_address="fd00::1", lan=True, secure=True, port=443).base_url == "https://[fd00::1]"


def test_what_the_person_who_starts_it_reads() -> None:
    assert list(welcome(Options(port=8020))) == ["floorwright is at http://127.0.0.1:8020/ (stop it with Ctrl+C)"]
    said = list(welcome(Options(port=8020, lan=True, lan_address="192.0.2.20")))
    assert "Phones on the shop's network find it at http://192.0.2.20:8020/ once paired" in said[1]
    assert options_of(Plan(everyone_signs_in=True), 8020).everyone_signs_in
    assert "Everyone signs in, also at this computer" in list(welcome(Options(everyone_signs_in=True)))[1]
    assert "Without a certificate what the phones send can be read" in said[2]
    secure = list(welcome(Options(port=443, lan=True, lan_address="192.0.2.20", secure=True)))
    assert len(secure) == 2
    assert "https://192.0.2.20/" in secure[1]


def test_a_certificate_and_its_key_go_together(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="--key: is missing"):
        check_certificate(tmp_path / "a.pem", None)
    with pytest.raises(InputError, match="--certificate: is missing"):
        check_certificate(None, tmp_path / "a.key")
    with pytest.raises(InputError, match=r"a\.pem cannot be used \(No such file"):
        check_certificate(tmp_path / "a.pem", tmp_path / "a.key")
    (tmp_path / "a.pem").write_text("nonsense")
    (tmp_path / "a.key").write_text("nonsense")
    with pytest.raises(InputError, match=r"a\.pem cannot be used"):
        check_certificate(tmp_path / "a.pem", tmp_path / "a.key")


@pytest.fixture(scope="session")
def certificate(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """A certificate for 127.0.0.1 that is good for a day, and its key."""
    program = shutil.which("openssl")
    if program is None:
        pytest.skip("no openssl here to make a certificate with; install it to run this test")
    folder = tmp_path_factory.mktemp("certificate")
    made, key = folder / "shop.pem", folder / "shop.key"
    asked = ["req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:prime256v1", "-nodes", "-days", "1"]
    names = ["-subj", "/CN=127.0.0.1", "-addext", "subjectAltName=IP:127.0.0.1"]
    subprocess.run([program, *asked, *names, "-keyout", key, "-out", made], check=True, capture_output=True)
    return made, key


class Started:
    """`floorwright serve` in a process of its own; `lines` is all that it says."""

    def __init__(self, *arguments: str | Path) -> None:
        self.lines: list[str] = []
        self.process = subprocess.Popen(
            [sys.executable, "-m", "floorwright", "serve", *map(str, arguments)],
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            encoding="utf-8",
            env=os.environ | {"PYTHONUNBUFFERED": "1"},
        )
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()

    def _read(self) -> None:
        assert self.process.stdout is not None
        with self.process.stdout as output:
            self.lines.extend(output)

    def says(self, text: str) -> str:
        """Wait until it says something; returns everything said so far."""
        end = time.monotonic() + 60
        while time.monotonic() < end:
            if any(text in line for line in self.lines):
                return "".join(self.lines)
            if self.process.poll() is not None:
                break
            time.sleep(0.05)
        raise AssertionError(f"it never said {text!r}:\n{''.join(self.lines)}")

    def stop(self, how: int = signal.SIGINT) -> str:
        """Stop it as Ctrl+C does, and return everything it said."""
        self.process.send_signal(how)
        self.process.wait(timeout=30)
        self._reader.join(timeout=10)
        return "".join(self.lines)


@pytest.fixture
def folder(demo_master: Path, tmp_path: Path) -> Path:
    return copied(demo_master, tmp_path / "shop")


needs_signals = pytest.mark.skipif(os.name == "nt", reason="Windows sends Ctrl+C to a whole console")


@needs_signals
def test_an_own_certificate_serves_https_and_ctrl_c_stops_it(folder: Path, certificate: tuple[Path, Path]) -> None:
    made, key = certificate
    port = free_port()
    running = Started(folder, "--port", port, "--certificate", made, "--key", key)
    try:
        running.says(f"floorwright is at https://127.0.0.1:{port}/")
        trusted = ssl.create_default_context(cafile=made)
        with urllib.request.urlopen(f"https://127.0.0.1:{port}/about", context=trusted, timeout=30) as answer:
            assert "max-age" in answer.headers["Strict-Transport-Security"]
            assert "; secure" in answer.headers["Set-Cookie"].lower()
    finally:
        said = running.stop()
    assert running.process.returncode == 0
    assert said.endswith("Stopped.\n")
    assert "Traceback" not in said


@needs_ipv6
@needs_signals
def test_localhost_is_answered_over_ipv6_too(folder: Path) -> None:
    port = free_port()
    running = Started(folder, "--port", port)
    try:
        running.says("floorwright is at")
        for host in ("127.0.0.1", "[::1]", "localhost"):
            with urllib.request.urlopen(f"http://{host}:{port}/settings", timeout=30) as answer:
                assert answer.status == 200
    finally:
        running.stop()


def test_a_port_that_is_taken_ends_in_one_sentence(folder: Path) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        running = Started(folder, "--port", taken.getsockname()[1])
        assert running.process.wait(timeout=60) == 2
        running._reader.join(timeout=10)
    assert len(running.lines) == 1
    assert "cannot be used (another program has it)" in running.lines[0]


@needs_signals
def test_a_shop_that_was_left_for_a_restored_one_opens_that_one(folder: Path, tmp_path: Path) -> None:
    old = bootstrap.open_shop(folder)
    bootstrap.backup(old, tmp_path / "backup.zip")
    new = bootstrap.restore_beside(old, tmp_path / "backup.zip", tmp_path / "restored", leave=True)
    keep_name_here(new, "Rosa")
    new.close()
    old.close()
    running = Started(folder, "--port", "0")
    try:
        said = running.says("floorwright is at")
        assert f"was left for a restored backup, so this opens {tmp_path / 'restored'}." in said
        port = said.split("127.0.0.1:")[1].split("/")[0]
        with urllib.request.urlopen(f"http://127.0.0.1:{port}/", timeout=60) as answer:
            assert b"You are here as Rosa." in answer.read()
    finally:
        running.stop()
    (folder / "moved-to.txt").unlink()
    assert bootstrap.successor(folder) is None


def test_a_note_that_leads_nowhere_or_round_in_a_circle_is_passed_over(folder: Path, tmp_path: Path) -> None:
    (folder / "moved-to.txt").write_text(str(tmp_path / "gone"), "utf-8")
    assert bootstrap.successor(folder) is None
    for nothing in (b"", b"\n", "ü".encode("utf-16")):
        (folder / "moved-to.txt").write_bytes(nothing)
        assert bootstrap.successor(folder) is None
    other = copied(folder, tmp_path / "other")
    (folder / "moved-to.txt").write_text(str(other), "utf-8")
    (other / "moved-to.txt").write_text(str(folder), "utf-8")
    assert bootstrap.successor(folder) == other
