"""The workbench: the cabinet in the browser. Thin: it shows what the session knows and hands edits on."""
