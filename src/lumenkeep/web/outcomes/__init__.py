"""What people enter beside the chart: hours of the count, counts by hand, baselines."""
