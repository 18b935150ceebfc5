"""An audit as one page that opens anywhere: HTML, style, script and data in one file."""
