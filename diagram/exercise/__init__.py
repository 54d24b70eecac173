"""The exercise as it is read: arena, fences, ride, terms and store, before any place is known."""
