"""The local web app: pages and forms that work without script, and small modules that make them quick."""
