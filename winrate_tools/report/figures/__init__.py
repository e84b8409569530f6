"""Pictures of a judged pool, one a file, as SVG that follows the colours of its page."""
