"""Reading the gauges that send over a serial line."""

from __future__ import annotations

from shopboard.shop.gauge import Gauge
from shopboard.shop.settings import read_as
from shopboard.shop.table import Table, reads


@reads("[[gauge]]")
def read_gauge(t: Table) -> Gauge:
    """Read a gauge."""
    return read_as(t, Gauge)
