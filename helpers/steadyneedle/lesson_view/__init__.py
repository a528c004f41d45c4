"""The lesson view: JupyterLab shows a lesson as a page, live, without code and without a click.

`launch` gives the settings of a JupyterLab as a dictionary, `running` runs one until it is closed, `serving` is what
that process does, `plug_in` lays the files of `page/` where JupyterLab loads them, `saving` keeps saved lessons plain.
"""
