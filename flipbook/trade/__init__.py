"""The workshop's own knowledge: how a finish is cared for, and the cautions that go with the work."""
