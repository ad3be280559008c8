"""The house on its network: a certificate that is renewed, and an address that changes, while it serves."""

import asyncio
import ssl
from ipaddress import ip_address

from certified import NOW, shaken

from server import authority as ca
from server import certificates, machine
from server.doors import configured
from server.lan import House


def test_a_renewed_certificate_is_served_without_a_restart(folder, monkeypatch):
    house = House(folder, [], None, 0)
    try:
        config = configured(None, house.listener, ssl_certfile=house.certfile)
        config.load()
        assert config.ssl.minimum_version >= ssl.TLSVersion.TLSv1_2
        authority = house.kept.authority[1]
        assert shaken(config.ssl, authority, "still.local") == house.kept.server[1]
        asyncio.run(house.tend(config))
        assert shaken(config.ssl, authority, "still.local") == house.kept.server[1]  # nothing was due
        certificates.renew(folder, NOW, even_so=True)  # as `glovebook certificate renew` does beside the server
        asyncio.run(house.tend(config))
        taken_up = shaken(config.ssl, authority, "still.local")
        assert taken_up == certificates.kept(folder).server[1] != house.kept.server[1]
        (folder / certificates.AUTHORITY).write_bytes(b"spoilt")
        asyncio.run(house.tend(config))  # told in the log; the one in use goes on
        monkeypatch.setattr(certificates, "renew", lambda *_: 1 / 0)
        asyncio.run(house.tend(config))
        assert shaken(config.ssl, authority, "still.local")
    finally:
        house.stop()


def test_an_address_that_changes_while_serving_is_told_and_shown(folder, monkeypatch, caplog):
    monkeypatch.setattr(machine, "addresses", lambda: [ip_address("192.168.7.1")])
    house = House(folder, ["192.168.7.1"], None, 0)
    try:
        config = configured(None, house.listener, ssl_certfile=house.certfile)
        config.load()
        assert house.warnings == [] and b"192.168.7.9" not in house._page.page
        monkeypatch.setattr(machine, "addresses", lambda: [ip_address("192.168.7.9")])
        for _ in range(3):
            asyncio.run(house.tend(config))
        assert b"https://192.168.7.9:8710/" in house._page.page
        assert caplog.text.count("this machine no longer has it") == 1  # not again every ten minutes
        assert "192.168.7.9" in ca.spoken_for(shaken(config.ssl, house.kept.authority[1], "192.168.7.9"))
        monkeypatch.setattr(machine, "addresses", lambda: [ip_address("192.168.7.1")])
        asyncio.run(house.tend(config))
        assert house.warnings == [] and b"192.168.7.9" not in house._page.page
    finally:
        house.stop()
