"""A logger's file: which columns it has, what its stamps mean, and what cannot be read of it."""

from app.core.logger_files.file import LoggerFile, Row, Trouble, Wanted, decoded, read_file, rows_of
from app.core.logger_files.stamps import DayOrder

__all__ = ["DayOrder", "LoggerFile", "Row", "Trouble", "Wanted", "decoded", "read_file", "rows_of"]
