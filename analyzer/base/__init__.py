"""What every stage may use and that knows no stage: frames, ratios, places, errors."""
