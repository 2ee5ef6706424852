"""The forms and parts of pages that show the chart."""
