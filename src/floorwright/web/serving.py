"""Start the app: on this computer alone, or for the phones of the shop's network."""

from __future__ import annotations

import contextlib
import errno
import ipaddress
import socket
import ssl
import sys
import webbrowser
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from floorwright.basis.errors import InputError
from floorwright.shop.ports import Shop
from floorwright.web.desk import LOOPBACK_HOSTS, Options

PORT: Final = 8020


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """How to listen.

    Attributes:
        port: the port; 0 takes one that is free.
        lan: whether to listen beyond this computer.
        names: further host names under which the app may be called.
        certificate, private_key: files of an own certificate; both or neither.
        demo: whether the shop is the demo.
        here: name of the person at this computer.
        show: whether to open the page in this computer's browser.
        everyone_signs_in: whether also somebody at this computer has to sign in.
    """

    port: int = PORT
    lan: bool = False
    names: tuple[str, ...] = ()
    certificate: Path | None = None
    private_key: Path | None = None
    demo: bool = False
    here: str = "lead"
    show: bool = False
    everyone_signs_in: bool = False


def serve(shop: Shop, plan: Plan, say: Callable[[str], None]) -> None:
    """Serve an open shop until somebody stops it.

    Raises:
        InputError: a certificate that cannot be used, or a port that is taken.
    """
    import uvicorn

    from floorwright.web.app import create_app

    check_certificate(plan.certificate, plan.private_key)
    listeners = listen(plan)
    options = options_of(plan, listeners[0].getsockname()[1])
    app = create_app(shop, options)
    config = uvicorn.Config(
        app,
        log_level="warning",
        access_log=False,  # addresses hold pairing codes
        server_header=False,
        proxy_headers=False,
        timeout_graceful_shutdown=5,
        limit_concurrency=400,
        ssl_certfile=plan.certificate,
        ssl_keyfile=plan.private_key,
        ws="none",
    )
    for line in welcome(options):
        say(line)
    if plan.show:
        webbrowser.open(f"{'https' if options.secure else 'http'}://127.0.0.1:{options.port}/")
    try:
        with contextlib.suppress(KeyboardInterrupt):
            uvicorn.Server(config).run(sockets=listeners)
    finally:
        for each in listeners:
            each.close()
    say("Stopped.")


def options_of(plan: Plan, port: int) -> Options:
    """What the app has to know of how it listens."""
    addresses = own_addresses() if plan.lan else ()
    names = {each.lower() for each in plan.names}
    if plan.lan:
        host = socket.gethostname().lower()
        names |= {*addresses, host, f"{host}.local"}
    shown = plan.names[0] if plan.names else (addresses[0] if addresses else "")
    return Options(
        hosts=LOOPBACK_HOSTS | names,
        lan=plan.lan,
        port=port,
        secure=plan.certificate is not None,
        lan_address=shown if plan.lan else "",
        demo=plan.demo,
        here=plan.here,
        everyone_signs_in=plan.everyone_signs_in,
    )


def welcome(options: Options) -> Iterable[str]:
    """What the person who starts it reads."""
    scheme = "https" if options.secure else "http"
    yield f"floorwright is at {scheme}://127.0.0.1:{options.port}/ (stop it with Ctrl+C)"
    if options.everyone_signs_in:
        yield "Everyone signs in, also at this computer; give people accounts with: floorwright account add"
    if options.lan:
        yield f"Phones on the shop's network find it at {options.base_url}/ once paired (Settings, Phones)."
        if not options.secure:
            yield (
                "Without a certificate what the phones send can be read on the network, and their pages do not "
                "open while it is gone; docs/how-to/phones-and-people.md says how to get one."
            )


def own_addresses() -> tuple[str, ...]:
    """This computer's addresses on its networks, the likeliest first. Nothing is sent to find them."""
    found: list[str] = []
    # Connecting a datagram socket only looks up the route.
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe, contextlib.suppress(OSError):
        probe.connect(("192.0.2.1", 9))
        found.append(str(probe.getsockname()[0]))
    with contextlib.suppress(OSError):
        found += [str(each[4][0]) for each in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)]
    return tuple(dict.fromkeys(each for each in found if not ipaddress.ip_address(each).is_loopback))


def check_certificate(certificate: Path | None, private_key: Path | None) -> None:
    """Raises InputError when a certificate is half given or cannot be used."""
    if (certificate is None) != (private_key is None):
        missing = "--key" if private_key is None else "--certificate"
        raise InputError.of(missing, None, "is missing; a certificate and its private key go together")
    if certificate is None or private_key is None:
        return
    try:
        ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER).load_cert_chain(certificate, private_key)
    except (OSError, ssl.SSLError) as error:
        reason = error.strerror or str(error)
        raise InputError.of("--certificate", str(certificate), f"{certificate} cannot be used ({reason})") from None


def listen(plan: Plan) -> list[socket.socket]:
    """The sockets of a plan, this computer's own first. Raises InputError when the port is taken.

    Browsers take `localhost` for ::1 first, so this computer listens there too where it knows IPv6.
    """
    first = _bound(socket.AF_INET, "0.0.0.0" if plan.lan else "127.0.0.1", plan.port)  # noqa: S104  by --lan
    port = first.getsockname()[1]
    try:
        return [first, _bound(socket.AF_INET6, "::1", port)]
    except InputError:
        if plan.port:  # another program answers there, and would be taken for this one
            first.close()
            raise
        return [first]
    except OSError:
        return [first]  # no IPv6 here


def _bound(family: socket.AddressFamily, host: str, port: int) -> socket.socket:
    """A socket that listens. Raises InputError for a port that is taken, OSError where there is no such family."""
    listener = socket.socket(family, socket.SOCK_STREAM)
    try:
        if sys.platform == "win32":  # there the other option would let two programs share the port
            listener.setsockopt(socket.SOL_SOCKET, socket.SO_EXCLUSIVEADDRUSE, 1)
        else:
            listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        if family == socket.AF_INET6:
            listener.setsockopt(socket.IPPROTO_IPV6, socket.IPV6_V6ONLY, 1)
        listener.bind((host, port))
        listener.listen(256)
    except OSError as error:
        listener.close()
        if error.errno == errno.EADDRNOTAVAIL and family == socket.AF_INET6:
            raise
        why = "another program has it" if error.errno == errno.EADDRINUSE else error.strerror
        said = f"{port} cannot be used ({why}); name another, such as --port {port % 65535 + 1}"
        raise InputError.of("--port", port, said) from None
    return listener
