"""The archive of an issue: a BagIt bag (RFC 8493) of the job folder, the dossier and the record."""
