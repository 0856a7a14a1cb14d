"""What a site log comes to on the field: its lines by calendar, crews and laying edges, and how the field stands by them."""
