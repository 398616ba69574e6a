"""The build system of the web app: standard library only, one idea per module."""
