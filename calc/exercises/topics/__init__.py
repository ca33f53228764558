"""The templates, one module a lesson."""
