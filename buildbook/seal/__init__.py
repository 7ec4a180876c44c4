"""Manifest, seal, issue chain, and putting an issue in place."""

from buildbook.seal.chain import (
    IssuePlan,
    issue_json,
    issued_name,
    issued_record_name,
    plan_issue,
)
from buildbook.seal.changes import changes_between, changes_since
from buildbook.seal.digest import MANIFEST_NAME, manifest_bytes, parse_manifest, seal_of, sha256_bytes, sha256_file
from buildbook.seal.publish import mend_folder, publish_draft, publish_issue, workplace, write_new
from buildbook.seal.tree import list_tree

__all__ = [
    "MANIFEST_NAME",
    "IssuePlan",
    "changes_between",
    "changes_since",
    "issue_json",
    "issued_name",
    "issued_record_name",
    "list_tree",
    "manifest_bytes",
    "mend_folder",
    "parse_manifest",
    "plan_issue",
    "publish_draft",
    "publish_issue",
    "seal_of",
    "sha256_bytes",
    "sha256_file",
    "workplace",
    "write_new",
]  # fmt: skip
