"""A logger's file: its shape guessed from what stands in it, shown, and settled by options."""

from __future__ import annotations

from curecast.tracking.logger.file import Asked, LoggerFile, read_logger

__all__ = ["Asked", "LoggerFile", "read_logger"]
