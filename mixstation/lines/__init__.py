"""Line mode: the same questions as plain lines, for screen readers, plain terminals and scripts."""
