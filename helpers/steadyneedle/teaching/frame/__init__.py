"""Panel, picture, form and the gauge module: the only place that knows widgets."""
