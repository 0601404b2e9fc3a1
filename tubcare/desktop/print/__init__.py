"""Documents on paper: what a report is made of, how it is laid out, and the PDF."""
