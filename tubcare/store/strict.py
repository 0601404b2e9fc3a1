"""Names of column types that STRICT tables of SQLite accept: TEXT, INTEGER, REAL, BLOB alone."""

from __future__ import annotations

from sqlalchemy import JSON, BigInteger, Boolean, Date, DateTime, Double, Float, String, Text
from sqlalchemy.ext.compiler import compiles

for _type in (Date, DateTime, String, Text, JSON):

    @compiles(_type, "sqlite")
    def _as_text(*_args: object, **_options: object) -> str:
        return "TEXT"


for _number in (BigInteger, Boolean):

    @compiles(_number, "sqlite")
    def _as_integer(*_args: object, **_options: object) -> str:
        return "INTEGER"


@compiles(Float, "sqlite")
@compiles(Double, "sqlite")
def _as_real(*_args: object, **_options: object) -> str:
    return "REAL"
