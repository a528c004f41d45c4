"""A bench through time, without a picture: what is done, what the gauges show, what is heard and felt. SI."""
