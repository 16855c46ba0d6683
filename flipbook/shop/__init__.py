"""From a folder of hand-written files to facts, with every problem of every file in its place."""
