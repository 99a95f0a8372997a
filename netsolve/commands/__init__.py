"""One command to a file, whose name is the command's (with _ for -); each holds `command`."""
