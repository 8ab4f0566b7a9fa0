"""Schemathesis's plugin for pytest, loaded with the one module that uses it."""

from __future__ import annotations

import pytest


def pytest_collectstart(collector: pytest.Collector) -> None:
    """Register the plugin, which is kept out of all other runs: it takes a second to load."""
    if isinstance(collector, pytest.Module) and collector.path.name == "test_schemathesis.py":
        from schemathesis.pytest import plugin

        if not collector.config.pluginmanager.is_registered(plugin):
            collector.config.pluginmanager.register(plugin, "schemathesis_on_demand")
