"""Heat gain, chiller, calibration, tariffs, frost. Pure."""
