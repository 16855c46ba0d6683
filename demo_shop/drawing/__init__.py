"""The drawings of the demo shop: its photographs and its till slips."""
