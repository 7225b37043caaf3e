"""No request fills the disk: what comes beyond the most that any form takes is not kept while it is read."""

from typing import Any

from django.core.files.uploadhandler import FileUploadHandler

MOST_BYTES = 26 * 1024 * 1024
"""A megabyte above what any form takes, so that a file cut off here is still refused as too large."""


class Bounded(FileUploadHandler):
    """Stands before the handlers that keep files, and hands them nothing more once the request has sent its most."""

    total = 0

    def receive_data_chunk(self, raw_data: bytes, start: int) -> bytes | None:
        self.total += len(raw_data)
        return raw_data if self.total <= MOST_BYTES else None

    def file_complete(self, file_size: int) -> Any:
        return None
