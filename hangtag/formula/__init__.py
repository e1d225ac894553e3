"""The formula language: small, closed, checked before it runs, and run from one tree in two languages.

Must not know files, entries or pages.
"""
