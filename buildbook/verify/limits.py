"""How much of a stranger's file is read: what goes beyond is refused by name, before it is read.

Own limits (OWN): far above what a job of 20,000 photos needs. Payload files are hashed in pieces and never held
whole; nothing is unpacked onto the disk, followed, fetched or run.
"""

from __future__ import annotations

MOST_FILES = 100_000  # in a bag
MOST_LIST_BYTES = 64 << 20  # one list of digests, a record, a manifest
MOST_TAG_BYTES = 1 << 20  # bagit.txt, bag-info.txt, fetch.txt, issue.json, VERIFY.txt
MOST_PDF_BYTES = 1 << 30
MOST_DIRECTORY_BYTES = 16 << 20  # the table of contents of a ZIP file
MOST_PATH_BYTES = 4096
MOST_DEPTH = 64  # folders within folders
MOST_TIMES = 100  # what a ZIP file may say it holds, against its own size
CHUNK = 1 << 22
