"""Modules of ours that a page needs at once: fetched side by side while the page is read, not one after the other."""

from __future__ import annotations

from html import escape

from nicegui import __version__ as nicegui_version
from nicegui.dependencies import esm_modules

MODULES = {
    "side": ("casewright-drafting",),
    "panels": ("casewright-drafting",),
    "whole": ("casewright-viewing", "nicegui-scene"),
}
"""Names of the modules by the view that begins with them."""


def preload_links(view: str) -> str:
    """HTML for the head of a page that shows that view first; "" where it needs none of ours.

    A module names the next ones only once it is there, so each would wait for the one before.
    """
    wanted = MODULES.get(view, ())
    addresses = [
        f"/_nicegui/{nicegui_version}/esm/{key}/{file.name}"
        for key, module in esm_modules.items()
        if module.name in wanted
        for file in sorted(module.path.glob("*.js"))
        if module.name != "nicegui-scene" or file.name == "index.js"
    ]
    return "".join(f'<link rel="modulepreload" href="{escape(a)}">' for a in addresses)


__all__ = ["MODULES", "preload_links"]
