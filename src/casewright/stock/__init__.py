"""What the shop has: sheets, offcuts, lengths, hardware, paint and tools, and what projects take of it.

`casewright.stock.shop.ShopStock` is the way in. It alone imports the data base's library, so that whoever only reads a
project does not wait for it.
"""

from casewright.stock.records import (
    KINDS,
    HardwareRecord,
    LengthRecord,
    OffcutRecord,
    PaintRecord,
    Record,
    SheetRecord,
    ToolRecord,
    read_record,
)

__all__ = [
    "KINDS",
    "HardwareRecord",
    "LengthRecord",
    "OffcutRecord",
    "PaintRecord",
    "Record",
    "SheetRecord",
    "ToolRecord",
    "read_record",
]
