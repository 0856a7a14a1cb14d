"""What the actors share: edges, stock, the dispatch board, hand-overs, draws."""
