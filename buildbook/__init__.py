"""buildbook: a workshop's job folder, checked, compiled into a sealed dossier, and verifiable by anybody."""

__version__ = "0.1.0"
