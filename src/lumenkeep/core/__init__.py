"""The core: pure, values in and values out, without Django; time comes in as an argument."""
