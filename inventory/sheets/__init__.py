"""Spreadsheets as people send them, and as we write them: lines of text cells, no Django model, no database."""
