"""A person's day in headless Chromium, on a phone's screen."""
