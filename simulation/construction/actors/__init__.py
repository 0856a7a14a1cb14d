"""Crews, forklifts, trucks, gangs and weather as processes."""
