#!/usr/bin/python3
"""A browser window of WebKitGTK that keeps its profile and lets itself be driven: `small_webkit.py --automation`.

Debian's own Python runs it, since that one has `gi`. WEBKIT_PROFILE names the folder of what it keeps. The MiniBrowser
that comes with the engine forgets everything when it is driven, which a test of "nothing is lost" cannot use.
"""

import os

import gi

gi.require_version("Gtk", "3.0")
gi.require_version("WebKit2", "4.1")
from gi.repository import Gtk, WebKit2  # noqa: E402

PROFILE = os.environ["WEBKIT_PROFILE"]
VERSION = (WebKit2.get_major_version(), WebKit2.get_minor_version(), WebKit2.get_micro_version())


def view(*_) -> WebKit2.WebView:
    window = Gtk.Window(default_width=412, default_height=839)
    shown = WebKit2.WebView(web_context=context, is_controlled_by_automation=True)
    window.add(shown)
    window.show_all()
    shown.connect("close", lambda _: window.destroy())
    return shown


def started(_, session) -> None:
    info = WebKit2.ApplicationInfo()
    info.set_name("glovebook-tests")
    info.set_version(*VERSION)
    session.set_application_info(info)
    session.connect("create-web-view", view)


kept = WebKit2.WebsiteDataManager(base_data_directory=f"{PROFILE}/data", base_cache_directory=f"{PROFILE}/cache")
kept.set_itp_enabled(False)
context = WebKit2.WebContext.new_with_website_data_manager(kept)
context.set_automation_allowed(True)
context.connect("automation-started", started)
Gtk.main()
