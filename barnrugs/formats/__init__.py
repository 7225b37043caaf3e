"""Numbers and dates of a language, where they differ from the framework's."""
