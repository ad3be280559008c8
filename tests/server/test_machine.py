"""This machine's name and addresses, as far as any machine must have them."""

import re
import shutil
import socket
import subprocess
import sys
from ipaddress import ip_address
from pathlib import Path

import pytest

from server import machine


@pytest.mark.parametrize(
    ("told", "name"),
    [
        ("still", "still"),
        ("Office-PC.house.lan", "office-pc"),
        ("localhost", None),
        ("my_pc", None),
        ("büro", None),
        ("", None),
    ],
)
def test_a_name_that_can_stand_in_an_address(monkeypatch, told, name):
    monkeypatch.setattr(socket, "gethostname", lambda: told)
    assert machine.name() == name


def test_addresses_are_private_each_once_and_short_ones_first(monkeypatch):
    monkeypatch.setattr(machine, "_sending_from", lambda: ["192.168.7.1", "2001:db8::5", "fd00::7"])
    monkeypatch.setattr(machine, "_by_name", lambda: ["fd00::7%eth0", "127.0.0.1", "8.8.8.8", "10.0.0.9"])
    monkeypatch.setattr(machine, "_by_interface", lambda: ["172.17.0.1", "192.168.7.1", "fe80::1"])
    wanted = ["192.168.7.1", "10.0.0.9", "172.17.0.1", "fd00::7"]
    assert [str(address) for address in machine.addresses()] == wanted


def test_the_ranges_are_those_that_no_one_has_on_the_internet():
    """Python's ipaddress, which follows IANA's registries, is the judge; 100.64.0.0/10 is shared and neither."""
    for network in machine.PRIVATE:
        assert not network[0].is_global and not network[-1].is_global
    assert not machine.is_private(ip_address("172.32.0.1")) and not machine.is_private(ip_address("192.169.0.1"))


def local_addresses() -> set[str]:
    """What the kernel's own routing table calls local, proc(5)."""
    return set(re.findall(r"\|-- ([0-9.]+)\n +/32 host LOCAL", Path("/proc/net/fib_trie").read_text()))


@pytest.mark.skipif(sys.platform != "linux", reason="Linux alone tells addresses by interface")
def test_every_address_of_an_interface_is_told():
    assert set(machine._by_interface()) == local_addresses()


SECOND = """ip link set lo up; ip addr add 192.168.7.5/24 dev lo; ip addr add 192.168.7.77/24 dev lo
"$0" -c 'from server import machine; print(*machine.addresses())'"""


def has_networks_of_its_own() -> bool:
    tools = shutil.which("unshare") and shutil.which("ip")
    return bool(tools) and subprocess.run(["unshare", "-rn", "true"], capture_output=True).returncode == 0


@pytest.mark.skipif(not has_networks_of_its_own(), reason="no network of its own may be made here")
def test_a_second_address_of_one_interface_is_told():
    told = subprocess.run(["unshare", "-rn", "sh", "-c", SECOND, sys.executable], capture_output=True, text=True)
    assert told.stdout.split() == ["192.168.7.5", "192.168.7.77"], told


def test_this_machine_answers_without_a_fault():
    assert all(machine.is_private(address) for address in machine.addresses())
    assert machine.answers_to("no-such-name.invalid") is False
    assert machine.answers_to("x" * 300) is False
