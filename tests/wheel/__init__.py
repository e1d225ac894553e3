"""The wheel: what somebody gets who never sees the checkout."""
