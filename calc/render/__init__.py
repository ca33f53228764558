"""A Result as text, HTML and SVG. Text that came from a person is escaped by MarkupSafe."""
