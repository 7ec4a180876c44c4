"""The archive of an issue: a BagIt bag (RFC 8493) of the job folder, the dossier and the record."""

from buildbook.archive.bag import FOLDER, Bag, payload, write_folder, write_zipped

__all__ = ["FOLDER", "Bag", "payload", "write_folder", "write_zipped"]
