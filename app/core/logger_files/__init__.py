"""A logger's file: its columns, what they measure, what its stamps mean, and what cannot be read of it."""

from app.core.logger_files.columns import others
from app.core.logger_files.file import (
    LoggerFile,
    Row,
    Trouble,
    Wanted,
    decoded,
    read_file,
    rows_of,
    unit_words,
)
from app.core.logger_files.stamps import DayOrder

__all__ = [
    "DayOrder",
    "LoggerFile",
    "Row",
    "Trouble",
    "Wanted",
    "decoded",
    "others",
    "read_file",
    "rows_of",
    "unit_words",
]
