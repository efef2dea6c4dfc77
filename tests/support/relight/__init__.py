"""Frames relit as a page does, and by the renderer."""
