"""From facts to sums. Pure: no file is opened here, no clock is read, and every sum is exact."""
