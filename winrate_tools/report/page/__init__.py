"""The report as one page that answers back when its reader moves the line."""
