"""Tables in the Parquet format, by pyarrow (an extra: ``circuitcheck[parquet]``)."""

from __future__ import annotations

import io
from collections.abc import Iterable
from pathlib import Path
from typing import Any, BinaryIO

from circuitcheck.sweeps.table import Table


def encode(table: Table) -> bytes:
    """Give a table as a Parquet file; NaN becomes null."""
    import pyarrow as pa
    import pyarrow.parquet as pq

    names = list(table.columns)
    arrays = [pa.array(column, from_pandas=True) for column in table.columns.values()]
    out = io.BytesIO()
    pq.write_table(pa.table(arrays, names=names), out)
    return out.getvalue()


def join(pieces: Iterable[Path], target: BinaryIO) -> None:
    """Write pieces into one file, each a row group of its own."""
    import pyarrow.parquet as pq

    writer: Any = None
    for piece in pieces:
        rows = pq.read_table(piece)
        writer = writer or pq.ParquetWriter(target, rows.schema)
        writer.write_table(rows)
    if writer is not None:
        writer.close()
