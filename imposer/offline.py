"""What pages without scripts say to a browser: nothing is asked from outside, and no script that strayed in runs."""

#: Content Security Policy Level 3 (W3C): pictures and style stand in the page itself.
NOTHING_OUTSIDE = "default-src 'none'; img-src data:; style-src 'unsafe-inline'"
