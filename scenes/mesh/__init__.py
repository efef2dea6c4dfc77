"""Meshes as files hold them: named pieces with their colours."""
