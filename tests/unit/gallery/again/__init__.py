"""Tests of gallery.again."""
