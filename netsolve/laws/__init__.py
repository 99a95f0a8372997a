"""What loss curves, waters and heat are reckoned with, each law with its source."""
